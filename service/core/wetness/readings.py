"""A moisture meter's readings: what each says, and why one is kept but not counted."""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from statistics import mean, stdev
from typing import Literal, get_args

from ..amounts.sentences import heat, warmth
from ..frozen import frozen
from ..words import Text, say

MeterKind = Literal["capacitance", "pins"]
METER_KINDS: tuple[MeterKind, ...] = get_args(MeterKind)

Measures = Literal["points", "percent"]
"""What a scale's numbers are. A percentage of water is of pins in wood alone, or of a weighed
sample: on a laminate they are points, which only compare."""
MEASURES: tuple[Measures, ...] = get_args(Measures)

NoteKind = Literal[
    "hauled_out",
    "washed",
    "rain",
    "opened",
    "heat_on",
    "heat_off",
    "touched",
    "oil",
    "dust",
    "prepared",
]
"""What happened to a surface, by a hand's word."""
NOTE_KINDS: tuple[NoteKind, ...] = get_args(NoteKind)

Water = Literal["sheets", "beads"]
"""How the last water of a wash ran: ASTM F22, water-break test, from memory."""
WATERS: tuple[Water, ...] = get_args(Water)

WETS: tuple[NoteKind, ...] = ("hauled_out", "washed", "rain")
"""After these a face reads wet for a while, whatever lies below it."""

UNCOVERS: tuple[NoteKind, ...] = ("hauled_out", "opened")
"""After these a place is another one: earlier readings do not show that it is dry."""

SPOILS: tuple[NoteKind, ...] = ("rain", "touched", "oil", "dust", "washed", "opened", "hauled_out")
"""After these a prepared face is prepared again (common practice, no source); not after a wash
that tests it, of which somebody notes how the water ran."""

Uncounted = Literal["scale_end", "cold", "near_dew_point", "after_water"]
"""Why a reading is kept but not counted."""

AT_LEAST: frozenset[Uncounted] = frozenset({"scale_end", "cold"})
"""Where only these are why, the place is at least as wet as it reads: ice and the end of the scale
read too dry, dew and water too wet."""

LEAST_PLACEMENTS = 3
MUCH_PERCENT = 10
"""Placements at one place that are further apart, in percent of the meter's span, differ much (the
yard's own rule of thumb, common practice, no source)."""
LEAST_U_PERCENT = 1.0
"""Least standard uncertainty of a reading, percent of the meter's span (no source)."""
APART_PERCENT = 20.0
"""Placements farther apart, percent of the span, are asked about (common practice, no source)."""


@frozen
class Scale:
    """The ends of a meter's scale, and what its numbers are in one of its modes."""

    low: float
    high: float
    measures: Measures = "points"

    @property
    def span(self) -> float:
        """From end to end."""
        return self.high - self.low

    def say(self, value: float) -> str:
        """A number of this scale in words, such as '58.0 points'."""
        most = "at least " if value >= self.high else ""
        unit = " %" if self.measures == "percent" else " points"
        return f"{most}{value:.1f}{unit}"


@frozen
class Reading:
    """One reading: three placements or more of one meter in one mode at one place.

    Attributes:
        at: epoch s. placements: scale numbers. surface: temperature of the face, K.
        dew: dew point of the air there, K; None if nobody measured it.
    """

    at: int
    placements: Sequence[float]
    surface: float
    dew: float | None = None

    @property
    def value(self) -> float:
        """The mean of the placements."""
        return mean(self.placements)

    def u(self, scale: Scale) -> float:
        """Standard uncertainty, in the scale's numbers."""
        return uncertainty(self.placements, scale)


def differ_much(placements: Sequence[float], scale: Scale) -> bool:
    """Whether placements are so far apart that one may be a slip, such as 3 for 36."""
    return max(placements) - min(placements) > scale.span * MUCH_PERCENT / 100


@frozen
class Note:
    """What happened at a moment (epoch s), by a hand's word; at a wash, how the water ran."""

    kind: NoteKind
    at: int
    water: Water | None = None

    @property
    def tests(self) -> bool:
        """Whether it is a wash that tests a clean face: the water is on it for a minute."""
        return self.water is not None

    @property
    def spoils(self) -> bool:
        """Whether a prepared face is to be prepared again after it."""
        return self.kind in SPOILS and not self.tests


