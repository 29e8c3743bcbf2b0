"""The yard's settings: its time zone, its units, its currency, its rules."""

from __future__ import annotations

import secrets
from decimal import Decimal
from typing import Annotated, Any, cast
from urllib.parse import urlsplit

from ...core.amounts import zones
from ...core.amounts.quantities import DIFFERENCE, System
from ...core.amounts.views import OneOf, View
from ...core.errors import Invalid
from ...core.frozen import frozen
from ...core.gates import profiles
from ...core.gates.profiles import PROFILES, Profile
from ...store.engine.database import writing
from ...store.engine.rows import differing
from ...store.yard import logbook, settings
from ...store.yard.hands import Hand
from . import conversions

LEAST_JUMP_K, MOST_JUMP_K = Decimal("0.5"), Decimal(30)
"""A probe's own noise, and what no air does: limits of the setting (common practice, no source)."""


@frozen
class YardView(View):
    """Where the yard's clock stands, and how it shows amounts and costs."""

    zone: str
    units: System
    currency: str
    address: str | None
    profile: Annotated[str, OneOf(PROFILES)]
    sureness: int
    jump: Annotated[Decimal, DIFFERENCE]
    version: int


def show_yard() -> YardView:
    """The yard's settings.

    `zone` is an IANA time zone, `currency` an ISO 4217 code, `address` where people reach the
    service, `profile` the quality gates that the yard goes by. `sureness` is the chance, in
    percent, that a thing comes after the earliest moment told of it; so for the latest. `jump` is
    the most that a probe may change in a minute, K; what jumped is not believed at once.
    """
    row = settings.settings()
    return YardView(
        zone=row.zone,
        units=cast(System, row.units),
        currency=row.currency,
        address=row.address or None,
        profile=row.profile,
        sureness=row.sureness,
        jump=conversions.kelvin(row.jump_mk),
        version=row.version,
    )


def rules() -> Profile:
    """The profile of quality gates that the yard goes by."""
    return profiles.profile(settings.settings().profile)


def sure() -> float:
    """The chance on the other side of each edge of a band, such as 0.95."""
    return settings.settings().sureness / 100


def jump() -> float:
    """The most that a probe may change in a minute, K."""
    return settings.settings().jump_mk / 1000


def identity() -> str:
    """The yard's own id, which never changes: calendars tell its layups from another yard's."""
    return settings.settings().identity


def change_yard(
    *,
    now: int,
    hand: Hand,
    zone: str | None = None,
    address: str | None = None,
    jump: Decimal | None = None,
    **others: str | int,
) -> YardView:
    """Change settings, and write what differs into the logbook.

    Records do not change: amounts are kept in base units, moments in UTC, costs in the currency
    that they were paid in.

    Args:
        zone, address, jump: new ones. others: any of units, currency, profile, sureness.

    Raises: Invalid: no such zone, one that means another clock elsewhere, or not an address; a
        jump that no probe can be held to.
    """
    _check(zone, address)
    named = {"zone": zone, "address": address, "jump": jump, **others}
    facts = {name: value for name, value in named.items() if value is not None}
    columns: dict[str, Any] = {name: value for name, value in facts.items() if name != "jump"}
    if jump is not None:
        columns["jump_mk"] = _jump(jump)
    with writing():
        changes = differing(settings.settings(), columns)
        if changes:
            settings.change(**changes)
            told = ", ".join(
                f"{name} {value}"
                for name, value in sorted(facts.items())
                if ("jump_mk" if name == "jump" else name) in changes
            )
            logbook.record("yard changed", told, now=now, hand=hand)
        return show_yard()


def _jump(kelvins: Decimal) -> int:
    if not LEAST_JUMP_K <= kelvins <= MOST_JUMP_K:
        raise Invalid(
            f"A jump is between {LEAST_JUMP_K} and {MOST_JUMP_K} K in a minute.",
            advice="Write it as in 3 K.",
            pointer="/jump",
        )
    return conversions.milli(kelvins)


def _check(zone: str | None, address: str | None) -> None:
    try:
        zones.zone(zone or "UTC")
    except zones.NoZone as error:
        raise Invalid(error.detail, advice=error.advice, pointer="/zone") from error
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
    """Give a new store its settings; one that has settings keeps them."""
    if settings.is_seeded():
        return
    with writing():
        settings.seed(
            zone=zone, units=units, currency=currency, address=address or "",
            seeded_at=now, identity=secrets.token_hex(16),
        )  # fmt: skip
