"""`cureyard plan taper`: how far to grind, and every ply's cut size."""

from __future__ import annotations

from typing import Any

import click

from ...asking import Ask, asks
from ...exits import Stopped
from ...options.common import Choice, filled
from ...options.hole import hole_options
from ...options.needs import catalyst_option, need_options, work_out
from ...options.plies import ply_option, resin_option, stack_body
from ...rendering import estimates


@click.command("taper")
@click.option("--seam", metavar="LENGTH", help="Along a seam of this length.")
@click.option("--hole", metavar="LENGTH", help="Over a hole of this length or diameter.")
@hole_options
@click.option("--thickness", metavar="LENGTH", help="Thickness of the skin (the stack's).")
@click.option("--sides", type=click.IntRange(1, 2), help="Faces to grind from (1).")
@click.option("--plies", type=int, metavar="N", help="This many equal plies, instead of --ply.")
@ply_option
@resin_option
@click.option("--room", metavar="WIDTH", help="Room to grind on one long side, if it is short.")
@click.option(
    "--order",
    type=Choice(["largest_first", "smallest_first"]),
    help="The order of laying (largest_first).",
)
@catalyst_option
@need_options
@asks
def command(
    ask: Ask,
    seam: str | None,
    hole: str | None,
    width: str | None,
    hole_shape: str | None,
    corner: str | None,
    stack: tuple[Any, ...],
    need: str | None,
    by: str | None,
    **given: Any,
) -> None:
    """Work out the taper of a laminate repair: what to grind, and every ply to cut.

    \b
    Examples:
      cureyard plan taper --hole "120 mm" --width "80 mm" --shape oval \\
        --thickness "6 mm" --plies 4
      cureyard plan taper --seam "1.4 m" --ply "450 g/m2" mat 1 --ply "600 g/m2" woven 3
    """
    if (seam is None) == (hole is None):
        raise Stopped("It is a seam or a hole.", "Give --seam LENGTH or --hole LENGTH.")
    body = filled(
        shape="patch" if seam is None else "seam",
        length=seam,
        hole=filled(length=hole, width=width, shape=hole_shape, corner=corner),
        stack=stack_body(stack),
        **given,
    )
    work_out(ask, "taper", body, estimates.tapered, need=need, by=by)
