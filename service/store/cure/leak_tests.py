"""Leak tests of a job's bags, and which of them were taken back."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from .. import tables
from ..engine.columns import LARGEST
from ..engine.rows import Reader, insert
from ..yard.hands import Hand


class LeakTest(NamedTuple):
    """The vacuum of a bag, read twice; Pa below the air."""

    id: int
    job_id: int
    place: str
    first_pa: int
    first_at: int
    second_pa: int
    second_at: int
    air_pa: int | None
    note: str | None
    recorded_at: int
    who: str
    verified: bool


class LeakTestEnd(NamedTuple):
    """How a leak test was taken back."""

    id: int
    leak_test_id: int
    reason: str
    recorded_at: int
    who: str
    verified: bool


_TESTS = Reader(LeakTest, tables.LeakTest)
_ENDS = Reader(LeakTestEnd, tables.LeakTestEnd)

find_test = _TESTS.by_id


def add(*, now: int, hand: Hand, **columns: Any) -> LeakTest:
    """Write a leak test; `columns` by their names, `now` in epoch s."""
    return _TESTS.of_id(insert(tables.LeakTest, **columns, **hand.signed(now)))


def end(test_id: int, *, reason: str, now: int, hand: Hand) -> None:
    """Take a leak test back."""
    insert(tables.LeakTestEnd, leak_test_id=test_id, reason=reason, **hand.signed(now))


def ends_of(ids: Iterable[int]) -> dict[int, LeakTestEnd]:
    """Test's id → how it was taken back, of those of some tests that were."""
    wanted = list(ids)
    rows = _ENDS.all("WHERE leak_test_end.leak_test_id IN (?*)", wanted) if wanted else []
    return {row.leak_test_id: row for row in rows}


def page(job_id: int, after: int | None, limit: int) -> list[LeakTest]:
    """Every leak test of a job, the last recorded first, after the one with that id."""
    rest = "WHERE leak_test.job_id = ? AND leak_test.id < ? ORDER BY leak_test.id DESC LIMIT ?"
    return _TESTS.all(rest, job_id, LARGEST if after is None else after, limit)


def standing(job_id: int) -> list[LeakTest]:
    """The leak tests of a job that nobody took back, the first first."""
    rest = """
        WHERE leak_test.job_id = ? AND NOT EXISTS (SELECT 1 FROM leak_test_end
            WHERE leak_test_end.leak_test_id = leak_test.id)
        ORDER BY leak_test.second_at, leak_test.id
    """
    return _TESTS.all(rest, job_id)
