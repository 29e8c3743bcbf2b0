"""`cureyard plan bag`: what a vacuum bag takes."""

from __future__ import annotations

from typing import Any

import click

from ...answers import Record
from ...asking import Ask, asks
from ...options.common import filled, number
from ...options.needs import need_options, work_out
from ...options.stored import PRODUCT
from ...rendering.amounts import amount
from ...rendering.columns import View, labelled, marked, spaced


@click.command("bag")
@click.argument("length")
@click.argument("width")
@click.option("--margin", metavar="SIZE", help="How far each sheet reaches past the last (50 mm).")
@click.option(
    "--pleats",
    "pleats_percent",
    type=number,
    metavar="PERCENT",
    help="Film and tape for pleats (20).",
)
@click.option("--film", type=PRODUCT, help="The film, for --need.")
@click.option("--peel-ply", type=PRODUCT, help="The peel ply, for --need.")
@click.option("--breather", type=PRODUCT, help="The breather, for --need.")
@click.option("--tape", type=PRODUCT, help="The tape, for --need.")
@need_options
@asks
def command(ask: Ask, need: str | None, by: str | None, **given: Any) -> None:
    """Work out the film, peel ply, breather and tape of a vacuum bag over LENGTH by WIDTH.

    Products on rolls have the role bagging, and a width.

    \b
    Examples:
      cureyard plan bag "1.2 m" "600 mm"
      cureyard plan bag "4 ft" "2 ft" --margin "2 in" --pleats 30
    """
    work_out(ask, "bag", filled(**given), _shown, need=need, by=by)


def _shown(answer: Record, view: View) -> list[str]:
    pairs = [
        ("film", f"{amount(answer['film'])}, pleats in it"),
        ("peel ply", amount(answer["peel_ply"])),
        ("breather", amount(answer["breather"])),
        ("tape", f"{amount(answer['tape'])}, pleats in it"),
    ]
    return spaced(
        labelled(pairs, view.width),
        marked(answer["cautions"], view.width),
        marked(answer["advice"], view.width, "- "),
    )
