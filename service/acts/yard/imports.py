"""Import a table: every row is an act of its own; all rows are kept, or none."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from ...core.amounts.views import Says, View
from ...core.errors import Refusal, Refusals
from ...core.words import say
from ...store.engine.database import writing
from ...store.engine.rehearsal import rehearsal

Facts = Mapping[str, Any]
"""The cells of a row, read, by the names of the interface."""
Rows = Iterable[tuple[int, Facts | list[Refusal]]]
"""Each row's number in its file, and its facts or its faults."""

DateOrder = Literal["dmy", "mdy"]

MOST_SHOWN = 200
"""New things that an answer names; the rest are only counted."""


@dataclass
class ImportView(View):
    """What became of a table, or would become of it."""

    added: int = 0
    known: Annotated[int, Says("Rows that stand in the store as they are.")] = 0
    new: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


@dataclass
class LogImportView(ImportView):
    """What became of a logger's table; and how to read the rows that it gets later."""

    headings: Annotated[int, Says("The row that names its columns.")] = 1
    dates: Annotated[DateOrder | None, Says("What its dates begin with, if that matters.")] = None
    doubted: int = 0


def import_rows(rows: Rows, act: Callable[[Facts], str | None], *, dry: bool = False) -> ImportView:
    """Do an act for every row.

    Args:
        act: takes a row's facts; returns the name of what it added, or None if that was there.
        dry: only try it; nothing is kept.

    Raises:
        Refusal: of any row, with a pointer to its row and column; nothing of the table is kept.
    """
    became = ImportView()
    faults: list[Refusal] = []
    with rehearsal() if dry else writing():
        for number, facts in rows:
            if isinstance(facts, list):
                faults += [placed(fault, number) for fault in facts]
            else:
                faults += _import_row(became, number, facts, act)
        refuse(faults)
    return became


def placed(fault: Refusal, number: int) -> Refusal:
    """A refusal with the number of its row before its column."""
    pointer = f"/row {number}{fault.pointer.replace('_', ' ')}"
    return type(fault)(fault.detail, advice=fault.advice, pointer=pointer, **fault.fields)


def refuse(faults: list[Refusal]) -> None:
    """Raise the faults, if there are any; a single one names its row and column in words."""
    if len(faults) > 1:
        raise Refusals(faults)
    for fault in faults:
        place = ", ".join(fault.pointer.strip("/").split("/"))
        fault.detail = say("{}{}: {}", place[:1].upper(), place[1:], fault.detail)
        raise fault


def _import_row(
    became: ImportView, number: int, facts: Facts, act: Callable[[Facts], str | None]
) -> list[Refusal]:
    """Do the act; its refusals."""
    try:
        added = act(facts)
    except Refusals as several:
        return [placed(fault, number) for fault in several.refusals]
    except Refusal as fault:
        return [placed(fault, number)]
    if added is None:
        became.known += 1
        return []
    became.added += 1
    if len(became.new) < MOST_SHOWN:
        became.new.append(added)
    return []
