"""`cureyard plan laminate`: thickness, fibre and resin of a stack of plies."""

from __future__ import annotations

from typing import Any

import click

from ...asking import Ask, asks
from ...options.common import Choice, filled
from ...options.needs import catalyst_option, need_options, work_out
from ...options.plies import ply_option, resin_option, stack_body, surface_option
from ...rendering import estimates


@click.command("laminate")
@ply_option
@resin_option
@click.option(
    "--area", metavar="AREA", help="The area, such as '1.2 m2', for an answer in kilograms."
)
@click.option(
    "--method",
    type=Choice(["each_ply", "combination"]),
    help="How to count mat together with cloth (each_ply); you see the other way as well.",
)
@surface_option
@catalyst_option
@need_options
@asks
def command(
    ask: Ask, stack: tuple[Any, ...], need: str | None, by: str | None, **given: Any
) -> None:
    """Work out thickness, fibre and resin of a stack of plies.

    \b
    Examples:
      cureyard plan laminate --ply "300 g/m2" mat 1 --ply "600 g/m2" woven 1 --area "1.2 m2"
      cureyard plan laminate --ply MAT-450 mat 3 --resin LAM-PE --area "1.2 m2" \\
        --need 26-014 --needed-on 2026-04-02
    """
    body = {"stack": stack_body(stack), **filled(**given)}
    work_out(ask, "laminate", body, estimates.laminated, need=need, by=by)
