"""Counts that wait for a lead's word, and those that have it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from peewee import fn

from ..tables import Acceptance, Movement
from ..yard.hands import Hand


def wanted(line: Movement) -> bool:
    """Whether a line is one to be accepted: a count that found another amount than the books."""
    return line.kind == "count" and line.amount != 0


def of_lines(lines: Iterable[Movement]) -> dict[int, Acceptance]:
    """Line's id → its acceptance; in one query, or none where no line wants any."""
    ids = [line.id for line in lines if wanted(line)]
    if not ids:
        return {}
    return {row.movement_id: row for row in Acceptance.select().where(Acceptance.movement.in_(ids))}


def accept(line: Movement, *, now: int, hand: Hand, note: str | None = None) -> Acceptance:
    """Record that a person accepts a count."""
    return Acceptance.create(movement=line, note=note, **hand.signed(now))


def waiting() -> Any:
    """What a line must be to wait for a word: a count that stands, and found a difference."""
    mirror: Any = Movement.alias()
    return (
        Movement.counted_at.is_null(False)
        & (Movement.amount != 0)
        & ~fn.EXISTS(mirror.select().where(mirror.reverses == Movement.id))
        & ~fn.EXISTS(Acceptance.select().where(Acceptance.movement == Movement.id))
    )
