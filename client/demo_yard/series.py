"""The demo's temperatures: a real hourly series, with its dates moved so that it ends today."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from zoneinfo import ZoneInfo


def rows() -> Iterator[tuple[datetime, str]]:
    """Each measured hour: local time without a zone, and degrees Fahrenheit as text."""
    text = files(__package__).joinpath("seattle_july.csv").read_text(encoding="ascii")
    for line in text.splitlines():
        if line[0].isdigit():
            moment, temperature = line.split(",")
            yield datetime.fromisoformat(moment.replace("/", "-")), temperature


def moved(now: datetime, zone: ZoneInfo) -> list[tuple[datetime, str]]:
    """The hours until now, as if the last day of the series were today in a zone.

    An hour that the zone's clock skips in a spring night is left out.
    """
    here = now.astimezone(zone).date()
    found = list(rows())
    shift = here - found[-1][0].date()
    hours = [((at + shift).replace(tzinfo=zone), heat) for at, heat in found]
    return [(at, heat) for at, heat in hours if at <= now and _exists(at)]


def _exists(at: datetime) -> bool:
    there = at.astimezone(UTC).astimezone(at.tzinfo)
    return there.replace(tzinfo=None) - at.replace(tzinfo=None) == timedelta(0)


def table(hours: list[tuple[datetime, str]]) -> str:
    """The hours as a logger's file."""
    lines = [f"{at.isoformat()},{heat} degF" for at, heat in hours]
    return "\n".join(["at,temperature", *lines, ""])
