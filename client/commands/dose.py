"""`cureyard dose`: the catalyst for one pot; nothing is drawn."""

from __future__ import annotations

from typing import Any

import click

from ..asking import Ask, asks
from ..options import F, filled, number
from ..rendering import pots

_OPTIONS = (
    click.argument("resin"),
    click.argument("amount"),
    click.option("--catalyst", metavar="CODE", help="Which, where the resin has several."),
    click.option("--bay", metavar="CODE",
                 help="Where the part will lie: it tells of the night, and how warm the resin is "
                 "where --temperature does not."),
    click.option("--temperature", metavar="TEMP", help="Of the resin itself: better."),
    click.option("--gel", "target_gel", metavar="TIME", help="The gel time that is wanted."),
    click.option("--percent", "catalyst_percent", type=number, metavar="PERCENT",
                 help="The catalyst's share instead."),
    click.option("--mixing", metavar="TIME", help="How long the mixing takes."),
)  # fmt: skip


def dose_options(command: F) -> F:
    """Give a command what a dose is worked out from."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


@click.command("dose")
@dose_options
@click.option("--filled", is_flag=True, default=None, help="Fillers go in as well.")
@asks
def command(ask: Ask, **given: Any) -> None:
    """Work out the catalyst for one pot; nothing is drawn.

    Grams come first: weigh it. Give the wanted gel time or the percent.

    \b
    Examples:
      cureyard dose LAM-PE "2 kg" --bay SHED --gel "25 min"
      cureyard dose LAM-PE "500 g" --bay SHED --temperature "19 degC" --percent 2
    """
    ask.show(ask.api.post("/v1/doses", filled(**given)), pots.dosed)
