"""`cureyard plan fairing`: filler for a hollow, in coats."""

from __future__ import annotations

from typing import Any

import click

from ...answers import Record
from ...asking import Ask, asks
from ...options.common import filled, number
from ...options.filled import take_thickened, thickened_option
from ...options.needs import catalyst_option, need_options, work_out
from ...options.stored import PRODUCT
from ...rendering import estimates
from ...rendering.amounts import amount
from ...rendering.columns import View, labelled, marked, spaced


@click.command("fairing")
@click.argument("area")
@click.argument("depth")
@click.option("--coat", "coat_max", metavar="SIZE", help="Thickest coat, without --product.")
@click.option("--proud", metavar="SIZE", help="Height above flush, to be sanded back.")
@click.option(
    "--waste", "waste_percent", type=number, metavar="PERCENT", help="Share left in the pot (15)."
)
@click.option(
    "--product",
    type=PRODUCT,
    help="Whose density and thickest coat to use; or the resin, with --consistency.",
)
@thickened_option
@catalyst_option
@need_options
@asks
def command(ask: Ask, need: str | None, by: str | None, **given: Any) -> None:
    """Work out filler for a hollow of AREA and mean DEPTH, in coats.

    \b
    Examples:
      cureyard plan fairing "1.5 m2" "4 mm" --proud "0.5 mm" --coat "3 mm"
      cureyard plan fairing "1.5 m2" "4 mm" --coat "3 mm" --product LAM-PE \\
        --consistency MICROS "holds a ridge"
    """
    thickened = take_thickened(given)
    work_out(ask, "fairing", filled(**given, **thickened), _shown, need=need, by=by)


def _shown(answer: Record, view: View) -> list[str]:
    mass = amount(answer["mass"])
    pairs = [
        ("coats", f"{answer['coats']} of {amount(answer['coat'])}"),
        ("fill", amount(answer["fill"])),
        ("sanded", amount(answer["sanded"])),
        ("waste", amount(answer["waste"])),
        ("mix", f"{amount(answer['mix'])}{f', {mass}' if mass else ''}"),
        ("a coat", f"{amount(answer['mix_a_coat'])} of it"),
        *estimates.filled(answer.get("filled"), in_coats=True),
    ]
    return spaced(labelled(pairs, view.width), marked(answer["cautions"], view.width))
