"""Counts that a lead accepted."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from .. import tables
from ..engine.rows import Reader, insert
from ..yard.hands import Hand
from .lines import Movement


class Acceptance(NamedTuple):
    """A lead's word that a count's difference stands."""

    movement_id: int
    note: str | None
    recorded_at: int
    who: str
    verified: bool


_ACCEPTANCES = Reader(Acceptance, tables.Acceptance)


def wanted(line: Movement) -> bool:
    """Whether a line is one to be accepted: a count that found another amount than the books."""
    return line.kind == "count" and line.amount != 0


def of_lines(lines: Iterable[Movement]) -> dict[int, Acceptance]:
    """Line's id → its acceptance; in one query, or none where no line wants any."""
    ids = [line.id for line in lines if wanted(line)]
    rows = _ACCEPTANCES.all("WHERE acceptance.movement_id IN (?*)", ids) if ids else []
    return {row.movement_id: row for row in rows}


def accept(line: Movement, *, now: int, hand: Hand, note: str | None = None) -> None:
    """Record that a person accepts a count."""
    insert(tables.Acceptance, movement_id=line.id, note=note, **hand.signed(now))
