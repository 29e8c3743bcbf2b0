"""What the yard itself says: where its clock stands, and how it shows amounts and costs."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from typing import Any, cast
from urllib.parse import urlsplit
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from ...core.amounts.quantities import System
from ...core.errors import Invalid
from ...store.engine.database import writing
from ...store.yard import logbook, settings
from ...store.yard.hands import Hand


@dataclass(frozen=True)
class Yard:
    """The yard's own settings.

    Attributes:
        zone: IANA time zone.
        units: the system that quantities are shown in.
        currency: ISO 4217 code of costs.
        address: where people reach the service, or None.
        profile: of quality gates, that it goes by.
        version: raised when it is changed.
    """

    zone: str
    units: System
    currency: str
    address: str | None
    profile: str
    version: int


def show_yard() -> Yard:
    """The yard as the store has it."""
    row = settings.settings()
    return Yard(
        row.zone, cast(System, row.units), row.currency, row.address or None, row.profile,
        row.version,
    )  # fmt: skip


def identity() -> str:
    """What calendars tell this yard's layups from another's by; it never changes."""
    return settings.settings().identity


def change_yard(*, now: int, hand: Hand, **facts: str) -> Yard:
    """Change what the yard says of itself; it is written into the logbook.

    What is kept stays as it is: amounts in base units, moments in UTC, costs in the currency
    that they were paid in.

    Args:
        facts: any of zone, units, currency, address, profile.

    Raises: Invalid: there is no such zone, or that is no address.
    """
    _check(**facts)
    with writing():
        settings.change(**facts)
        told = ", ".join(f"{name} {value}" for name, value in sorted(facts.items()))
        logbook.record("yard changed", told or "nothing", now=now, hand=hand)
        return show_yard()


def _check(zone: str | None = None, address: str | None = None, **_others: Any) -> None:
    try:
        ZoneInfo(zone or "UTC")
    except (ZoneInfoNotFoundError, ValueError, OSError) as error:
        raise Invalid(
            f"{zone!r} is not a time zone.",
            advice="Write it as in Europe/Lisbon.",
            pointer="/zone",
        ) from error
    if address is not None and not _is_address(address):
        raise Invalid(
            "That is not the address of a service.",
            advice="Write it as in https://yard.example",
            pointer="/address",
        )


def _is_address(text: str) -> bool:
    try:
        parts = urlsplit(text)
        return parts.scheme in ("http", "https") and bool(parts.hostname) and parts.port != 0
    except ValueError:  # a port or an IPv6 address that there is not
        return False


def seed_yard(*, zone: str, units: str, currency: str, address: str | None, now: int) -> None:
    """Give a new store its yard; one that has it keeps its own."""
    if settings.is_seeded():
        return
    with writing():
        settings.seed(
            zone=zone, units=units, currency=currency, address=address or "",
            seeded_at=now, identity=secrets.token_hex(16),
        )  # fmt: skip
