"""`cureyard now`: what to do now."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..rendering import yard


@click.command("now")
@asks
def command(ask: Ask) -> None:
    """What to do now: windows, what can be sanded, what runs out of date.

    \b
    Example:
      cureyard now
    """
    ask.show(ask.api.get("/v1/now"), yard.now_shown)
