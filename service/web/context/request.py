"""What a resource asks about the request being answered.

    from ..context.request import hand, now, units, zone

`now()` is one moment for the whole request; `hand()` is the person who is recorded; answers are
shown in `units()` and in `zone()`. Each is found once and then kept for the rest of the request.

How a resource is written: see `http/blueprint`.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from typing import TypeVar
from zoneinfo import ZoneInfo

from flask import g
from flask import request as flask_request

from ...acts.yard import settings as yard
from ...core.amounts.quantities import System
from ...core.errors import Invalid
from ...store.yard.hands import Hand
from .house import house as house
from .people import Person, by_bearer

SYSTEMS: tuple[System, ...] = ("metric", "us")

Found = TypeVar("Found")


def request_id() -> str:
    """The name of the request in the log and in its answer."""
    return _once("request_id", lambda: secrets.token_hex(8))


def now() -> int:
    """The moment of the request: whole seconds since 1970 in UTC."""
    return _once("now", lambda: house().clock())


def person() -> Person:
    """Who asks, and in what role. For a page the guard has found that out already."""
    return _once("person", by_bearer)


def hand() -> Hand:
    """The person who is recorded beside what is done."""
    return person().hand


def units() -> System:
    """The system of units that the answer is shown in: `?units=`, else the yard's own.

    Raises:
        Invalid: there are no such units.
    """
    return _once("units", _units)


def zone() -> ZoneInfo:
    """The yard's time zone."""
    return _once("zone", lambda: ZoneInfo(_yard().zone))


def _units() -> System:
    asked = flask_request.args.get("units")
    if asked is None:
        return _yard().units
    for system in SYSTEMS:
        if asked == system:
            return system
    raise Invalid(
        "units: That is none of the words that fit.",
        advice="Use metric or us.",
        parameter="units",
    )


def _yard() -> yard.YardView:
    return _once("yard", yard.show_yard)


def _once(name: str, find: Callable[[], Found]) -> Found:
    """Find something at its first use in a request and keep it; it is never None."""
    found: Found | None = g.get(name)
    if found is None:
        found = find()
        setattr(g, name, found)
    return found
