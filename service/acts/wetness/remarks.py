"""What to mind of a new record of a job: its place may be another's name, or it is there twice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal

from ...core.amounts import near_names
from ...core.words import Text
from ...store import wetness
from ...store.cure import leak_tests
from ...store.lookup import key_of
from ...store.stock.jobs import Job
from ...store.wetness import Table
from .taken_back import READERS

Noun = Table | Literal["leak_test"]

ENTERED_TWICE_S = 600
"""The same within so long was likely entered twice (common practice, no source)."""

TIMES = ("at", "taped_at", "looked_at", "first_at", "second_at")
OF_THE_ENTRY = frozenset({"id", "recorded_at", "who", "verified", "place", "place_key", "bay"})
"""What does not tell two records of one place apart."""


def known_places(job: Job) -> dict[str, str]:
    """Key → name of each place that a standing record of a job is of, also a bag's."""
    rows: list[Any] = [
        row for reader in READERS.values() for row in wetness.standing(reader, job.id)
    ]
    rows += leak_tests.standing(job.id)
    named = sorted((row for row in rows if row.place is not None), key=lambda row: row.recorded_at)
    return {key_of(row.place): row.place for row in reversed(named)}  # as it was spelled first


def of_place(known: Mapping[str, str], place: str | None) -> list[Text]:
    """That a place is new and near a known one; empty otherwise.

    Args:
        known: as `known_places` had them before the record.
    """
    if place is None or key_of(place) in known:
        return []
    meant = near_names.place_meant(place, known.values())
    return [f"This is a new place of the job. {meant}"] if meant else []


def of_twin(noun: Noun, rows: Sequence[Any], new: Any) -> list[Text]:
    """That a record says what another said a few minutes before; empty otherwise.

    Args:
        rows: the job's standing ones of that noun.
    """
    twin = next((row for row in reversed(rows) if row.id != new.id and _same(row, new)), None)
    if twin is None:
        return []
    minutes = round((new.recorded_at - twin.recorded_at) / 60)
    ago = f"{minutes} min ago" if minutes else "just now"
    called = noun.replace("_", " ")
    return [
        f"{called.capitalize()} {twin.id}, entered {ago}, says the same. If one was entered twice, "
        f"take this '{noun}' back."
    ]


def _same(one: Any, other: Any) -> bool:
    if not 0 <= other.recorded_at - one.recorded_at <= ENTERED_TWICE_S:
        return False
    if _key(one) != _key(other):
        return False
    was, new = one._asdict(), other._asdict()
    return all(
        abs(was[name] - value) <= ENTERED_TWICE_S if name in TIMES else was[name] == value
        for name, value in new.items()
        if name not in OF_THE_ENTRY
    )


def _key(row: Any) -> str | None:
    return None if row.place is None else key_of(row.place)
