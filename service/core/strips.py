"""Plies cut side by side from a roll: the cuts over its whole width, and how long each is."""

from __future__ import annotations

from collections.abc import Iterable

from .outlines import Outline


def cuts(outlines: Iterable[Outline], width: float | None, *, turns: bool) -> list[float | None]:
    """Lengths of the cuts of a roll that hold every ply, in µm, the longest first.

    Each ply lies with its length along the roll, the longest first, in the first cut that has
    room beside the others (first fit by decreasing length). So every cut goes straight over the
    roll and through no ply, and may come off any roll that has its length.

    Args:
        width: of the roll, µm; None where it is not known: then each ply is a cut of its own.
        turns: whether one too wide may be turned across, as mat and balanced cloth may be.

    Returns: a None at the end for each ply that is wider than the roll.
    """
    laid = [_laid(outline, width, turns) for outline in outlines]
    fits = sorted((size for size in laid if size is not None), reverse=True)
    found: list[float] = []
    room: list[float] = []
    for length, across in fits:
        place = next((k for k, left in enumerate(room) if across <= left), None)
        if place is None:
            found.append(length)
            room.append((width or 0) - across)
        else:
            room[place] -= across
    return [*found, *([None] * laid.count(None))]


def _laid(outline: Outline, width: float | None, turns: bool) -> tuple[float, float] | None:
    """(along the roll, across it) in µm; None where the ply fits no way that it may lie."""
    if width is None or outline.width <= width:
        return outline.length, outline.width
    return (outline.width, outline.length) if turns and outline.length <= width else None
