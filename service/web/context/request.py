"""What a resource asks about the request being answered.

    from ..request import hand, now, units, zone

`now()` is one moment for the whole request; `hand()` is who is recorded; `units()` and
`zone()` are what answers are shown in.

How a resource is written is told in `blueprint`.
"""

from __future__ import annotations

import secrets
from typing import Any, cast
from zoneinfo import ZoneInfo

from flask import current_app, g
from flask import request as flask_request

from ...acts.yard import settings as yard
from ...core.amounts.quantities import System
from ...core.errors import Invalid
from ...store.yard.hands import Hand
from .people import Person, by_bearer
from .settings import Clock, Settings
from .streams import Streams
from .throttle import Failures

SYSTEMS: tuple[System, ...] = ("metric", "us")


class House:
    """What one running service is made of.

    Attributes:
        settings, clock: how it was set up, and what says the time.
        behind_proxy: whether requests come through a proxy, which has been told to log in.
        failures: wrong tokens of late.
        streams: those that are open.
    """

    def __init__(self, settings: Settings, clock: Clock, behind_proxy: bool = False) -> None:
        self.settings = settings
        self.clock = clock
        self.behind_proxy = behind_proxy
        self.failures = Failures()
        self.streams = Streams()


def house() -> House:
    """The service that answers."""
    return cast(House, current_app.extensions["cureyard"])


def request_id() -> str:
    """What the request is called in the log and in its answer."""
    return cast(str, _once("request_id", lambda: secrets.token_hex(8)))


def now() -> int:
    """The moment of the request: whole seconds since 1970 in UTC."""
    return cast(int, _once("now", lambda: house().clock()))


def person() -> Person:
    """Who asks, and in what role. On a page the guard has found that out by its own way."""
    return cast(Person, _once("person", by_bearer))


def hand() -> Hand:
    """Who is recorded beside what is done."""
    return person().hand


def units() -> System:
    """The system of units that the answer is shown in: `?units=`, else the yard's own.

    Raises:
        Invalid: there are no such units.
    """
    asked = flask_request.args.get("units")
    if asked is None:
        return cast(System, _yard().units)
    if asked not in SYSTEMS:
        raise Invalid(
            "units: That is not one of the words that fit.",
            advice="Use metric or us.",
            parameter="units",
        )
    return asked


def zone() -> ZoneInfo:
    """The yard's time zone."""
    return cast(ZoneInfo, _once("zone", lambda: ZoneInfo(_yard().zone)))


def _yard() -> Any:
    return _once("yard", yard.show_yard)


def _once(name: str, find: Any) -> Any:
    """Found once a request, and then the same for the rest of it; it is never None."""
    found = g.get(name)
    if found is None:
        found = find()
        setattr(g, name, found)
    return found
