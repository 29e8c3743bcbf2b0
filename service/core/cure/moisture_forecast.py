"""When a layup that cures by moisture skins, and when it is cured through.

From an open face the cure goes as deep as the bead; between two tight faces, metal or laminate, it
comes from the edges, and each has half the width to go.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import floor, inf, isinf
from typing import Literal

from .. import arrays as np
from ..amounts.sentences import heat, size
from ..bays.temperature import Basis, Trace
from ..bays.vapour import DAY_S, Vapour
from ..frozen import frozen
from ..products.cure_sheet import CureSheet
from ..words import Text, say
from .milestones import HOUR_S, NAMES, NOT_ON_SHEET, Milestone
from .moisture import Course, MoistureLaw, courses
from .touch import Touch

From = Literal["open_face", "edges"]
NO_HUMIDITY = "no-humidity"
BELOW_COLDEST = "below-coldest"
COVERED = "covered"
FROM_EDGES = "Between tight faces it cures from its edges alone, half the width from each."


@frozen
class Way:
    """How the moisture comes in, and how far it has to come, µm; None where nobody said."""

    comes: From
    depth: float | None


def way(thickness: float | None, tight_width: float | None) -> Way:
    """The way in: of a bead so thick from its open face, or of a joint so wide between tight
    faces; µm.
    """
    if tight_width is not None:
        return Way("edges", tight_width / 2)
    return Way("open_face", thickness)


@frozen
class ByMoisture:
    """What the clock of moisture says of a layup.

    Attributes:
        skin, through: when it skins, and when it is cured through.
        tool_by: the earliest that it may skin, epoch s, whatever the air; None where no skin time
            is known.
        surely, likely: the depth that it has reached by now, µm.
        days: about how long it still takes at the air that is expected, where that ends beyond what
            is looked ahead; else None.
        unread_since: since when nobody read the humidity, up to now, epoch s; else None.
        had_gaps: whether it was not read for a time before that.
        coldest: below which it does not cure, where it was or will be colder; K, else None.
    """

    way: Way
    skin: Milestone
    through: Milestone
    tool_by: float | None
    surely: float
    likely: float
    days: float | None
    unread_since: float | None
    had_gaps: bool
    coldest: float | None

    @property
    def found(self) -> dict[str, Milestone]:
        """Its milestones by name; those of a cure clock are not on its sheet."""
        return dict.fromkeys(NAMES, NOT_ON_SHEET) | {"skin": self.skin, "through": self.through}


def forecast(
    sheet: CureSheet,
    law: MoistureLaw,
    ways: Way,
    air: Vapour,
    trace: Trace,
    now: float,
    sure: float,
    shut: float = inf,
) -> ByMoisture:
    """The forecast of a layup.

    Args:
        air: from its start. now: epoch s. sure: the chance on the other side of each edge.
        shut: from when it is covered and gets no moisture, epoch s.
    """
    least, most = courses(law, air, sheet.cure_min)
    sums = _Sums(least, most, air, trace, now, sure, sheet.cure_min)
    tool_by = inf if sheet.skin_time is None else most.reaches(sheet.skin_time, 1 - sure)
    through = Milestone(None, why="no-depth")
    if ways.depth is not None:
        through = _until(shut, sums.milestone(law.demand(ways.depth)))
    until_now = min(now, shut, float(air.t[-1]))
    deepest = inf if ways.depth is None else ways.depth
    unread = [since for since, until in air.gaps if until >= until_now]
    return ByMoisture(
        way=ways,
        skin=NOT_ON_SHEET
        if sheet.skin_time is None
        else _until(shut, sums.milestone(sheet.skin_time)),
        through=through,
        tool_by=None if isinf(tool_by) else tool_by,
        surely=min(least.depth(until_now, sure), deepest),
        likely=min(least.depth(until_now, 0.5), deepest),
        days=_days(least, law, ways, through),
        unread_since=unread[0] if unread else None,
        had_gaps=any(until < until_now for _, until in air.gaps),
        coldest=sums.coldest_by(float(air.t[-1]) if through.latest is None else through.latest),
    )


def _until(shut: float, found: Milestone) -> Milestone:
    """A milestone of what is covered from a moment on: nothing is promised of what is to come."""
    if isinf(shut) or (found.latest is not None and found.latest <= shut):
        return found
    return Milestone(None, why=COVERED)


@frozen
class _Sums:
    least: Course
    most: Course
    air: Vapour
    trace: Trace
    now: float
    sure: float
    coldest: float | None

    def milestone(self, demand: float) -> Milestone:
        """When so much was given: at the earliest by the most, else by the least that it was."""
        at, latest = (self.least.reaches(demand, p) for p in (0.5, self.sure))
        soonest = self.most.reaches(demand, 1 - self.sure)
        earliest = None if isinf(soonest) else soonest
        if at > self.now and self.air.mean is None:
            # Warmth comes first: in the cold a reading of the humidity would help nothing.
            cold = self._is_cold(self.now, self.now + HOUR_S)
            return Milestone(None, earliest, why=BELOW_COLDEST if cold else NO_HUMIDITY)
        if latest > self.now and self._is_cold(self.now, min(latest, float(self.air.t[-1]))):
            return Milestone(None, earliest, why=BELOW_COLDEST)
        if isinf(at):
            return Milestone(None, earliest, why="not-in-sight")
        return Milestone(at, earliest, None if isinf(latest) else latest, self._basis(at))

    def coldest_by(self, end: float) -> float | None:
        """The coldest at which it cures, if it is colder at any time up to an end, epoch s."""
        return self.coldest if self._is_cold(float(self.air.t[0]), end) else None

    def _is_cold(self, since: float, until: float) -> bool:
        """Whether it is colder than it cures at, at any time of a stretch."""
        if self.coldest is None or until <= since:
            return False
        inside = (self.air.t[:-1] < until) & (self.air.t[1:] > since)
        cold = np.minimum(self.air.warm_begins, self.air.warm_ends) < self.coldest
        return bool((inside & cold).any())

    def _basis(self, at: float) -> Basis:
        """What a moment rests on: the temperatures and the humidity up to it."""
        own = self.trace.basis(float(self.air.t[0]), at)
        unread = any(since < at for since, _ in self.air.gaps)
        return "mixed" if own == "measured" and unread else own


def _days(least: Course, law: MoistureLaw, ways: Way, through: Milestone) -> float | None:
    """About how many days it takes from its start, where its end is not in sight."""
    if ways.depth is None or through.why != "not-in-sight" or not least.rate:
        return None
    given = sum(float(each[-1]) for each in least.given) / len(least.given)
    ahead = (law.demand(ways.depth) - given) / least.rate
    return (float(least.t[-1]) - float(least.t[0]) + ahead) / DAY_S


def by_hand(found: dict[str, Milestone], touch: Touch) -> dict[str, Milestone]:
    """The milestones, corrected by a hand that found the skin."""
    skin, seen = found["skin"], touch.gelled
    if seen is None or skin.reached(seen):
        return found
    earliest = seen if skin.earliest is None else min(skin.earliest, seen)
    felt = Milestone(seen, earliest, seen, "observed", computed=skin.at)
    return found | {"skin": felt if skin.at is None else replace(felt, at=min(skin.at, seen))}


def words(told: ByMoisture, clock: Callable[[float], str]) -> list[Text]:
    """What a person must know of it: from where it cures, what was not read, what is too cold.

    Args:
        clock: shows a moment.
    """
    found: list[Text] = []
    if told.way.comes == "edges":
        found.append(FROM_EDGES)
    if told.way.depth is None:
        found.append("Nobody said how thick it is, so nobody knows when it is cured through.")
    if COVERED in (told.skin.why, told.through.why):
        found.append(
            "Covered, it gets no moisture from the air: nothing is promised until it is open again."
        )
    if told.days is not None:
        found.append(f"At this air it is cured through about {told.days:.0f} days after it began.")
    if NO_HUMIDITY in (told.skin.why, told.through.why):
        found.append(
            "Nobody read the humidity within the last day: nothing is promised until the bay is "
            "read with it."
        )
    if told.unread_since is not None:
        found.append(
            say(
                "At least {} deep; no humidity since {}: read the bay with its humidity.",
                _at_least(told.surely),
                clock(told.unread_since),
            )
        )
    elif told.had_gaps:
        deep = _at_least(told.surely)
        found.append(say("At least {} deep: the humidity was not read all the time.", deep))
    if told.coldest is not None:
        found.append(
            say(
                "Colder than {} it does not cure, and it is or will be: nothing is promised of "
                "that time.",
                heat(told.coldest, 0),
            )
        )
    return found


def _at_least(depth: float) -> Text:
    """A depth in words, rounded down to a tenth of a millimetre."""
    return size(floor(depth / 100) * 100, 1)
