"""`cureyard plan sheets`: where on a sheet every piece is cut."""

from __future__ import annotations

from typing import Any

import click

from ... import new_file
from ...api import Body
from ...asking import Ask, asks
from ...options import drawing
from ...options.common import filled
from ...options.needs import need_options, work_out
from ...options.stored import PRODUCT
from ...rendering import cuts

_SIZES = (str, str, int)


@click.command("sheets")
@click.argument("product", required=False, type=PRODUCT)
@click.option("--length", metavar="LENGTH", help="Length of a sheet, along its grain.")
@click.option("--width", metavar="WIDTH", help="Width of a sheet.")
@click.option("--kerf", metavar="WIDTH", help="Width of the saw cut (3 mm).")
@click.option(
    "--cut",
    "kept",
    type=_SIZES,
    multiple=True,
    metavar="LENGTH WIDTH COUNT",
    help="Pieces of one size: along the grain, across, how many; may be repeated.",
)
@click.option(
    "--any-way",
    "free",
    type=_SIZES,
    multiple=True,
    metavar="LENGTH WIDTH COUNT",
    help="The same, for pieces whose grain may lie either way.",
)
@drawing.svg_option
@need_options
@asks
def command(
    ask: Ask,
    product: str | None,
    kept: tuple[tuple[str, str, int], ...],
    free: tuple[tuple[str, str, int], ...],
    svg: str | None,
    need: str | None,
    by: str | None,
    **given: Any,
) -> None:
    """Lay pieces out on PRODUCT's offcuts and sheets: a list to cut by.

    \b
    Examples:
      cureyard plan sheets PLY-12 --cut "800 mm" "600 mm" 4 --need 26-014
      cureyard plan sheets --length "2.44 m" --width "1.22 m" --any-way "500 mm" "300 mm" 6
    """
    new_file.refuse_existing(svg)
    pieces = [_piece(size, turn) for sizes, turn in ((kept, False), (free, True)) for size in sizes]
    body = filled(product=product, pieces=pieces, job=need, **given)
    none = f"It all comes off offcuts: job {need} needs no whole sheet." if product else None
    work_out(ask, "sheets", body, cuts.sawn, need=need, by=by, if_nothing=none)
    drawing.write(ask, "sheets", body, svg)


def _piece(size: tuple[str, str, int], turn: bool) -> Body:
    length, width, count = size
    return {"length": length, "width": width, "count": count, "turn": turn}
