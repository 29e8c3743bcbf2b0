"""`cureyard count`: say how much is really there."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..options import filled
from ..rendering import stock


@click.command("count")
@click.argument("lot")
@click.argument("quantity")
@click.option("--at", metavar="TIME", help="When it was counted (now).")
@click.option("--reason", metavar="TEXT", help="What explains the difference.")
@asks
def command(ask: Ask, lot: str, quantity: str, at: str | None, reason: str | None) -> None:
    """Say how much of a lot is really there.

    The books take the difference. LOT is an id, a lot number, or PRODUCT/NUMBER. QUANTITY
    may be '0 kg'.

    \b
    Example:
      cureyard count LAM-PE/B-2207 "17.4 kg"
    """
    counted = ask.moment(at)
    body = filled(
        kind="count", lot=ask.lot_id(lot), quantity=quantity, counted_at=counted, reason=reason
    )
    ask.show(ask.api.post("/v1/movements", body), stock.moved)
