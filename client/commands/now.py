"""`cureyard now`: what to do now."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..rendering import now


@click.command("now")
@click.option("--watch", is_flag=True, help="Show it again every few seconds, until Ctrl-C.")
@asks
def command(ask: Ask, watch: bool) -> None:
    """Show what to do now: recoat windows, what can be sanded, what expires soon.

    \b
    Examples:
      cureyard now
      cureyard now --watch
    """
    if watch:
        from .. import watching

        if ask.as_json:
            raise click.UsageError("--watch is for a person: leave --json out.")
        watching.watch(lambda: ask.api.get("/v1/now"), now.shown)
    ask.show(ask.api.get("/v1/now"), now.shown)
