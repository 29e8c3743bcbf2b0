"""`cureyard yard`: the yard's own settings."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..exits import Stopped
from ..groups import Noun
from ..options.common import Choice, filled
from ..rendering import yard


@click.group("yard", cls=Noun)
def command() -> None:
    """The yard's time zone, units, currency, address, gates and sureness: show, set."""


@command.command("show")
@asks
def show_yard(ask: Ask) -> None:
    """Show the yard's settings.

    \b
    Example:
      cureyard yard show
    """
    ask.show(ask.api.get("/v1/yard"), yard.settings_shown)


@command.command("set")
@click.option("--zone", metavar="ZONE", help="The yard's time zone, such as Europe/Lisbon.")
@click.option("--shown-in", type=Choice(["us", "metric"]), help="The yard's units.")
@click.option("--currency", metavar="CODE", help="The currency of costs, such as EUR.")
@click.option("--address", metavar="URL", help="The address where people reach the service.")
@click.option(
    "--profile",
    type=Choice(["plain", "class"]),
    help="Quality gates: good practice, or a classification society's rules.",
)
@click.option(
    "--sureness",
    type=click.IntRange(90, 99),
    metavar="PERCENT",
    help="How sure the earliest and the latest moment of a forecast are (95).",
)
@click.option(
    "--jump", metavar="DIFF", help="Most that a probe may change in a minute, such as '3 K'."
)
@asks
def set_yard(ask: Ask, shown_in: str | None, **fields: str | int | None) -> None:
    """Change the yard's settings; records made before stay as they are.

    \b
    Example:
      cureyard yard set --shown-in us
    """
    if not (body := filled(units=shown_in, **fields)):
        raise Stopped("There is nothing to change.", "Name what to set; see --help.")
    ask.show(ask.api.patch("/v1/yard", body), yard.settings_shown)
