"""Moments and amounts as a page shows them: on the yard's clock, in the yard's units.

A forecast is shown to five minutes on its safe side, see `core.amounts.hours`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import datetime
from typing import Literal

from ...core.amounts import hours, quantities
from ...core.amounts.quantities import Kind
from . import request, state_words

Way = Literal["down", "near", "up"]

_WHOLE: dict[Way, Callable[[float], int]] = {"down": math.floor, "near": round, "up": math.ceil}
DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")  # not the machine's language
MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_SIGNS = {
    "degC": "°C", "degF": "°F", "delta_degF": "°F", "m**2": "m²", "ft**2": "ft²",
    "g/m**2": "g/m²", "oz/yd**2": "oz/yd²", "oz/ft**2": "oz/ft²",
}  # fmt: skip


def stepped(moment: float, step: int = 1, way: Way = "down") -> int:
    """A moment (epoch s) on a step of so many minutes: the one before, after or nearest.

    What was is shown to the minute that it was in, on every page: so two places never differ.

    Every zone is whole quarters of an hour from UTC, so steps of the epoch are steps of its clock.
    """
    return _WHOLE[way](moment / (60 * step)) * 60 * step


def clock(moment: float | None, step: int = 1, way: Way = "down") -> str:
    """`14:35` today, `Tue 14:35` in the week to come, else with its date; None is empty.

    A weekday alone is always to come, so that nobody takes last Tuesday for the next one.
    """
    if moment is None:
        return ""
    here, face = local(request.now()), local(stepped(moment, step, way))
    days = (face.date() - here.date()).days
    if days == 0:
        return f"{face:%H:%M}"
    if 0 < days < 7:
        return f"{DAYS[face.weekday()]} {face:%H:%M}"
    if face.year == here.year:
        return f"{face.day} {MONTHS[face.month - 1]} {face:%H:%M}"
    return f"{face:%Y-%m-%d %H:%M}"


def since(moment: float, start: float) -> str:
    """`14:35`, or `Tue 02:35` on another day than the start's; for paper, which has no today."""
    begun, face = local(start), local(moment)
    if face.date() == begun.date():
        return f"{face:%H:%M}"
    return f"{DAYS[face.weekday()]} {face:%H:%M}"


def away(moment: float) -> str:
    """`in 2 h 10 min`: from now to the time that `clock` shows, for a page that is fresh."""
    left = (moment - request.now()) / 60
    hours, minutes = divmod(max(math.floor(left), 0), 60)
    return f"in {f'{hours} h ' if hours else ''}{minutes} min"


def shown(moment: float | None, ends: bool) -> int | None:
    """The hour (epoch s) to show of the end of something, or of its beginning; None stays None."""
    if moment is None:
        return None
    return hours.closing(moment) if ends else hours.opening(moment)


def day(moment: float) -> str:
    """`Wed 2026-11-25`: the yard's day of a moment (epoch s)."""
    face = local(moment)
    return f"{DAYS[face.weekday()]} {face:%Y-%m-%d}"


def short_day(moment: float) -> str:
    """`Fri 27 Nov`: the yard's day of a moment (epoch s), for a screen that shows no other."""
    face = local(moment)
    return f"{DAYS[face.weekday()]} {face.day} {MONTHS[face.month - 1]}"


def iso(moment: float) -> str:
    """A moment (epoch s) for a machine to read: RFC 3339 on the yard's clock."""
    return local(moment).isoformat(timespec="seconds")


def between(first: float, last: float) -> str:
    """A stretch rounded inwards, `14:30 to 15:15`; to minutes if it is shorter than its steps."""
    opens, closes = inwards(first, last)
    same = local(opens).date() == local(closes).date()
    return f"{clock(opens)} to {f'{local(closes):%H:%M}' if same else clock(closes)}"


def inwards(first: float, last: float) -> tuple[int, int]:
    """The ends of a stretch, rounded inwards; to the minute if it is shorter than its steps."""
    opens, closes = hours.opening(first), hours.closing(last)
    if opens >= closes:
        opens, closes = stepped(first, 1, "up"), stepped(last, 1, "down")
    return opens, closes


def amount(value: float | None, kind: Kind) -> str:
    """A number in its kind's base unit as `12.5 kg`; None is empty."""
    if value is None:
        return ""
    shown = quantities.show(value, kind, request.units())
    number, unit = float(shown["value"]), str(shown["unit"])
    if unit == "kg" and 0 < abs(number) < 1:  # as a scale shows it
        number, unit = number * 1000, "g"
    if unit == "piece" and number != 1:
        unit = "pieces"
    places = 1 if unit in ("degC", "degF", "g") else 3
    text = f"{number:.{places}f}".rstrip("0").rstrip(".")
    return f"{'0' if text == '-0' else text} {_SIGNS.get(unit, unit)}"


def unit(name: str) -> str:
    """A unit as a page writes it: `degC` as `°C`."""
    return _SIGNS.get(name, name)


def words(name: str) -> str:
    """A name in words: `recoat_opens` as `window opens`; one that is no state, as it is spelt."""
    slug = name.replace("-", "_")
    return state_words.WORDS.get(slug, slug.replace("_", " "))


def local(moment: float) -> datetime:
    """A moment (epoch s) on the yard's clock."""
    return datetime.fromtimestamp(moment, request.zone())
