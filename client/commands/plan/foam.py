"""`cureyard plan foam`: the foam kit for a cavity, in lifts."""

from __future__ import annotations

from typing import Any

import click

from ...answers import Record
from ...asking import Ask, asks
from ...options.common import Choice, filled, number
from ...options.needs import catalyst_option, need_options, work_out
from ...options.stored import PRODUCT
from ...rendering.amounts import amount
from ...rendering.columns import View, labelled, marked, spaced

SIZES = {"box": ("length", "width"), "prism": ("section", "length"), "water": ("water",)}
"""The sizes that each kind of cavity takes, in their order."""


@click.command("foam")
@click.argument("cavity", type=Choice(list(SIZES)))
@click.argument("sizes", nargs=-1, required=True)
@click.option("--depth", required=True, metavar="SIZE", help="From bottom to top, as it stands.")
@click.option("--lift", required=True, metavar="SIZE", help="The product's thickest lift.")
@click.option("--vents", required=True, type=int, help="Holes for the air: go and count them.")
@click.option("--density", "foam_density", metavar="DENSITY", help="Density of the foam in place.")
@click.option(
    "--waste", "waste_percent", type=number, metavar="PERCENT", help="Share left in the pots (15)."
)
@click.option("--product", type=PRODUCT, help="Whose density and thickest lift to use.")
@catalyst_option
@need_options
@asks
def command(
    ask: Ask, cavity: str, sizes: tuple[str, ...], need: str | None, by: str | None, **given: Any
) -> None:
    """Work out the foam kit for a cavity.

    SIZES are length and width of a box, section and length of a prism, or the volume of water
    that fills the cavity.

    \b
    Examples:
      cureyard plan foam box "1.2 m" "0.3 m" --depth "0.25 m" --lift "100 mm" --vents 4 \\
        --density "32 kg/m3"
      cureyard plan foam water "41 L" --depth "0.3 m" --lift "100 mm" --vents 3 \\
        --density "2 lb/ft3"
    """
    names = SIZES[cavity]
    if len(sizes) != len(names):
        raise click.UsageError(f"A {cavity} takes {' and '.join(names)}.")
    body = filled(cavity=cavity, **dict(zip(names, sizes, strict=True)), **given)
    work_out(ask, "foam", body, _shown, need=need, by=by)


def _shown(answer: Record, view: View) -> list[str]:
    each = amount(answer["mix_a_lift"])
    pairs = [
        ("cavity", f"{amount(answer['volume'])}, vents counted: {answer['vents']}"),
        ("kit", f"{amount(answer['kit'])}, both parts"),
        ("waste", amount(answer["waste"])),
        ("mix", amount(answer["mix"])),
        ("lifts", f"{answer['lifts']} of {amount(answer['lift'])}, {each} a lift"),
    ]
    return spaced(labelled(pairs, view.width), marked(answer["cautions"], view.width))
