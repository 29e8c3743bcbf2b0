"""The service's settings and its clock, which come from outside."""

from __future__ import annotations

import getpass
import os
import time
import warnings
from collections.abc import Callable, Mapping
from dataclasses import field, fields
from typing import Any, Literal
from zoneinfo import ZoneInfoNotFoundError

import platformdirs

from ...core.amounts import zones
from ...core.frozen import frozen

Clock = Callable[[], int]
"""Says what time it is: whole seconds since 1970 in UTC."""


def wall_clock() -> int:
    """The time by the machine's own clock."""
    return int(time.time())


def default_database() -> str:
    """An SQLite file in the user's data folder."""
    return str(platformdirs.user_data_path("cureyard", appauthor=False) / "yard.sqlite")


def machine_zone() -> str:
    """The machine's IANA time zone, by a name that a yard may have; UTC if it has none."""
    import tzlocal  # late: only a new yard asks

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns where this falls back to UTC
        try:
            name = tzlocal.get_localzone_name() or "UTC"
            return zones.zone(zones.PLACES.get(name, name)).key
        except (ZoneInfoNotFoundError, zones.NoZone):
            return "UTC"


def machine_login() -> str:
    """The login name of the machine's user."""
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):  # no such user, as in a bare container
        return "unknown"


@frozen
class Settings:
    """The settings that the service starts with.

    A new yard takes its zone, units, currency and address from here once; afterwards those in
    the store count.

    Attributes:
        database: the store's URL, or the path of an SQLite file.
        zone: IANA time zone of a new yard.
        units: the system of units in which a new yard shows quantities.
        currency: ISO 4217 code of a new yard's costs.
        address: where people reach the service, or None.
        hand: the name recorded when a request gives none and nobody has to log in.

    Raises:
        ValueError: there is no such zone, system of units or currency.
    """

    database: str = field(default_factory=default_database)
    zone: str = field(default_factory=machine_zone)
    units: Literal["metric", "us"] = "metric"
    currency: str = "EUR"
    address: str | None = None
    hand: str = field(default_factory=machine_login)

    def __post_init__(self) -> None:
        """Refuse settings that would fail later."""
        try:
            zones.zone(self.zone)
        except zones.NoZone as error:
            raise ValueError(f"CUREYARD_ZONE: {error}") from error
        if self.units not in ("metric", "us"):
            raise ValueError(f"CUREYARD_UNITS is 'metric' or 'us', not {self.units!r}.")
        if not (len(self.currency) == 3 and self.currency.isascii() and self.currency.isupper()):
            raise ValueError(
                f"CUREYARD_CURRENCY is three capital letters such as EUR, not {self.currency!r}."
            )

    @classmethod
    def load(cls, environment: Mapping[str, str] | None = None, **chosen: str | None) -> Settings:
        """The environment's settings, each unless a flag or a file chose another.

        Args:
            environment: the process's by default.
            chosen: settings by name; None leaves the environment's.

        Raises:
            ValueError: as the class.
        """
        environment = os.environ if environment is None else environment
        told: dict[str, Any] = {
            name: value
            for name in (each.name for each in fields(cls))
            if (value := chosen.get(name) or environment.get(f"CUREYARD_{name.upper()}"))
        }
        return cls(**told)
