"""Bring in a table: every row is an act of its own, all of them in one transaction, or none."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from ...core.errors import Refusal, Refusals
from ...store.engine.database import writing
from ...store.engine.rehearsal import rehearsal

Facts = dict[str, Any]
Rows = Iterable[tuple[int, Facts | list[Refusal]]]
"""Each row's number in its file, and its facts or what is wrong with it."""

MOST_SHOWN = 200
"""New things that an answer names; beyond them it only counts."""


@dataclass
class Outcome:
    """What became of a table's rows.

    Attributes:
        added, known: how many were new, and how many stood in the store as they are.
        new: the first of those added, in words.
        notes: what else there is to say.
    """

    added: int = 0
    known: int = 0
    new: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def bring_in(rows: Rows, act: Callable[[Facts], str | None], *, dry: bool = False) -> Outcome:
    """Do an act for every row.

    Args:
        act: takes a row's facts; names what was added, or None where it stood there before.
        dry: whether all of it is undone again.

    Raises:
        Refusal: of any row, pointing to its row and column; nothing of the table is kept.
    """
    outcome = Outcome()
    faults: list[Refusal] = []
    with rehearsal() if dry else writing():
        for number, facts in rows:
            if isinstance(facts, list):
                faults += [placed(fault, number) for fault in facts]
            else:
                faults += _row(outcome, number, facts, act)
        refuse(faults)
    return outcome


def placed(fault: Refusal, number: int) -> Refusal:
    """A refusal with its row before its column."""
    pointer = f"/row {number}{fault.pointer.replace('_', ' ')}"
    return type(fault)(fault.detail, advice=fault.advice, pointer=pointer, **fault.fields)


def refuse(faults: list[Refusal]) -> None:
    """Raise what is wrong, if anything is; one fault alone says its place in words."""
    if len(faults) > 1:
        raise Refusals(faults)
    for fault in faults:
        place = ", ".join(fault.pointer.strip("/").split("/"))
        fault.detail = f"{place[:1].upper()}{place[1:]}: {fault.detail}"
        raise fault


def _row(
    outcome: Outcome, number: int, facts: Facts, act: Callable[[Facts], str | None]
) -> list[Refusal]:
    """Do the act; what it refuses."""
    try:
        added = act(facts)
    except Refusals as several:
        return [placed(fault, number) for fault in several.refusals]
    except Refusal as fault:
        return [placed(fault, number)]
    outcome.known += added is None
    outcome.added += added is not None
    if added is not None and len(outcome.new) < MOST_SHOWN:
        outcome.new.append(added)
    return []
