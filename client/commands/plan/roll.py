"""`cureyard plan roll`: where on a roll every ply is cut."""

from __future__ import annotations

from typing import Any, TextIO

import click

from ... import new_file
from ...asking import Ask, asks
from ...options import drawing
from ...options.common import Choice, filled
from ...options.needs import need_options, work_out
from ...options.plies import taper_plies
from ...options.stored import PRODUCT
from ...rendering import cuts


@click.command("roll")
@click.argument("product", required=False, type=PRODUCT)
@click.option("--width", metavar="WIDTH", help="Width of the roll, if you name no product.")
@click.option(
    "--fabric",
    type=Choice(["mat", "woven", "multidirectional", "unidirectional"]),
    help="Mat and woven may lie a quarter turn round; others, and without it, only half.",
)
@click.option(
    "--cut",
    "sizes",
    type=(str, str, int),
    multiple=True,
    metavar="LENGTH WIDTH COUNT",
    help="Plies of one size: along the fibre, across, how many; may be repeated.",
)
@click.option(
    "--taper",
    type=click.File(encoding="utf-8"),
    metavar="FILE",
    help="The plies of 'plan taper … --json'; - is stdin.",
)
@drawing.svg_option
@need_options
@asks
def command(
    ask: Ask,
    product: str | None,
    sizes: tuple[tuple[str, str, int], ...],
    taper: TextIO | None,
    svg: str | None,
    need: str | None,
    by: str | None,
    **given: Any,
) -> None:
    """Lay plies out on a roll of PRODUCT: a list to cut by, from a roll that has the length.

    \b
    Examples:
      cureyard plan roll MAT-450 --fabric mat --cut "600 mm" "400 mm" 3
      cureyard plan roll --width "1.25 m" --cut "1.8 m" "300 mm" 4 --svg cuts.svg
      cureyard plan taper --hole "120 mm" --thickness "6 mm" --plies 4 --json \\
        | cureyard plan roll MAT-450 --fabric mat --taper -
    """
    new_file.refuse_existing(svg)
    typed = [{"length": length, "width": width, "count": n} for length, width, n in sizes]
    plies = [*typed, *(taper_plies(taper, product) if taper is not None else [])]
    body = filled(product=product, plies=plies, job=need, **given)
    work_out(ask, "roll", body, cuts.rolled, need=need, by=by)
    drawing.write(ask, "roll", body, svg)
