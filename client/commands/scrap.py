"""`cureyard scrap`: write off stock."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..options import at_option, filled
from ..rendering import stock


@click.command("scrap")
@click.argument("lot")
@click.argument("quantity")
@click.option("--reason", metavar="TEXT", required=True, help="Why it is no good.")
@at_option("When it was scrapped")
@asks
def command(ask: Ask, lot: str, quantity: str, reason: str, at: str | None) -> None:
    """Write off stock, with the reason.

    LOT is an id, a lot number, or PRODUCT/NUMBER. QUANTITY has its unit, or is 'all'.

    \b
    Example:
      cureyard scrap LAM-PE/B-2207 all --reason "gelled in the drum"
    """
    body = filled(
        kind="scrap", lot=ask.lot_id(lot), quantity=quantity, reason=reason, at=ask.moment(at)
    )
    ask.show(ask.api.post("/v1/movements", body), stock.moved)
