"""The cure by moisture: a front that goes from the open face inwards, as the air feeds it.

    D = t_ref (d / d_ref)²                                  what a depth takes, s of the sheet's air
    A(t) = ∫ (e / e_ref) exp(-E/R (1/T - 1/T_ref)) dt       what the air has given
    F(t) = mean over E of Φ(ln(A / D) / 0.25)               the chance that a depth is reached

A moving front (Comyn, Int. J. Adhesion Adhesives 18 (1998) 247; the root of time from memory), so
'3 mm in 24 h' is the first day and no speed: the second 3 mm take three days. E is 0 to 30 kJ/mol,
as two nodes of Gauss and Legendre, or from the sheet's second point. The spread 0.25 has no source.
The skin comes by the same A.
"""

from __future__ import annotations

from functools import cached_property
from math import erfc, exp, inf, log, sqrt

from .. import arrays as np
from ..arrays import Flags, Floats
from ..bays.vapour import Vapour, pressure, saturated
from ..errors import CureSheetInconsistent, CureSheetMissing
from ..frozen import frozen
from ..products.cure_sheet import CuredDepth, CureSheet
from ..products.evidence import R
from ..products.mixture import normal

SPREAD = 0.25
"""Standard uncertainty of ln A against ln D (no source)."""
ENERGIES = (15e3 * (1 - 1 / sqrt(3)), 15e3 * (1 + 1 / sqrt(3)))
"""Where the sheet has one point: the two nodes on 0 to 30 kJ/mol, 6.340 and 23.66."""
LEAST_APART_K = 5.0
"""Two points nearer than this in temperature tell no E (common practice, no source)."""
GREATEST_E = 100e3
_HALVINGS = 60


@frozen
class MoistureLaw:
    """The law of a sheet: its first point with its vapour pressure (hPa), its E in J/mol."""

    point: CuredDepth
    vapour: float
    energies: tuple[float, float]

    def demand(self, depth: float) -> float:
        """What a depth in µm takes: s in the sheet's own air."""
        return self.point.time * (depth / self.point.depth) ** 2

    def depth(self, given: float) -> float:
        """The depth in µm that so much air has cured: the inverse of `demand`."""
        return self.point.depth * sqrt(given / self.point.time)

    def rates(self, T: Floats, e: Floats) -> tuple[Floats, Floats]:
        """How much faster than in the sheet's air it cures at T (K) and e (hPa), for each E."""
        inverse = 1 / T - 1 / self.point.temperature
        low, high = (e / self.vapour * np.exp(-E / R * inverse) for E in self.energies)
        return np.asarray(low), np.asarray(high)


def law_of(sheet: CureSheet) -> MoistureLaw:
    """The law of a sheet that cures by moisture.

    Raises:
        CureSheetMissing: it has no depth. CureSheetInconsistent: its two points can't both be true.
    """
    first, second = sheet.cured_depth, sheet.second_depth
    if first is None:
        raise CureSheetMissing(
            "The cure sheet does not say how deep it cures by moisture.",
            advice="Give 'cured_depth' as the data sheet prints it.",
            pointer="/cure/cured_depth",
        )
    vapour = pressure(first.temperature, first.humidity)
    if second is None:
        return MoistureLaw(first, vapour, ENERGIES)
    E = _energy(first, second)
    return MoistureLaw(first, vapour, (E, E))


def _energy(first: CuredDepth, second: CuredDepth) -> float:
    """E in J/mol by two points: the rate is d²/t, and goes with the vapour pressure."""
    if abs(first.temperature - second.temperature) < LEAST_APART_K:
        raise CureSheetInconsistent(
            "The two cured depths are nearly at one temperature: they don't show its effect.",
            advice="Leave 'second_depth' out, or give one at least 5 K warmer or colder.",
            pointer="/cure/second_depth",
        )
    faster = log(second.depth**2 / second.time / (first.depth**2 / first.time))
    wetter = log(
        pressure(second.temperature, second.humidity) / pressure(first.temperature, first.humidity)
    )
    E = -R * (faster - wetter) / (1 / second.temperature - 1 / first.temperature)
    if not 0 <= E <= GREATEST_E:
        raise CureSheetInconsistent(
            f"By the two cured depths E would be {E / 1000:.0f} kJ/mol: they can't both be true.",
            advice="Check both depths, times, temperatures and humidities against the sheet.",
            pointer="/cure/second_depth",
        )
    return E


