"""Stretches of drying: what begins a new one, and which readings of it are used.

A wash, an opening, heat, rain, or a bay whose mean moves by 5 K changes how fast a place dries, so
readings from before it say nothing of what follows. These figures have no source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from .readings import Note, NoteKind

BEGINS: tuple[NoteKind, ...] = ("washed", "opened", "heat_on", "heat_off", "rain")
LEFT_OUT_S = 3 * 86_400
"""The face settles first: readings so soon after a beginning are left out."""
OFF_K = 5.0

Mean = Callable[[int, int], float | None]
"""The mean temperature of the bay between two moments, K; None where it was not measured."""


def begun(notes: Sequence[Note], times: Sequence[int], now: int, mean: Mean) -> int | None:
    """When the stretch of now began, epoch s; None if nothing began one.

    Args:
        notes: of the place and of the whole boat. times: of its readings, oldest first.
    """
    said = [each.at for each in notes if each.kind in BEGINS and each.at <= now]
    first = max(said, default=None)
    moved = _moved([at for at in times if first is None or at >= first], first, now, mean)
    return first if moved is None else moved


def _moved(times: Sequence[int], first: int | None, now: int, mean: Mean) -> int | None:
    """The last time from which the bay was off its mean of the stretch so far, or None."""
    marks = [*([] if first is None else [first]), *times, now]
    found, start = None, marks[0]
    for since, until in pairwise(marks):
        if not start < since < until:
            continue
        before, after = mean(start, since), mean(since, until)
        if before is not None and after is not None and abs(after - before) >= OFF_K:
            found = start = since
    return found


def used(times: Sequence[int], start: int | None) -> list[bool]:
    """Whether each reading of those times is used in a stretch that began at `start`."""
    return [start is None or at >= start + LEFT_OUT_S for at in times]


def is_heated(notes: Sequence[Note], since: int, until: int) -> bool:
    """Whether heat was on throughout, from one moment to another."""
    heat = sorted((each.at, each.kind == "heat_on") for each in notes if each.kind in _HEAT)
    before = [on for at, on in heat if at <= since]
    return bool(before) and before[-1] and all(on for at, on in heat if since < at <= until)


_HEAT: tuple[NoteKind, ...] = ("heat_on", "heat_off")


def mean_of(hours: Sequence[tuple[int, float]]) -> Mean:
    """The mean of a bay by its log, where at least half of the hours were read.

    Args:
        hours: (a moment of the hour, K), oldest first.
    """

    def mean(since: int, until: int) -> float | None:
        read = [heat for at, heat in hours if since <= at < until]
        enough = len(read) >= (until - since) / 7200
        return sum(read) / len(read) if read and enough else None

    return mean