@frozen
class Counting:
    """The yard's limits for a reading to count.

    Attributes:
        after_water: s. coldest: of the face, K. above_dew: of the face, K.
    """

    after_water: float
    coldest: float
    above_dew: float


def uncertainty(values: Sequence[float], scale: Scale) -> float:
    """The larger of 1 % of the span and s/√n of some numbers of a scale."""
    scatter = stdev(values) / sqrt(len(values)) if len(values) > 1 else 0.0
    return max(scale.span * LEAST_U_PERCENT / 100, scatter)


def apart(placements: Sequence[float], scale: Scale) -> list[Text]:
    """That placements of one place differ much, in a sentence; empty if they agree.

    A fifth of the span is common practice, no source.
    """
    over = max(placements) - min(placements)
    if over <= scale.span * APART_PERCENT / 100:
        return []
    unit = "%" if scale.measures == "percent" else "points"
    return [
        f"The placements are {over:g} {unit} apart, over a fifth of the scale: part of the place "
        "may be wet, or metal lies below. Read it again, or as two places."
    ]


def uncounted(
    reading: Reading, scale: Scale, notes: Sequence[Note], counting: Counting
) -> list[tuple[Uncounted, Text]]:
    """Why a reading does not count, each as a word and in words; empty if it counts.

    Args:
        notes: of its place and of the whole boat.
    """
    found: list[tuple[Uncounted, Text]] = []
    if max(reading.placements) >= scale.high:
        found.append(("scale_end", "A placement is at the end of the scale: it says 'at least'."))
    if reading.surface < counting.coldest:
        face, least = heat(reading.surface), heat(counting.coldest, 0)
        found.append(("cold", say("The face was {}: under {} ice reads dry.", face, least)))
    if reading.dew is not None and (over := reading.surface - reading.dew) < counting.above_dew:
        found.append(("near_dew_point", _near_dew(over, counting.above_dew)))
    since = _since_water(reading, notes)
    if since is not None and since < counting.after_water:
        hours, enough = since / 3600, counting.after_water / 3600
        words = f"Water was on it {hours:.0f} h before: under {enough:.0f} h the face reads wet."
        found.append(("after_water", words))
    return found


def _near_dew(over: float, needed: float) -> Text:
    """The words of a face that is so many K over its dew point, or under it."""
    if over < 0:
        return say("The face was {} below the dew point: dew on it reads wet.", warmth(-over))
    return say(
        "The face was {} over the dew point, under {}: dew reads wet.", warmth(over), warmth(needed)
    )


def _since_water(reading: Reading, notes: Sequence[Note]) -> int | None:
    """Seconds from the last water to a reading, or None."""
    wets = [each.at for each in notes if each.kind in WETS and each.at <= reading.at]
    return reading.at - max(wets) if wets else None


@frozen
class Reference:
    """What dry places of the same boat read, by one meter in one mode.

    Attributes:
        value, u: scale numbers; u standard. figure: at or under it a place counts as dry.
        places: how many.
    """

    value: float
    u: float
    figure: float
    places: int

    @property
    def is_loose(self) -> bool:
        """Whether the dry places differ so much that one of them may be wet: nothing can be
        compared with them."""
        return self.u > self.figure - self.value


LEAST_DRY_PLACES = 3


def reference(dry: Sequence[float], scale: Scale, over_percent: float) -> Reference | None:
    """The reference of a meter's mode; None under three dry places.

    Args:
        dry: the last counted reading of each dry place.
        over_percent: how far over the reference still counts as dry, percent of the span.
    """
    if len(dry) < LEAST_DRY_PLACES:
        return None
    value = mean(dry)
    figure = value + scale.span * over_percent / 100
    return Reference(value, uncertainty(dry, scale), figure, len(dry))


def water_percent(wet: float, dried: float) -> float:
    """Water in a weighed sample, percent of its dried mass; both masses in one unit."""
    return 100 * (wet - dried) / dried
