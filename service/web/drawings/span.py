"""Time across a drawing: where a moment is, the hours beside it, words clear of each other."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from ...core.frozen import frozen
from ..context import clock_faces, request

TICKS = 6
"""The most hours that are marked."""
_HOURS = (1, 2, 3, 4, 6, 12, 24)


@frozen
class Word:
    """A text, and the place of its middle."""

    x: float
    text: str
    letter: float = 30.0

    @property
    def left(self) -> float:
        """Where it begins."""
        return self.x - self.width / 2

    @property
    def width(self) -> float:
        """Its approximate width."""
        return len(self.text) * self.letter * 0.56


@frozen
class Span:
    """A stretch of time, epoch s, over so many units."""

    since: float
    until: float
    width: float

    def x(self, moment: float) -> float:
        """The place of a moment, kept on the tape."""
        return min(max(self.at(moment), 0.0), self.width)

    def at(self, moment: float) -> float:
        """The place of a moment, on the tape or off it."""
        return round((moment - self.since) / (self.until - self.since) * self.width, 1)

    def holds(self, moment: float | None) -> bool:
        """Whether a moment is on it."""
        return moment is not None and self.since <= moment <= self.until


def apart(words: Iterable[Word], width: float) -> Iterable[Word]:
    """Words moved into the drawing, without those that would cover an earlier one."""
    kept: list[Word] = []
    for word in words:
        half = word.width / 2
        moved = Word(min(max(word.x, half), width - half), word.text, word.letter)
        if all(abs(moved.x - other.x) > half + other.width / 2 + 12 for other in kept):
            kept.append(moved)
            yield moved


def ticks(span: Span, letter: float, step: int | None = None) -> list[Word]:
    """Hours beside a drawing, far enough apart to read; midnight is named by its day."""
    hours = (span.until - span.since) / 3600
    step = step or next((h for h in _HOURS if hours / h <= TICKS), _HOURS[-1])
    room = span.until - (span.until - span.since) * 0.12  # the air's degrees stand at the end
    words = [
        Word(
            span.x(face.timestamp()),
            f"{face:%H:%M}" if face.hour else clock_faces.DAYS[face.weekday()],
            letter,
        )
        for face in faces(span, step)
        if face.timestamp() <= room
    ]
    return list(apart(words, span.width))


def faces(span: Span, step: int) -> list[datetime]:
    """The full hours of the yard's clock in a stretch, so many apart."""
    hours = (span.until - span.since) / 3600
    local = datetime.fromtimestamp(span.since, request.zone())
    midnight = local.replace(hour=0, minute=0, second=0, microsecond=0)
    steps = range(int((hours + 24) / step) + 2)
    found = [midnight + timedelta(hours=step * n) for n in steps]
    return [face for face in found if span.holds(face.timestamp())]
