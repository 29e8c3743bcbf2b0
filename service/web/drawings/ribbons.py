"""A layup's ribbon as a drawing: a strip of tape along time, with the bay's air below it.

A shape has its full height where it is certain, and slopes from the earliest to the latest moment
of a change: down where a wet layer gels, up where a window opens, down where it closes. The
upper lane shows the window, the lower one when it can be sanded and handled. A plumb line marks
now.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from ...acts.cure.milestone_views import MilestoneEarly
from ...acts.wall.ribbon import RibbonView
from ...acts.wall.wall import StripView
from ...core.amounts.quantities import TEMPERATURE
from ...core.cure.signs import TROUBLE
from ..context import clock_faces, request
from ..context.clock_faces import GEL_STEP, STEP, Way

WIDTH, LETTER = 900.0, 36.0
"""Units across, and of a letter: a unit is a pixel of a ribbon on a wall of 1080 lines."""
TAPE, LANE = 44.0, 40.0
AIR, AIR_HEIGHT = 140.0, 48.0
AXIS, HEIGHT = 226.0, 238.0
TICKS = 6
"""The most hours that are marked."""
UNPROMISED = TROUBLE
"""Signs under which no later moment is drawn: nobody should trust the clock then."""
_HOURS = (1, 2, 3, 4, 6, 12, 24)
Point = tuple[float, float]


@dataclass(frozen=True)
class Word:
    """A text, and the place of its middle or its beginning."""

    x: float
    text: str
    middle: bool = True

    @property
    def left(self) -> float:
        """Where it begins."""
        return self.x - (self.width / 2 if self.middle else 0)

    @property
    def width(self) -> float:
        """Its approximate width."""
        return len(self.text) * LETTER * 0.56


@dataclass(frozen=True)
class Shape:
    """A stretch of a lane: its kind (`wet`, `window`, `sand`, `cured`), its outline, its word."""

    kind: str
    outline: str
    word: Word | None


@dataclass
class Ribbon:
    """The whole drawing, `WIDTH` units across; `heats` are at its end, clear of now."""

    label: str
    now: float | None
    shapes: list[Shape] = field(default_factory=list)
    clocks: list[Word] = field(default_factory=list)
    ticks: list[Word] = field(default_factory=list)
    air: list[tuple[bool, str]] = field(default_factory=list)
    heats: list[tuple[float, str]] = field(default_factory=list)
    floor: float | None = None

    @property
    def heats_first(self) -> bool:
        """Whether now is near the end, so that the degrees go to the beginning."""
        return self.now is not None and self.now > WIDTH * 0.85


def draw(layup: StripView, moment: int) -> Ribbon:
    """The ribbon of a layup, with `moment` (epoch s) hanging as now."""
    span = _Span(layup.ribbon.since, layup.ribbon.until)
    found = layup.milestones
    here = span.x(moment) if span.since <= moment <= span.until else None
    drawn = Ribbon(_label(layup), here)
    drawn.shapes = list(_wet(span, _gel(layup)))
    if not UNPROMISED & set(layup.state):
        drawn.shapes += [
            *_window(span, found.recoat_opens, found.recoat_closes),
            *_from(span, "sand", found.sandable),
            *_from(span, "cured", found.full_cure),
        ]
        drawn.clocks = list(_apart(_clocks(span, layup, moment)))
    drawn.ticks = [t for t in _ticks(span) if here is None or abs(t.x - here) > LETTER * 3.2]
    _plot(drawn, span, layup.ribbon)
    return drawn


def _gel(layup: StripView) -> MilestoneEarly:
    """The gel on the part: in a film, if its cure sheet has a time for one."""
    found = layup.milestones
    return found.gel if found.film.why == "not-on-sheet" else found.film


@dataclass(frozen=True)
class _Span:
    since: float
    until: float

    def x(self, moment: float) -> float:
        """The place of a moment, kept on the tape."""
        share = (moment - self.since) / (self.until - self.since)
        return round(min(max(share, 0.0), 1.0) * WIDTH, 1)


def _wet(span: _Span, gel: MilestoneEarly) -> list[Shape]:
    if gel.at is None:
        return []
    earliest, latest = span.x(_early(gel)), _late(span, gel)
    corners = [(0.0, 1.0), (earliest, 1.0), (latest, 0.0), (0.0, 0.0)]
    return [_shape("wet", corners, 2 * LANE, "wet", 0.0, earliest)] if latest > 0 else []


def _window(span: _Span, opens: MilestoneEarly, closes: MilestoneEarly) -> list[Shape]:
    if opens.at is None or closes.at is None:
        return []
    rise = span.x(_early(opens)), _late(span, opens)
    last = closes.at if closes.latest is None else closes.latest
    sink = span.x(_early(closes)), span.x(last)
    if sink[1] <= 0 or rise[0] >= WIDTH:
        return []
    if rise[1] <= sink[0]:
        corners = [(rise[0], 0.0), (rise[1], 1.0), (sink[0], 1.0), (sink[1], 0.0)]
        return [_shape("window", corners, LANE, "window", rise[1], sink[0])]
    return [_shape("window", [(rise[0], 0.0), _peak(rise, sink), (sink[1], 0.0)], LANE)]


def _peak(rise: Point, sink: Point) -> Point:
    """The point where a rise crosses a fall that begins before the rise has ended."""
    up, down = rise[1] - rise[0], sink[1] - sink[0]
    x = min(max((rise[0] * down + sink[1] * up) / ((up + down) or 1), rise[0]), sink[1])
    return x, min(max((x - rise[0]) / (up or 1), 0.0), 1.0)


def _from(span: _Span, kind: str, milestone: MilestoneEarly) -> list[Shape]:
    """The stretch from a milestone on."""
    if milestone.at is None:
        return []
    earliest, latest = span.x(_early(milestone)), _late(span, milestone)
    if earliest >= WIDTH:
        return []
    word = {"sand": "sand", "cured": "handling"}[kind]
    if milestone.latest is not None and milestone.latest > span.since:
        word += f" {clock_faces.clock(milestone.latest, STEP, 'up')}"
    corners = [(earliest, 0.0), (latest, 1.0), (WIDTH, 1.0), (WIDTH, 0.0)]
    return [_shape(kind, corners, LANE, word, latest, WIDTH, lane=1)]


def _shape(
    kind: str,
    corners: Sequence[Point],
    height: float,
    word: str = "",
    left: float = 0.0,
    right: float = 0.0,
    lane: int = 0,
) -> Shape:
    """A shape over `corners` of (x, share of its height); with its word, if it has room."""
    foot = TAPE + lane * LANE + height
    outline = " ".join(f"{x:g},{foot - share * height:g}" for x, share in corners)
    written = Word((left + right) / 2, word)
    return Shape(kind, outline, written if word and written.width < right - left else None)


def _early(milestone: MilestoneEarly) -> float:
    """The early edge of the band of a milestone that has a moment, epoch s."""
    return (milestone.at or 0.0) if milestone.earliest is None else milestone.earliest


def _late(span: _Span, milestone: MilestoneEarly) -> float:
    """The late edge of a band; the end of the tape, if the cold case never reaches it."""
    return WIDTH if milestone.latest is None else span.x(milestone.latest)


def _clocks(span: _Span, layup: StripView, moment: int) -> Iterable[Word]:
    """Clock times to write over the tape, the next one first."""
    held, gel = layup.window, _gel(layup).latest
    told: list[tuple[float | None, str, int, Way]] = [(gel, "gel", GEL_STEP, "up")]
    if held is not None:
        last = GEL_STEP if layup.shuts == "minutes" else STEP
        told += [(held.opens, "opens", STEP, "up"), (held.closes, "shuts", last, "down")]
    for at, word, step, way in told:
        if at is not None and moment < at <= span.until:
            yield Word(span.x(at), f"{word} {clock_faces.clock(at, step, way)}")


def _apart(words: Iterable[Word]) -> Iterable[Word]:
    """Words moved into the drawing, without those that would cover an earlier one."""
    kept: list[Word] = []
    for word in words:
        half = word.width / 2
        moved = Word(min(max(word.x, half), WIDTH - half), word.text)
        if all(abs(moved.x - other.x) > half + other.width / 2 + 12 for other in kept):
            kept.append(moved)
            yield moved


def _ticks(span: _Span) -> list[Word]:
    """Hours below the drawing, far enough apart to read; midnight is named by its day."""
    hours = (span.until - span.since) / 3600
    step = next((h for h in _HOURS if hours / h <= TICKS), _HOURS[-1])
    local = datetime.fromtimestamp(span.since, request.zone())
    midnight = local.replace(hour=0, minute=0, second=0, microsecond=0)
    steps = range(int((hours + 24) / step) + 2)
    faces = [midnight + timedelta(hours=step * n) for n in steps]
    room = span.until - (span.until - span.since) * 0.12  # the air's degrees stand at the end
    inside = [face for face in faces if span.since <= face.timestamp() <= room]
    words = [
        (face, f"{face:%H:%M}" if face.hour else clock_faces.DAYS[face.weekday()])
        for face in inside
    ]
    return list(_apart(Word(span.x(face.timestamp()), text) for face, text in words))


def _plot(drawn: Ribbon, span: _Span, ribbon: RibbonView) -> None:
    """The air: solid where it was measured, dashed where the bay's pattern is assumed."""
    heats = [kelvin for run in ribbon.air for _, kelvin in run.knots]
    if not heats:
        return
    floor = ribbon.floor
    low, high = min(heats), max(heats)
    if floor is not None and floor > low - 6:
        low = min(low, floor)
    middle, half = (low + high) / 2, max(high - low, 4.0) / 2

    def y(kelvin: float) -> float:
        return round(AIR + AIR_HEIGHT * (0.5 - (kelvin - middle) / (2 * half)), 1)

    for run in ribbon.air:
        line = " ".join(f"{span.x(at):g},{y(kelvin):g}" for at, kelvin in run.knots)
        drawn.air.append((run.measured, line))
    if floor is not None and abs(floor - middle) <= half:
        drawn.floor = y(floor)
    extremes = {y(heat): clock_faces.amount(heat, TEMPERATURE) for heat in (max(heats), min(heats))}
    if 0 < max(extremes) - min(extremes) < LETTER * 0.75:
        extremes.popitem()
    drawn.heats = list(extremes.items())


def _label(layup: StripView) -> str:
    """The ribbon in words, for screen readers."""
    held, gel = layup.window, _gel(layup)
    told = [f"Ribbon of time of {layup.title}."]
    if UNPROMISED & set(layup.state):
        return f"{told[0]} Nothing later is promised."
    if gel.at is not None:
        until = gel.latest
        last = (
            "or much later" if until is None else f"to {clock_faces.clock(until, GEL_STEP, 'up')}"
        )
        told.append(f"Gel {clock_faces.clock(_early(gel), GEL_STEP, 'down')} {last}.")
    if held is not None:
        told.append(f"Window {clock_faces.between(held.opens, held.closes)}.")
    found = layup.milestones
    firm = {"Sandable": found.sandable.latest, "Handling cure": found.full_cure.latest}
    for word, latest in firm.items():
        if latest is not None:
            told.append(f"{word} from {clock_faces.clock(latest, STEP, 'up')}.")
    return " ".join(told)
