"""`cureyard plan foam`: the kit for a cavity, in lifts."""

from __future__ import annotations

from typing import Any

import click

from ...asking import Ask, asks
from ...options import filled, number
from ...rendering.amounts import amount
from ...rendering.columns import View, labelled, marked, spaced
from .needing import need_options, work_out


@click.command("foam")
@click.argument("cavity", type=click.Choice(["box", "prism", "water"]))
@click.argument("sizes", nargs=-1, required=True)
@click.option("--depth", required=True, metavar="SIZE", help="From bottom to top, as it stands.")
@click.option("--lift", required=True, metavar="SIZE", help="Thickest lift of the product.")
@click.option("--vents", required=True, type=int, help="Holes for the air: go and count them.")
@click.option("--density", "foam_density", metavar="DENSITY", help="Of the foam in place.")
@click.option("--waste", "waste_percent", type=number, metavar="PERCENT",
              help="Left in the pots (15).")  # fmt: skip
@click.option("--product", metavar="CODE", help="Whose density and thickest lift to use.")
@click.option("--catalyst", metavar="CODE", help="Or hardener, where several fit.")
@need_options
@asks
def command(
    ask: Ask, cavity: str, sizes: tuple[str, ...], need: str | None, by: str | None, **given: Any
) -> None:
    """Kit for a cavity: a box of length and width, a prism of section and length, or by water.

    \b
    Examples:
      cureyard plan foam box "1.2 m" "0.3 m" --depth "0.25 m" --lift "100 mm" --vents 4 \\
        --density "32 kg/m3"
      cureyard plan foam water "41 L" --depth "0.3 m" --lift "100 mm" --vents 3 \\
        --density "2 lb/ft3"
    """
    names = {"box": ("length", "width"), "prism": ("section", "length"), "water": ("water",)}
    if len(sizes) != len(names[cavity]):
        raise click.UsageError(f"A {cavity} takes {' and '.join(names[cavity])}.")
    body = filled(cavity=cavity, **dict(zip(names[cavity], sizes, strict=True)), **given)
    work_out(ask, "foam", body, _shown, need=need, by=by)


def _shown(answer: dict[str, Any], view: View) -> list[str]:
    each = amount(answer["mix_a_lift"])
    pairs = [
        ("cavity", f"{amount(answer['volume'])}, vents counted: {answer['vents']}"),
        ("kit", f"{amount(answer['kit'])}, both parts"),
        ("waste", amount(answer["waste"])),
        ("mix", amount(answer["mix"])),
        ("lifts", f"{answer['lifts']} of {amount(answer['lift'])}, {each} a lift"),
    ]
    return spaced(labelled(pairs, view.width), marked(answer["cautions"], view.width))
