"""`cureyard shopping`: what to buy."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..rendering import needs


@click.command("shopping")
@asks
def command(ask: Ask) -> None:
    """Show what to buy, by supplier: what open jobs lack, and what is below its reorder point.

    \b
    Example:
      cureyard shopping
    """
    ask.show(ask.api.get("/v1/shopping"), needs.to_buy)
