"""`cureyard plan laminate`: what a stack of plies comes to."""

from __future__ import annotations

from typing import Any

import click

from ...asking import Ask, asks
from ...options import filled
from ...rendering import repairs
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
@asks
def command(ask: Ask, stack: tuple[Any, ...], **given: Any) -> None:
    """Thickness, fibre and resin of a stack of plies.

    \b
    Example:
      cureyard plan laminate --ply "300 g/m2" mat 1 --ply "600 g/m2" woven 1 --area "1.2 m2"
    """
    body = {"stack": rows(stack), **filled(**given)}
    ask.show(ask.api.post("/v1/estimates/laminate", body), repairs.laminated)
