"""Promises and how they came out, as a drawing: what was told across, what was seen up.

Both axes are logarithmic, so a band of some percent is as tall at a gel as at a cure. A mark on the
slanting line came as likely as told; its upright line is the band that was told.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from ...acts.cure.score import KeptView
from ...core.cure.score import Outcome
from ...core.frozen import frozen

LEFT, RIGHT, TOP, BOTTOM = 92.0, 454.0, 12.0, 288.0
"""Edges of the plot in its viewBox."""
HEADROOM = 1.25
"""Factor of room around the times that are drawn."""
TICKS_H = (1 / 60, 1 / 12, 0.25, 0.5, 1, 2, 4, 8, 24, 72, 168)
"""Where the axes may have marks, h."""


@frozen
class Seen:
    """One promise: its place, the ends of its band, how it came out, and words on it."""

    x: float
    y: float
    top: float
    bottom: float
    outcome: Outcome
    words: str


@frozen
class ScoreChart:
    """The promises; the marks of both axes with their words; the slanting line as an SVG path."""

    marks: list[Seen]
    ticks: list[tuple[float, float, str]]
    even: str


def score_chart(kept: Sequence[KeptView]) -> ScoreChart | None:
    """Draw some promises; None without any."""
    times = [time for each in kept for time in _times(each) if time > 0]
    if not times:
        return None
    low, high = min(times) / HEADROOM, max(times) * HEADROOM

    def share(time: float) -> float:
        return math.log(min(max(time, low), high) / low) / math.log(high / low)

    def x(time: float) -> float:
        return LEFT + (RIGHT - LEFT) * share(time)

    def y(time: float) -> float:
        return BOTTOM - (BOTTOM - TOP) * share(time)

    marks = [
        Seen(
            x(each.likely),
            y(each.seen),
            TOP if each.latest is None else y(each.latest),
            y(each.earliest),
            each.outcome,
            f"layup {each.layup}, {each.stage.replace('_', ' ')}: {each.outcome}",
        )
        for each in kept
    ]
    ticks = [(x(h * 3600), y(h * 3600), _hours(h)) for h in TICKS_H if low < h * 3600 < high]
    return ScoreChart(marks, ticks, f"M{LEFT} {BOTTOM}L{RIGHT} {TOP}")


def _times(each: KeptView) -> list[float]:
    ends = [each.earliest, each.likely, each.seen]
    return ends if each.latest is None else [*ends, each.latest]


def _hours(hours: float) -> str:
    if hours < 1:
        return f"{round(hours * 60)} min"
    return f"{hours:g} h" if hours <= 24 else f"{hours / 24:g} d"
