"""`cureyard plan laminate`: what a stack of plies comes to."""

from __future__ import annotations

from typing import Any

import click

from ...asking import Ask, asks
from ...options import filled
from ...rendering import repairs
from .needing import need_options, work_out
from .stack import ply_option, rows


@click.command("laminate")
@ply_option
@click.option("--resin", metavar="PRODUCT", help="For its cured density (1.2 kg/L).")
@click.option("--area", metavar="AREA", help="For kilograms, such as '1.2 m2'.")
@click.option(
    "--method",
    type=click.Choice(["each_ply", "combination"]),
    help="How mat with cloth is counted (each_ply); the other is told beside it.",
)
@click.option("--surface", type=click.Choice(["simple", "complex"]), help="Of the part (simple).")
@click.option("--catalyst", metavar="CODE", help="Or hardener, where several fit.")
@need_options
@asks
def command(
    ask: Ask, stack: tuple[Any, ...], need: str | None, by: str | None, **given: Any
) -> None:
    """Thickness, fibre and resin of a stack of plies.

    \b
    Examples:
      cureyard plan laminate --ply "300 g/m2" mat 1 --ply "600 g/m2" woven 1 --area "1.2 m2"
      cureyard plan laminate --ply MAT-450 mat 3 --resin LAM-PE --area "1.2 m2" \\
        --need 26-014 --by 2026-04-02
    """
    body = {"stack": rows(stack), **filled(**given)}
    work_out(ask, "laminate", body, repairs.laminated, need=need, by=by)
