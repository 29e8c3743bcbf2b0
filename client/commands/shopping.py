"""`cureyard shopping`: what to buy."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..rendering import needs


@click.command("shopping")
@asks
def command(ask: Ask) -> None:
    """What to buy, by supplier: what open jobs are short of, and reorder points.

    \b
    Example:
      cureyard shopping
    """
    ask.show(ask.api.get("/v1/shopping"), needs.to_buy)
