"""The chain plans of jobs, and sequences of steps that are kept by name."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from . import tables
from .engine.columns import LARGEST
from .engine.rows import Reader, insert, query
from .lookup import key_of
from .yard.hands import Hand


class Plan(NamedTuple):
    """A job's chain plan as it was told; `answer` is JSON, moments in epoch s."""

    id: int
    job_id: int
    answer: str
    recorded_at: int
    who: str
    verified: bool


class Sequence(NamedTuple):
    """Steps that are kept by name; `steps` is JSON, times in s."""

    id: int
    name: str
    name_key: str
    steps: str
    recorded_at: int
    who: str
    verified: bool


_PLANS = Reader(Plan, tables.Plan)
_SEQUENCES = Reader(Sequence, tables.Sequence)

ANY = 0
"""In the place of a product: whatever the plan's steps don't name."""


def newest(job_id: int) -> Plan | None:
    """The plan in force of a job, or None."""
    return _PLANS.first("WHERE plan.job_id = ? ORDER BY plan.id DESC", job_id)


def newest_each(job_ids: Iterable[int]) -> dict[int, Plan]:
    """The plan in force of each of some jobs, by job; one without any is left out."""
    rest = """
        WHERE plan.id IN (SELECT MAX(id) FROM plan WHERE job_id IN (?*) GROUP BY job_id)
    """
    return {row.job_id: row for row in _PLANS.all(rest, list(job_ids))}


def keep(job_id: int, answer: str, uses: str, *, now: int, hand: Hand) -> Plan:
    """Put a plan in force. `uses` is JSON, `{product id: [first day, last day]}`."""
    signed = hand.signed(now)
    return _PLANS.of_id(insert(tables.Plan, job_id=job_id, answer=answer, uses=uses, **signed))


def days_of(job_ids: Iterable[int]) -> dict[tuple[int, int], tuple[date, date]]:
    """(job, product) → the first and last day on which the job's plan in force lays it.

    With `ANY`, those of the whole plan: cloth, or a catalyst, which no step names by itself.
    """
    sql = """
        SELECT job_id, uses FROM plan
        WHERE id IN (SELECT MAX(id) FROM plan WHERE job_id IN (?*) GROUP BY job_id)
    """
    found: dict[tuple[int, int], tuple[date, date]] = {}
    for job_id, uses in query(sql, list(job_ids)):
        days = {
            int(product): (date.fromisoformat(first), date.fromisoformat(last))
            for product, (first, last) in json.loads(uses).items()
            if first
        }
        found |= {(job_id, product): laid for product, laid in days.items()}
        if days:
            firsts, lasts = zip(*days.values(), strict=True)
            found[job_id, ANY] = min(firsts), max(lasts)
    return found


def keep_sequence(name: str, steps: str, *, now: int, hand: Hand) -> Sequence:
    """Keep steps by a name; `steps` is JSON."""
    row = insert(tables.Sequence, name=name, name_key=key_of(name), steps=steps, **hand.signed(now))
    return _SEQUENCES.of_id(row)


def find_sequence(name: str) -> Sequence | None:
    """The newest sequence of a name, or None."""
    return _SEQUENCES.first("WHERE sequence.name_key = ? ORDER BY sequence.id DESC", key_of(name))


def sequences(after: int | None, limit: int) -> list[Sequence]:
    """The newest sequence of each name, the last kept first, after the one with that id."""
    rest = """
        WHERE sequence.id IN (SELECT MAX(id) FROM sequence GROUP BY name_key)
        AND sequence.id < ? ORDER BY sequence.id DESC LIMIT ?
    """
    return _SEQUENCES.all(rest, LARGEST if after is None else after, limit)
