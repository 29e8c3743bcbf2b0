"""`cureyard now`: what to do now."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..options.common import plain_option
from ..rendering import now, now_all


@click.command("now")
@click.option("--watch", is_flag=True, help="Show it again every few seconds, until Ctrl-C.")
@click.option("--all", "whole", is_flag=True, help="Show every window, lot and bay at length.")
@plain_option
@asks
def command(ask: Ask, watch: bool, whole: bool) -> None:
    """Show what to do now: recoat windows, what can be sanded, what expires soon.

    \b
    Examples:
      cureyard now
      cureyard now --all
      cureyard now --watch
    """
    render = now_all.shown if whole else now.shown
    if watch:
        from .. import watching

        if ask.as_json:
            raise click.UsageError("--watch is for a person: leave --json out.")
        watching.watch(lambda kept: ask.api.get_anew("/v1/now", kept), render)
    ask.show(ask.api.get("/v1/now"), render)
