"""A layup's ribbon as a drawing: a strip of tape along time.

Wet is a block of waves until a hand or the clock's latest moment says gelled. The sure window is a
full block, and ends at a post of barrier tape: nothing of it stands beyond. Hollow beads before
and after it are when only a touch can tell. What was seen is a disc at its hour; what was looked
for and not there, a cross. On the page of one layup, and where a wall has few rows, hours stand
above the tape and the air of the bay below.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from ...acts.cure.milestone_views import WindowView
from ...acts.cure.show import LayupView
from ...acts.pots.unlaid import UnlaidPotView
from ...acts.wall import rows
from ...acts.wall.ribbon import AXIS_AHEAD_S, AXIS_BACK_S, RibbonView
from ...acts.wall.rows import RowView
from ...acts.wall.wall import StripView
from ...core.amounts.hours import closing, minute, opening
from ...core.amounts.quantities import TEMPERATURE
from ...core.cure.milestones import HOUR_S
from ...core.cure.signs import TROUBLE
from ...core.frozen import frozen
from ..context import clock_faces
from .span import Span, Word, apart, faces, ticks

UNPROMISED = TROUBLE
"""Signs under which no later moment is drawn: nobody should trust the clock then."""
CLEAR = 5.0
"""From now to what must not be hidden by its plumb line."""


@frozen
class Form:
    """The sizes of a drawing in units; on a wall of 1920 px a unit is a px.

    Attributes:
        middle: of the tape, from the top. block, tape, post: heights. across: a post's width.
        bead: a bead's radius. apart: from one bead to the next. letter: the size of a letter.
        words: the foot of the hours, or None without hours and air. air, air_height: of its plot.
    """

    width: float
    height: float
    middle: float
    block: float
    tape: float
    post: float
    across: float
    bead: float
    apart: float
    letter: float = 30.0
    words: float | None = None
    air: float = 0.0
    air_height: float = 0.0


FORMS = {
    "many": Form(618, 35, 17.5, 27, 14, 33, 11, 3.3, 10.5),
    "some": Form(618, 60, 30, 42, 24, 56, 17, 5, 19),
    "few": Form(1076, 196, 84, 56, 34, 74, 22, 6.5, 25, 30, 38, 150, 36),
    "page": Form(900, 238, 84, 64, 40, 80, 22, 7, 26, 34, 34, 140, 48),
}
"""A form for each number of rows on a wall, and that of a page of one layup."""
NOW_AT = AXIS_BACK_S / (AXIS_BACK_S + AXIS_AHEAD_S)
"""The share of the wall's axis that is past."""
NOW_ROOM = 90.0
"""The least room of the word of now to either end of a page's axis."""
AXIS = 226.0
"""The foot of a page's own hours."""


@frozen
class Block:
    """A filled stretch of time: `wet`, `window`, `sand` or `cured`, from left to right."""

    kind: str
    left: float
    right: float


@dataclass
class Ribbon:
    """The whole drawing.

    Attributes:
        now: where the plumb line hangs, or None. tape: from where it is.
        posts: left edge and width. beads: middles. dots: from where a stalled one has no end.
        looks: whether it was there, and where the look is.
    """

    label: str
    form: Form
    now: float | None
    tape: float = 0.0
    blocks: list[Block] = field(default_factory=list)
    posts: list[tuple[float, float]] = field(default_factory=list)
    beads: list[float] = field(default_factory=list)
    dots: float | None = None
    looks: list[tuple[bool, float]] = field(default_factory=list)
    clocks: list[Word] = field(default_factory=list)
    ticks: list[Word] = field(default_factory=list)
    air: list[tuple[bool, str]] = field(default_factory=list)
    heats: list[tuple[float, str]] = field(default_factory=list)
    floor: float | None = None

    @property
    def heats_first(self) -> bool:
        """Whether now is near the end, so that the degrees go to the beginning."""
        return self.now is not None and self.now > self.form.width * 0.85


def axis(moment: int, form: Form) -> list[Word]:
    """The hours of the wall's one axis, clear of the hour of now."""
    span = Span(moment - AXIS_BACK_S, moment + AXIS_AHEAD_S, form.width)
    here = span.at(moment)
    return [tick for tick in ticks(span, 28.0, 3) if abs(tick.x - here) > 60 + tick.width / 2]


def grid(moment: int, form: Form) -> list[float]:
    """Where the full hours of the axis stand, three hours apart."""
    span = Span(moment - AXIS_BACK_S, moment + AXIS_AHEAD_S, form.width)
    return [span.at(face.timestamp()) for face in faces(span, 3)]


