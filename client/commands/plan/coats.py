"""`cureyard plan coats`: paint and thinner for coats over an area."""

from __future__ import annotations

from typing import Any

import click

from ...answers import Record
from ...asking import Ask, asks
from ...options.common import filled, number
from ...options.needs import catalyst_option, need_options, work_out
from ...options.stored import PRODUCT
from ...rendering.amounts import amount
from ...rendering.columns import View, labelled, marked, spaced


@click.command("coats")
@click.argument("area")
@click.option("--wet", "wet_film", metavar="SIZE", help="Wet film of a coat, as for gel coat.")
@click.option("--dry", "dry_film", metavar="SIZE", help="Dry film of a coat; needs --solids.")
@click.option(
    "--solids",
    "solids_percent",
    type=number,
    metavar="PERCENT",
    help="Solids of the paint by volume.",
)
@click.option("--coats", type=int, help="How many coats (1).")
@click.option(
    "--thinner",
    "thinner_percent",
    type=number,
    metavar="PERCENT",
    help="Thinner, in percent of the paint.",
)
@click.option(
    "--loss",
    "loss_percent",
    type=number,
    metavar="PERCENT",
    help="Share of what leaves the gun that misses the part (0).",
)
@click.option(
    "--waste",
    "waste_percent",
    type=number,
    metavar="PERCENT",
    help="Share left in pot and roller (15).",
)
@click.option("--product", type=PRODUCT, help="Whose density and film limits to use.")
@catalyst_option
@need_options
@asks
def command(ask: Ask, need: str | None, by: str | None, **given: Any) -> None:
    """Work out paint, thinner and loss for coats over AREA.

    \b
    Examples:
      cureyard plan coats "12 m2" --dry "125 um" --solids 65 --coats 2 --thinner 5
      cureyard plan coats "3 m2" --wet "0.6 mm"
    """
    work_out(ask, "coating", filled(**given), _shown, need=need, by=by)


def _shown(answer: Record, view: View) -> list[str]:
    dry = amount(answer["dry_film"])
    mass = amount(answer["mass"])
    pairs = [
        ("coats", str(answer["coats"])),
        ("film", f"{amount(answer['wet_film'])} wet{f', {dry} dry' if dry else ''}, each coat"),
        ("cover", f"{amount(answer['litre_covers'])} a litre and coat, nothing lost"),
        ("on part", amount(answer["on_part"])),
        ("loss", amount(answer["loss"])),
        ("waste", amount(answer["waste"])),
        ("take", f"{amount(answer['paint'])}{f', {mass}' if mass else ''}"),
        ("thinner", amount(answer["thinner"])),
    ]
    return spaced(labelled(pairs, view.width), marked(answer["cautions"], view.width))
