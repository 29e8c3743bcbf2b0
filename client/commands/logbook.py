"""`cureyard logbook`: decisions against or outside the rules."""

from __future__ import annotations

from typing import Any

import click

from ..asking import Ask, asks
from ..options.common import paged
from ..rendering import people


@click.command("logbook")
@paged
@asks
def command(ask: Ask, **query: Any) -> None:
    """List the decisions that people made: overrides, holds, extensions, tokens.

    \b
    Example:
      cureyard logbook --limit 20
    """
    ask.show_list(ask.api.get("/v1/logbook", **query), people.logbook)
