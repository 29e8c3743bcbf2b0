"""Leak tests of a job's bags."""

from __future__ import annotations

from typing import Any, NamedTuple

from .. import tables
from ..engine.columns import LARGEST
from ..engine.rows import Reader, insert
from ..yard import withdrawals
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


_TESTS = Reader(LeakTest, tables.LeakTest)

find_test = _TESTS.by_id


def add(*, now: int, hand: Hand, **columns: Any) -> LeakTest:
    """Write a leak test; `columns` by their names, `now` in epoch s."""
    return _TESTS.of_id(insert(tables.LeakTest, **columns, **hand.signed(now)))


def page(job_id: int, after: int | None, limit: int) -> list[LeakTest]:
    """Every leak test of a job, the last recorded first, after the one with that id."""
    rest = "WHERE leak_test.job_id = ? AND leak_test.id < ? ORDER BY leak_test.id DESC LIMIT ?"
    return _TESTS.all(rest, job_id, LARGEST if after is None else after, limit)


def standing(job_id: int) -> list[LeakTest]:
    """The leak tests of a job that nobody took back, the first first."""
    rest = f"""
        WHERE leak_test.job_id = ? AND {withdrawals.standing("leak_test")}
        ORDER BY leak_test.second_at, leak_test.id
    """
    return _TESTS.all(rest, job_id)
