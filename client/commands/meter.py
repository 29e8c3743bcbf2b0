"""`cureyard meter`: moisture meters and their scales."""

from __future__ import annotations

from typing import Any

import click

from ..api import at
from ..asking import Ask, asks
from ..groups import Noun
from ..options.common import Choice, filled, number, paged
from ..rendering import wetness


@click.group("meter", cls=Noun)
def command() -> None:
    """Moisture meters: add, list, show."""


@command.command("add")
@click.argument("code")
@click.option("--title", required=True, metavar="TEXT", help="What it is.")
@click.option(
    "--kind", required=True, type=Choice(["capacitance", "pins"]), help="How it measures."
)
@click.option("--scale-from", type=number, metavar="NUMBER", help="Lower end of its scale (0).")
@click.option(
    "--scale-to", required=True, type=number, metavar="NUMBER", help="Upper end of its scale."
)
@click.option("--mode", "modes", multiple=True, metavar="NAME", help="A mode; may be repeated.")
@click.option(
    "--percent-mode",
    "percent_modes",
    multiple=True,
    metavar="NAME",
    help="A mode of pins in wood, which measures percent of water; may be repeated.",
)
@asks
def add_meter(
    ask: Ask, code: str, modes: tuple[str, ...], percent_modes: tuple[str, ...], **fields: Any
) -> None:
    """Add a moisture meter. Its numbers are points, which only compare.

    \b
    Examples:
      cureyard meter add CAP-1 --title "Capacitance meter" --kind capacitance --scale-to 100 \\
        --mode shallow --mode deep
      cureyard meter add PINS --title "Pins" --kind pins --scale-from 6 --scale-to 40 \\
        --percent-mode wood
    """
    if not (modes or percent_modes):
        raise click.UsageError("Name at least one --mode.")
    named = [{"name": name, "measures": "points"} for name in modes]
    named += [{"name": name, "measures": "percent"} for name in percent_modes]
    body = filled(code=code, modes=named, **fields)
    ask.show(ask.api.post("/v1/meters", body), wetness.meter_shown)


@command.command("list")
@paged
@asks
def list_meters(ask: Ask, **query: Any) -> None:
    """List moisture meters.

    \b
    Example:
      cureyard meter list
    """
    ask.show_list(ask.api.get("/v1/meters", **query), wetness.meters_listed)


@command.command("show")
@click.argument("code")
@asks
def show_meter(ask: Ask, code: str) -> None:
    """Show one moisture meter.

    \b
    Example:
      cureyard meter show CAP-1
    """
    ask.show(ask.api.get(at("meters", code)), wetness.meter_shown)
