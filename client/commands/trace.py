"""`cureyard trace`: where a lot went."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..options.stored import LOT
from ..rendering import stock


@click.command("trace")
@click.argument("lot", type=LOT)
@asks
def command(ask: Ask, lot: str) -> None:
    """Show where a lot went: every pot, layup and job.

    LOT is an id, a lot number, or PRODUCT/NUMBER.

    \b
    Example:
      cureyard trace LAM-PE/B-2207
    """
    ask.show(ask.api.get(ask.lot(lot) + "/trace"), stock.traced)
