"""`cureyard plan plies`: how many plies fill a thickness."""

from __future__ import annotations

from typing import Any

import click

from ...asking import Ask, asks
from ...options.common import filled
from ...options.plies import ply_option, resin_option, stack_body, surface_option
from ...rendering import estimates


@click.command("plies")
@click.argument("thickness")
@ply_option
@resin_option
@surface_option
@asks
def command(ask: Ask, thickness: str, stack: tuple[Any, ...], **given: Any) -> None:
    """Work out how many plies fill THICKNESS, and what is left over; the stack is repeated.

    \b
    Example:
      cureyard plan plies "6.35 mm" --ply "450 g/m2" mat 1 --ply "600 g/m2" woven 1
    """
    body = {"thickness": thickness, "stack": stack_body(stack), **filled(**given)}
    ask.show(ask.api.post("/v1/estimates/plies", body), estimates.counted)