def draw(layup: StripView, moment: int) -> Ribbon:
    """The ribbon of a page of one layup, over its own time, with `moment` (epoch s) as now."""
    drawn = draw_row(rows.of_layup(layup), moment, "page", layup.ribbon)
    span = Span(layup.ribbon.since, layup.ribbon.until, drawn.form.width)
    here = None if drawn.now is None else min(max(drawn.now, NOW_ROOM), span.width - NOW_ROOM)
    clear = drawn.form.letter * 3.2
    drawn.ticks = [t for t in ticks(span, 30.0) if here is None or abs(t.x - here) > clear]
    return drawn


def draw_row(row: RowView, moment: int, name: str, ribbon: RibbonView | None = None) -> Ribbon:
    """The ribbon of a row of the wall, in the form of that name.

    Args:
        ribbon: its time and air; of a pot, None: it has the wall's time.
    """
    form = FORMS[name]
    if ribbon is None:
        ribbon = RibbonView(moment - AXIS_BACK_S, moment + AXIS_AHEAD_S, None, [])
    span = Span(ribbon.since, ribbon.until, form.width)
    here = span.at(moment) if span.holds(moment) else None
    if row.pot is not None:
        return _pot(row.pot, form, span, here)
    if row.layup is None:
        raise ValueError("a row is a layup's or a pot's")
    drawn = Ribbon(_label(row.layup), form, here, span.x(row.layup.applied_at))
    _fill(drawn, span, row, row.layup, moment)
    for there, at in ((True, row.looked), (False, row.missed)):
        if at is not None and span.holds(at):
            drawn.looks.append((there, _beside(span.x(at), drawn)))
    if form.words is not None:
        if drawn.dots is not None and ribbon.floor is not None:
            still = f"stands still under {clock_faces.amount(ribbon.floor, TEMPERATURE)}"
            drawn.clocks.append(_clear(Word(0.0, still, form.letter), drawn.dots))
        drawn.clocks += list(apart(_clocks(drawn, span, row.layup, moment), form.width))
        _plot(drawn, span, ribbon)
    return drawn


def _beside(x: float, drawn: Ribbon) -> float:
    """The place of a look: of a moment ago, left of the plumb line, which would hide it."""
    room = CLEAR + 2 * drawn.form.bead
    near = drawn.now is not None and drawn.now - room < x <= drawn.now
    return round(drawn.now - room, 1) if near and drawn.now is not None else x


def _pot(pot: UnlaidPotView, form: Form, span: Span, here: float | None) -> Ribbon:
    """A pot is spread by its post."""
    end = clock_faces.clock(minute(pot.work_until))
    drawn = Ribbon(f"Working time until {end}.", form, here, span.x(pot.mixed_at))
    _ending(drawn, span, "wet", pot.mixed_at, pot.work_until)
    return drawn


def _fill(drawn: Ribbon, span: Span, row: RowView, layup: LayupView, moment: int) -> None:
    """What stands on the tape: of a layup in trouble, nothing later than now."""
    in_trouble = not UNPROMISED.isdisjoint(layup.state)
    if in_trouble or row.state in ("wet", "gelled", "skinned"):
        _wet(drawn, span, row, layup, moment)
    if "cold_stalled" in layup.state and span.holds(moment):
        drawn.dots = span.x(moment)
    if in_trouble:
        return
    green = row.state in ("wet", "gelled", "recoat_open", "recoat_touch")
    if green and (layup.window or layup.touch_window):
        _window(drawn, span, layup.window, layup.touch_window)
        return
    if layup.window is not None and span.holds(layup.window.closes):
        _post(drawn, span, layup.window.closes)
    hard, cured = layup.milestones.sandable.latest, layup.milestones.cured.latest
    last = float("inf")
    if cured is not None:
        _block(drawn, span, "cured", cured, last)
        last = cured
    if hard is not None:
        _block(drawn, span, "sand", hard, last)


def _wet(drawn: Ribbon, span: Span, row: RowView, layup: LayupView, moment: int) -> None:
    """Waves until it surely gelled; until now while no hand has found that it did."""
    gel = layup.milestones.on_part
    known = row.seen or row.state == "wet"
    trouble = not UNPROMISED.isdisjoint(layup.state)
    end = float(moment) if trouble or not known or gel.latest is None else gel.latest
    _block(drawn, span, "wet", layup.applied_at, max(end, min(layup.applied_at, moment)))


def _window(drawn: Ribbon, span: Span, sure: WindowView | None, likely: WindowView | None) -> None:
    """The sure window up to its post, and beads where only a touch can tell."""
    if sure is None:
        if likely is not None:
            drawn.beads += _beads(drawn.form, span, likely.opens, likely.closes)
        return
    _ending(drawn, span, "window", sure.opens, sure.closes)
    if likely is not None:
        drawn.beads += _beads(drawn.form, span, likely.opens, sure.opens)
        after = _beads(drawn.form, span, sure.closes, likely.closes)
        foot = sum(drawn.posts[-1]) + drawn.form.bead if drawn.posts else 0.0
        drawn.beads += [x for x in after if x > foot]


