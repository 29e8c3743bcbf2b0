"""A bracket of a film's gel on a part: wet at one look, gelled at the next. It teaches the pair.

A gel that was noted alone teaches nothing: people note gels, not their absence, and twenty such
would make a resin faster than it is. Nor does a bracket that is too wide, one whose air nobody
read, one that lay under the sheet's floor, or one so far from the sheet that a cup like it would
hold the lot.
"""

from __future__ import annotations

from functools import lru_cache
from math import exp, log, sqrt

from .. import arrays as np
from ..bays.temperature import Trace
from ..frozen import frozen
from ..products.cure_sheet import CureSheet
from ..products.evidence import Film, R
from ..products.gel_law import GelLaw, dose
from ..stock.cup_test import BELIEVED
from . import cure_clock

WIDEST = 1.5
"""The age at the second look over that at the first, at most."""


@frozen
class Bracket:
    """Two looks at a part that one pot went into, and the air around it.

    Attributes:
        lot: the key of its resin's lot. mixed, wet, gelled: epoch s.
        readings: of its bay, (epoch s, K), oldest first. kelvins: half-width of their range.
        gap: s that a reading holds for, and that may lie between two.
        surface: K of the part where that was taken, when it was laid: `applied`, epoch s.
    """

    lot: int
    mixed: float
    wet: float
    gelled: float
    readings: tuple[tuple[float, float], ...]
    kelvins: float
    gap: float
    applied: float
    surface: float | None = None


@lru_cache(maxsize=1024)
def film_of(
    looks: Bracket, percent: float | None, sheet: CureSheet, law: GelLaw, age: float
) -> Film | None:
    """What a bracket tells of a pair; None where it teaches nothing.

    Args:
        percent: of catalyst, as if it were the sheet's. law: of the sheet alone.
        age: s from the gel to the moment that it is judged for.
    """
    trace = _trace(looks)
    if sheet.film_gel is None or trace is None or trace.T.min() < (sheet.cure_min or 0.0):
        return None
    reference = sheet.reference_percent or law.percent
    clock = cure_clock.run(trace, law.E, sheet.reference_temperature, None)
    first, last = clock.age_at(looks.wet), clock.age_at(looks.gelled)
    if not 0 < first < last <= WIDEST * first:
        return None
    aged, time = sqrt(first * last), sqrt((looks.wet - looks.mixed) * (looks.gelled - looks.mixed))
    if (
        not BELIEVED[0]
        <= aged / sheet.film_gel * exp(law.n * dose(percent, reference))
        <= BELIEVED[1]
    ):
        return None
    inverse = 1 / sheet.reference_temperature + R / law.E * log(time / aged)
    return Film(
        looks.lot, 1 / inverse, looks.kelvins, time, log(last / first), sheet.film_gel,
        sheet.reference_temperature, percent, reference, age,
    )  # fmt: skip


def _trace(looks: Bracket) -> Trace | None:
    """The temperature from its mixing to its gel; None where no reading holds for some of it."""
    start, end, gap = looks.mixed, looks.gelled, looks.gap
    near = [each for each in looks.readings if start - gap <= each[0] <= end + gap]
    t, T = np.array(near, float).reshape(-1, 2).T
    if not near or t[0] > start + gap or t[-1] < end - gap or (np.diff(t) > gap).any():
        return None
    knots = np.array([start, *t[(t > start) & (t < end)], end])
    air = Trace(knots, np.interp(knots, t, T), np.ones(len(knots) - 1, bool))
    if looks.surface is None or not start <= looks.applied < end:
        return air
    return air.from_surface(looks.surface, gap, looks.applied)