@frozen
class Course:
    """What the air has given by each knot (epoch s), for each E: A, in s of the sheet's air."""

    law: MoistureLaw
    t: Floats
    given: tuple[Floats, Floats]

    def reaches(self, demand: float, p: float) -> float:
        """When so much was given with a chance p; epoch s, infinite if never."""
        chances = self._chances(demand)
        place = int(np.searchsorted(chances, p))
        if place == len(chances):
            return inf
        if place == 0:
            return float(self.t[0])
        low, high = float(self.t[place - 1]), float(self.t[place])
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            if self.chance(demand, middle) < p:
                low = middle
            else:
                high = middle
        return high

    def chance(self, demand: float, at: float) -> float:
        """The chance that so much was given by a moment, epoch s."""
        each = (float(np.interp(at, self.t, given)) for given in self.given)
        return sum(_chance(given, demand) for given in each) / len(self.given)

    def depth(self, at: float, p: float) -> float:
        """The depth in µm that is reached by a moment (epoch s) with a chance p, at least."""
        if min(float(np.interp(at, self.t, given)) for given in self.given) <= 0:
            return 0.0
        low, high = -30.0, 40.0
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            low, high = (middle, high) if self.chance(exp(middle), at) >= p else (low, middle)
        return self.law.depth(exp(low))

    def _chances(self, demand: float) -> Floats:
        """The chance at each knot; it never falls."""
        return np.asarray(sum(_each(given, demand) for given in self.given) / len(self.given))

    @cached_property
    def rate(self) -> float:
        """How fast it goes on over the last day of it, of the slower E; s for each s."""
        since = max(float(self.t[-1]) - 86_400.0, float(self.t[0]))
        length = float(self.t[-1]) - since
        gained = (float(g[-1]) - float(np.interp(since, self.t, g)) for g in self.given)
        return min(gained) / length if length else 0.0


def course(law: MoistureLaw, t: Floats, T: Floats, e: Floats) -> Course:
    """The course along knots: moments in epoch s, K, hPa; by trapezia between them."""
    given = [_summed(t, (rate[1:] + rate[:-1]) / 2) for rate in law.rates(T, e)]
    return Course(law, t, (given[0], given[1]))


def courses(law: MoistureLaw, air: Vapour, coldest: float | None) -> tuple[Course, Course]:
    """(the least, the most) that the air may have given.

    Where nobody read the humidity, the air gave nothing at least, and was saturated at most. Below
    the coldest at which it cures it gave nothing at least.

    Args:
        coldest: K, or None.
    """
    cold = np.zeros(len(air.unread), bool)
    if coldest is not None:
        cold = np.minimum(air.warm_begins, air.warm_ends) < coldest
    unknown = air.unread | (air.ahead if air.mean is None else np.zeros_like(air.unread))
    dry = np.where(unknown, 0.0, 1.0)
    least = _along(law, air, air.begins * dry, air.ends * dry, cold)
    wet_begins = np.where(unknown, saturated(air.warm_begins), air.begins)
    wet_ends = np.where(unknown, saturated(air.warm_ends), air.ends)
    return least, _along(law, air, wet_begins, wet_ends, np.zeros_like(cold))


def _along(law: MoistureLaw, air: Vapour, begins: Floats, ends: Floats, still: Flags) -> Course:
    first, then = law.rates(air.warm_begins, begins), law.rates(air.warm_ends, ends)
    given = [
        _summed(air.t, np.where(still, 0.0, (a + b) / 2)) for a, b in zip(first, then, strict=True)
    ]
    return Course(law, air.t, (given[0], given[1]))


def _summed(t: Floats, rates: Floats) -> Floats:
    return np.asarray(np.concatenate([[0.0], np.cumsum(rates * np.diff(t))]))


def _each(given: Floats, demand: float) -> Floats:
    """As `_chance`, for an array."""
    z = np.log(np.maximum(given, demand * 1e-12) / demand) / SPREAD
    return normal(z)


def _chance(given: float, demand: float) -> float:
    if given <= 0:
        return 0.0
    return erfc(-log(given / demand) / SPREAD * sqrt(0.5)) / 2
