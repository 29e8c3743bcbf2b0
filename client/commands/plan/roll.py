"""`cureyard plan roll`: where on a roll every ply is cut."""

from __future__ import annotations

from typing import Any, TextIO

import click

from ...asking import Ask, asks
from ...options import filled
from ...rendering import cuts
from . import drawing, taken_in
from .needing import need_options, work_out


@click.command("roll")
@click.argument("product", required=False)
@click.option("--width", metavar="WIDTH", help="Of the roll, where no product says it.")
@click.option(
    "--fabric",
    type=click.Choice(["mat", "woven", "multidirectional", "unidirectional"]),
    help="Mat and woven may lie a quarter turn round; others, and without it, only half.",
)
@click.option("--cut", "sizes", type=(str, str, int), multiple=True, metavar="LENGTH WIDTH COUNT",
              help="So many plies: along the fibre, across, how many; repeatable.")  # fmt: skip
@click.option("--taper", type=click.File(encoding="utf-8"), metavar="FILE",
              help="The plies of 'plan taper … --json'; - is what is piped in.")  # fmt: skip
@drawing.svg_option
@need_options
@asks
def command(
    ask: Ask, product: str | None, sizes: tuple[tuple[str, str, int], ...], taper: TextIO | None,
    svg: str | None, need: str | None, by: str | None, **given: Any,
) -> None:  # fmt: skip
    """Lay plies out on a roll of PRODUCT: a list to cut by, from a roll that has the length.

    \b
    Examples:
      cureyard plan roll MAT-450 --fabric mat --cut "600 mm" "400 mm" 3
      cureyard plan roll --width "1.25 m" --cut "1.8 m" "300 mm" 4 --svg cuts.svg
      cureyard plan taper --hole "120 mm" --thickness "6 mm" --plies 4 --json \\
        | cureyard plan roll MAT-450 --fabric mat --taper -
    """
    drawing.check(svg)
    plies = [{"length": length, "width": width, "count": n} for length, width, n in sizes]
    if taper is not None:
        plies += taken_in.plies(taper, product)
    body = filled(product=product, plies=plies, job=need, **given)
    work_out(ask, "roll", body, cuts.rolled, need=need, by=by)
    drawing.write(ask, "roll", body, svg)
