"""`cureyard plan plies`: how many plies fill a thickness."""

from __future__ import annotations

from typing import Any

import click

from ...asking import Ask, asks
from ...options import filled
from ...rendering import repairs
from .stack import ply_option, rows


@click.command("plies")
@click.argument("thickness")
@ply_option
@click.option("--resin", metavar="PRODUCT", help="For its cured density (1.2 kg/L).")
@click.option("--surface", type=click.Choice(["simple", "complex"]), help="Of the part (simple).")
@asks
def command(ask: Ask, thickness: str, stack: tuple[Any, ...], **given: Any) -> None:
    """How many plies fill THICKNESS, the stack laid over and over; and what is left over.

    \b
    Example:
      cureyard plan plies "6.35 mm" --ply "450 g/m2" mat 1 --ply "600 g/m2" woven 1
    """
    body = {"thickness": thickness, "stack": rows(stack), **filled(**given)}
    ask.show(ask.api.post("/v1/estimates/plies", body), repairs.counted)
