"""`cureyard logbook`: what was decided beside the rules."""

from __future__ import annotations

from typing import Any

import click

from ..asking import Ask, asks
from ..options import paged
from ..rendering import people


@click.command("logbook")
@paged
@asks
def command(ask: Ask, **query: Any) -> None:
    """What was decided beside the rules: overrides, holds, extensions, tokens.

    \b
    Example:
      cureyard logbook --limit 20
    """
    ask.show_list(ask.api.get("/v1/logbook", **query), people.logbook)
