"""`cureyard plan cored`: a hole through a cored panel, mended from one side."""

from __future__ import annotations

from typing import Any

import click

from ...answers import Quantity, Record
from ...asking import Ask, asks
from ...options.common import filled, number
from ...options.hole import hole_options
from ...options.needs import catalyst_option, need_options, work_out
from ...options.stored import PRODUCT
from ...rendering.amounts import amount
from ...rendering.columns import View, labelled, marked, spaced
from ...rendering.cuts import mark
from ...rendering.estimates import fine, to_weigh, volume


@click.command("cored")
@click.argument("hole")
@hole_options
@click.option("--inner", required=True, metavar="SIZE", help="Thickness of the far skin.")
@click.option("--outer", required=True, metavar="SIZE", help="Thickness of the skin you work on.")
@click.option("--core", required=True, metavar="SIZE", help="Thickness of the core.")
@click.option("--landing", metavar="SIZE", help="Bare strip between inner taper and core (25 mm).")
@click.option("--bedding", metavar="SIZE", help="Thickness of the bed under the new core.")
@click.option("--kerf", "kerf_width", metavar="SIZE", help="Width of the kerfs in the new core.")
@click.option("--pitch", "kerf_pitch", metavar="SIZE", help="From one kerf to the next.")
@click.option(
    "--waste", "waste_percent", type=number, metavar="PERCENT", help="Share left in the pots (15)."
)
@click.option("--product", type=PRODUCT, help="What beds the core.")
@catalyst_option
@need_options
@asks
def command(
    ask: Ask,
    hole: str,
    width: str | None,
    hole_shape: str | None,
    corner: str | None,
    need: str | None,
    by: str | None,
    **given: Any,
) -> None:
    """Work out what to open around a hole through a cored panel, and what beds the new core.

    HOLE is the hole's length or diameter in the inner skin.

    \b
    Examples:
      cureyard plan cored "100 mm" --inner "3 mm" --outer "4 mm" --core "20 mm"
      cureyard plan cored "8 in" --width "5 in" --inner "1/8 in" --outer "3/16 in" \\
        --core "3/4 in" --bedding "1/16 in" --kerf "2 mm" --pitch "30 mm"
    """
    outline = filled(length=hole, width=width, shape=hole_shape, corner=corner)
    work_out(ask, "cored", filled(hole=outline, **given), _shown, need=need, by=by)


def _shown(answer: Record, view: View) -> list[str]:
    pairs = [
        ("inner skin", _ground(answer["inner_ground"], answer["inner_width"])),
        ("core", f"open {_size(answer['core_opening'])}, {amount(answer['core_area'])}"),
        ("outer skin", _ground(answer["outer_ground"], answer["outer_width"])),
        ("verdict", answer["verdict"]),
    ]
    if answer["mix"]["value"]:
        mass = "" if answer["mass"] is None else f", {amount(answer['mass'])}"
        pairs += [
            ("bed", volume(answer["bedding"])),
            ("kerfs", _kerfs(answer)),
            ("mix", f"{volume(answer['mix'])}{mass}, {volume(answer['waste'])} of it for waste"),
            ("weigh", to_weigh(answer["needs"])),
        ]
    return spaced(
        labelled(pairs, view.width),
        marked(answer["cautions"], view.width),
        marked(answer["advice"], view.width, "- "),
    )


def _ground(outline: Record, width: Quantity) -> str:
    return f"grind {mark(width)} a side, out to {_size(outline)}"


def _size(outline: Record) -> str:
    if outline["shape"] == "round":
        return f"{mark(outline['length'])} across"
    return f"{mark(outline['length'])} × {mark(outline['width'])}"


def _kerfs(answer: Record) -> str:
    if not answer["kerfs"]["value"]:
        return ""
    return f"{volume(answer['kerfs'])}, {fine(answer['kerf_depth'])} deep over the panel"
