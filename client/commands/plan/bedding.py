"""`cureyard plan bedding`: the putty under a part or a core."""

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


@click.command("bedding")
@click.argument("area")
@click.argument("thickness")
@click.option(
    "--waste",
    "waste_percent",
    type=number,
    metavar="PERCENT",
    help="Share left in the pot or squeezed out (15).",
)
@click.option("--product", type=PRODUCT, help="The putty; or the resin, with --consistency.")
@thickened_option
@catalyst_option
@need_options
@asks
def command(ask: Ask, need: str | None, by: str | None, **given: Any) -> None:
    """Work out the putty that fills a gap of THICKNESS under an AREA.

    \b
    Example:
      cureyard plan bedding "0.8 m2" "3 mm" --product LAM-PE --consistency MICROS sags
    """
    thickened = take_thickened(given)
    work_out(ask, "bedding", filled(**given, **thickened), _shown, need=need, by=by)


def _shown(answer: Record, view: View) -> list[str]:
    mass = amount(answer["mass"])
    pairs = [
        ("bed", amount(answer["bed"])),
        ("waste", amount(answer["waste"])),
        ("mix", f"{amount(answer['mix'])}{f', {mass}' if mass else ''}"),
        *estimates.filled(answer.get("filled")),
    ]
    return spaced(labelled(pairs, view.width), marked(answer["cautions"], view.width))
