"""`cureyard now`: what to do now."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..rendering import yard


@click.command("now")
@click.option("--watch", is_flag=True, help="Draw it anew every few seconds, until Ctrl-C.")
@asks
def command(ask: Ask, watch: bool) -> None:
    """What to do now: windows, what can be sanded, what runs out of date.

    \b
    Examples:
      cureyard now
      cureyard now --watch
    """
    if watch:
        from ..watching import watch as drawing

        if ask.as_json:
            raise click.UsageError("--watch draws for a person: leave --json out.")
        drawing(lambda: ask.api.get("/v1/now"), yard.now_shown)
    ask.show(ask.api.get("/v1/now"), yard.now_shown)
