"""`cureyard bay`: places with their own temperature."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any, BinaryIO

import click

from ..answers import Record
from ..api import at
from ..asking import Ask, asks
from ..exits import Forbidden, Stopped
from ..groups import Noun
from ..options.common import F, filled, number, paged
from ..options.stored import BAY
from ..rendering import yard
from ..rendering.moments import read
from ..withdrawals import withdraw_reading


@click.group("bay", cls=Noun)
def command() -> None:
    """Places with their own temperature: add, read, undo, list, show, set."""


def pattern_options(required: bool) -> Callable[[F], F]:
    """The usual temperatures of a bay, which count when nobody reads it."""

    def give(function: F) -> F:
        for name, metavar, text in reversed(
            (
                ("--title", "TEXT", "The bay's name."),
                ("--day", "TEMP", "Usual temperature by day."),
                ("--night", "TEMP", "Usual temperature by night."),
                ("--day-from", "HH:MM", "When the day begins there."),
                ("--day-until", "HH:MM", "When the day ends there."),
            )
        ):
            function = click.option(name, required=required, metavar=metavar, help=text)(function)
        return function

    return give


def trust_options(function: F) -> F:
    """How far a bay's temperatures can be trusted."""
    function = click.option(
        "--gap-max", metavar="TIME", help="Longest gap between readings to bridge (2 h)."
    )(function)
    function = click.option(
        "--in-the-open/--indoors", default=None, help="Whether the weather comes in (indoors)."
    )(function)
    function = click.option(
        "--checked-on", metavar="DATE", help="When its thermometer was last checked."
    )(function)
    return click.option(
        "--uncertainty", metavar="DIFF", help="How wrong a temperature may be, such as '2 K'."
    )(function)


@command.command("add")
@click.argument("code")
@pattern_options(required=True)
@trust_options
@asks
def add_bay(ask: Ask, code: str, **fields: str | bool | None) -> None:
    """Add a bay, with the temperatures by day and night that count when nobody reads it.

    \b
    Example:
      cureyard bay add SHED --title "Laminating shed" --day "20 degC" --night "14 degC" \\
        --day-from 07:00 --day-until 18:00
    """
    ask.show(ask.api.post("/v1/bays", filled(code=code, **fields)), yard.bay_shown)


@command.command("read")
@click.argument("code", type=BAY)
@click.argument("temperature", required=False)
@click.option("--humidity", type=number, metavar="PERCENT", help="Relative humidity.")
@click.option("--at", "moment", metavar="TIME", help="When it was read (now).")
@click.option("--csv", "file", type=click.File("rb"), help="A logger's file; - is stdin.")
@click.option("--replace", metavar="REASON", help="Why this replaces the reading of that time.")
@asks
def read_bay(
    ask: Ask,
    code: str,
    temperature: str | None,
    humidity: float | None,
    moment: str | None,
    file: BinaryIO | None,
    replace: str | None,
) -> None:
    """Record a bay's temperature, or a logger's file of temperatures.

    The file's first line names its columns: at, temperature and, if known,
    humidity_percent. Each temperature has its unit, as '19.4 degC'. For a logger on
    another clock see 'cureyard import readings'.

    \b
    Examples:
      cureyard bay read SHED "19.5 degC" --humidity 62
      cureyard bay read SHED --csv logger.csv
    """
    path = at("bays", code, "readings")
    if (temperature is None) == (file is None):
        raise click.UsageError("Give either a temperature or --csv FILE.")
    if file is not None:
        if humidity is not None or moment is not None or replace is not None:
            raise click.UsageError("The file has its own times and humidity: give --csv alone.")
        table = at("imports", "readings", code)
        ask.show(ask.api.post_csv(table, file.read()), yard.file_taken)
        return
    reading = filled(
        at=ask.moment(moment or "now"), temperature=temperature, humidity_percent=humidity,
        replaces=True if replace else None, reason=replace,
    )  # fmt: skip
    ask.show(ask.api.post(path, {"readings": [reading]}), yard.readings_taken)


@command.command("undo")
@click.argument("code", type=BAY)
@click.option("--at", "moment", metavar="TIME", help="When it was read (the last one entered).")
@click.option("--reason", metavar="TEXT", default="undone", help="Why (undone).")
@asks
def undo_reading(ask: Ask, code: str, moment: str | None, reason: str) -> None:
    """Take back a wrong reading of a bay; it stays on record.

    \b
    Examples:
      cureyard bay undo SHED --reason "read in the tent"
      cureyard bay undo SHED --at 12:30
    """
    readings = ask.api.get(at("bays", code, "readings"), limit=200).body["items"]
    reading = _last_valid(readings, code, ask.moment(moment))
    withdraw_reading(ask, code, reading, reason, whole_entry=False)


def _last_valid(readings: list[Record], code: str, moment: str | None) -> int:
    """The id of the last reading that was not withdrawn; if a moment is given, of that moment."""
    for each in readings:
        same = moment is None or _minute(each["at"]) == _minute(moment)
        if same and each["withdrawn"] is None:
            return int(each["id"])
    when = "" if moment is None else " at that time"
    raise Forbidden(
        f"None of the last {len(readings)} readings entered for {code} is valid{when}.",
        "Name the bay, and the time to the minute, as it was entered.",
    )


def _minute(moment: str) -> datetime:
    """A moment to the minute, as a person types it."""
    return read(moment).astimezone(UTC).replace(second=0)


@command.command("list")
@paged
@asks
def list_bays(ask: Ask, **query: Any) -> None:
    """List bays.

    \b
    Example:
      cureyard bay list
    """
    ask.show_list(ask.api.get("/v1/bays", **query), yard.bays_listed)


@command.command("show")
@click.argument("code", type=BAY)
@asks
def show_bay(ask: Ask, code: str) -> None:
    """Show one bay.

    \b
    Example:
      cureyard bay show SHED
    """
    ask.show(ask.api.get(at("bays", code)), yard.bay_shown)


@command.command("set")
@click.argument("code", type=BAY)
@pattern_options(required=False)
@trust_options
@asks
def set_bay(ask: Ask, code: str, **fields: str | bool | None) -> None:
    """Change a bay's usual temperatures from now on, its name, or how well it is known.

    \b
    Examples:
      cureyard bay set SHED --night "12 degC"
      cureyard bay set SHED --checked-on 2026-03-01
    """
    if not (body := filled(**fields)):
        raise Stopped("There is nothing to change.", "Name what to set; see --help.")
    ask.show(ask.api.patch(at("bays", code), body), yard.bay_shown)
