"""Import a logger's readings, and report its gaps."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import datetime
from itertools import pairwise

from ...core.errors import Refusal
from ...store.engine.database import writing
from ...store.engine.rehearsal import rehearsal
from ...store.yard.hands import Hand
from ..yard import finding, moments
from ..yard.imports import Facts, LogImportView, placed, refuse
from .readings import check, record

_PLACE = re.compile(r"/readings/(\d+)")


def import_readings(
    *,
    bay: str,
    readings: Mapping[int, Facts],
    now: int,
    hand: Hand,
    dry: bool = False,
    probe: bool = False,
) -> LogImportView:
    """Record a logger's readings of a bay: all of them, or none if one is refused.

    Args:
        readings: row in the file → a reading as `read_bay` takes it; at least one.
        dry: only try it; nothing is kept. probe: as `read_bay` takes it.

    Raises: as `read_bay`, with pointers to the rows of the file.
    """
    given, rows = list(readings.values()), list(readings)
    with _in_the_file(rows):
        checked = check(given, now=now, hand=hand, probe=probe)
    with rehearsal() if dry else writing(), _in_the_file(rows):
        longest = finding.bay(bay).gap_max_s
        became = record(bay=bay, readings=checked, now=now, hand=hand, probe=probe)
    notes = _gaps([reading["at"] for reading in given], longest)
    return LogImportView(became.recorded, became.unchanged, notes=notes, doubted=became.doubted)


@contextmanager
def _in_the_file(rows: list[int]) -> Iterator[None]:
    """Refuse with pointers to the rows of the file."""
    try:
        yield
    except Refusal as refusal:
        refuse([_in_row(fault, rows) for fault in getattr(refusal, "refusals", [refusal])])
        raise


def _in_row(fault: Refusal, rows: list[int]) -> Refusal:
    """A refusal with a pointer to the file's row instead of to the list of readings."""
    if match := _PLACE.match(fault.pointer):
        fault.pointer = fault.pointer[match.end() :]
        return placed(fault, rows[int(match[1])])
    return fault


def _gaps(at: Sequence[int], longest_s: int) -> list[str]:
    """A sentence about the gaps that are too long for the bay; empty if it has none."""
    gaps = [(b - a, a, b) for a, b in pairwise(sorted(set(at))) if b - a > longest_s]
    if not gaps:
        return []
    length, since, until = max(gaps)
    return [
        f"{len(gaps)} gaps are longer than the {longest_s / 3600:g} h that the bay bridges; the "
        f"longest is {length / 3600:.3g} h, from {_at(since)} to {_at(until)}."
    ]


def _at(moment: int) -> str:
    return datetime.fromtimestamp(moment, moments.zone()).strftime("%Y-%m-%d %H:%M")
