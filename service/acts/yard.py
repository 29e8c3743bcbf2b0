"""What the yard itself says: where its clock stands, and how it shows amounts and costs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from ..core.quantities import System
from ..store import tables
from ..store.database import writing

_ONLY = 1


@dataclass(frozen=True)
class Yard:
    """The yard's own settings.

    Attributes:
        zone: IANA time zone.
        units: the system that quantities are shown in.
        currency: ISO 4217 code of costs.
        address: where people reach the service, or None.
        version: raised when it is changed.
    """

    zone: str
    units: System
    currency: str
    address: str | None
    version: int


def show_yard() -> Yard:
    """The yard as the store has it."""
    row = tables.Yard.get_by_id(_ONLY)
    return Yard(row.zone, cast(System, row.units), row.currency, row.address or None, row.version)


def seed_yard(*, zone: str, units: str, currency: str, address: str | None, now: int) -> None:
    """Give a new store its yard; one that has it keeps its own."""
    if tables.Yard.get_or_none(tables.Yard.id == _ONLY) is not None:
        return
    with writing():
        tables.Yard.insert(
            id=_ONLY, zone=zone, units=units, currency=currency, address=address or "",
            seeded_at=now,
        ).on_conflict_ignore().execute()  # fmt: skip