def _ending(drawn: Ribbon, span: Span, kind: str, since: float, until: float) -> None:
    """A block that ends at a post: the post's far edge is the end itself."""
    if not span.holds(until):
        _block(drawn, span, kind, since, until)
        return
    post = _post(drawn, span, until)
    if span.x(since) < post:
        drawn.blocks.append(Block(kind, span.x(since), post))


def _post(drawn: Ribbon, span: Span, at: float) -> float:
    """A post whose far edge is the end itself; its left edge.

    Just ahead of now it is narrower, for the plumb line would hide it.
    """
    end = span.x(at)
    left = max(end - drawn.form.across, 0.0)
    if drawn.now is not None and left < drawn.now + CLEAR and end > drawn.now:
        left = drawn.now + CLEAR
    drawn.posts.append((left, max(end - left, drawn.form.across / 2)))
    return left


def _block(drawn: Ribbon, span: Span, kind: str, since: float, until: float) -> None:
    left, right = span.x(since), span.x(min(until, span.until))
    if left < right:
        drawn.blocks.append(Block(kind, left, right))


def _beads(form: Form, span: Span, since: float, until: float) -> list[float]:
    """Beads on a string, wholly inside a stretch."""
    room = form.bead + 2
    left, right = span.at(since) + room, span.at(until) - room
    count = int((right - left) // form.apart) + 1 if right >= left else 0
    places = [left + number * form.apart for number in range(count)]
    return [round(x, 1) for x in places if room <= x <= span.width - room]


def _clocks(drawn: Ribbon, span: Span, layup: LayupView, moment: int) -> Iterable[Word]:
    """Hours to write over the tape, the next one first, clear of now."""
    if not UNPROMISED.isdisjoint(layup.state):
        return
    gel, held = layup.milestones.on_part.latest, layup.window
    told = [(gel, "skin " if layup.milestones.skin else "gel ", opening)]
    if held is not None:
        told += [(held.opens, "opens ", opening), (held.closes, "shuts ", closing)]
    for at, word, rounded in told:
        if at is None or not moment < at <= span.until:
            continue
        hour = rounded(at)
        named = drawn.form is FORMS["page"] or (word == "shuts " and hour - moment <= HOUR_S)
        text = f"{word if named else ''}{clock_faces.clock(hour)}"
        written = Word(span.x(at), text, drawn.form.letter)
        yield written if drawn.now is None else _clear(written, drawn.now)


def _clear(word: Word, here: float) -> Word:
    """A word of a later moment, moved so far that now does not strike it out."""
    return replace(word, x=max(word.x, here + 12 + word.width / 2))


def _plot(drawn: Ribbon, span: Span, ribbon: RibbonView) -> None:
    """The air: solid where it was measured, dashed where the bay's pattern is assumed."""
    heats = [kelvin for run in ribbon.air for _, kelvin in run.knots]
    if not heats:
        return
    form, floor = drawn.form, ribbon.floor
    low, high = min(heats), max(heats)
    if floor is not None and floor > low - 6:
        low = min(low, floor)
    middle, half = (low + high) / 2, max(high - low, 4.0) / 2

    def y(kelvin: float) -> float:
        return round(form.air + form.air_height * (0.5 - (kelvin - middle) / (2 * half)), 1)

    for run in ribbon.air:
        line = " ".join(f"{span.x(at):g},{y(kelvin):g}" for at, kelvin in run.knots)
        drawn.air.append((run.measured, line))
    if floor is not None and abs(floor - middle) <= half:
        drawn.floor = y(floor)
    extremes = {y(heat): clock_faces.amount(heat, TEMPERATURE) for heat in (max(heats), min(heats))}
    if 0 < max(extremes) - min(extremes) < form.letter * 0.75:
        extremes.popitem()
    drawn.heats = list(extremes.items())


def _label(layup: LayupView) -> str:
    """The ribbon in words, for screen readers."""
    if not UNPROMISED.isdisjoint(layup.state):
        return "Nothing later is promised."
    told = []
    held, gel = layup.window, layup.milestones.on_part
    if gel.at is not None:
        early = gel.at if gel.earliest is None else gel.earliest
        latest = gel.latest
        last = "or much later" if latest is None else f"to {clock_faces.clock(opening(latest))}"
        named = "Skin" if layup.milestones.skin else "Gel"
        told.append(f"{named} {clock_faces.clock(closing(early))} {last}.")
    if held is not None:
        told.append(f"Window {clock_faces.between(held.opens, held.closes)}.")
    found = layup.milestones
    cured = "Cured through" if found.skin else "Cured for handling"
    firm = {"Sandable": found.sandable.latest, cured: found.cured.latest}
    for word, latest in firm.items():
        if latest is not None:
            told.append(f"{word} from {clock_faces.clock(opening(latest))}.")
    return " ".join(told) or "No moment is promised."
