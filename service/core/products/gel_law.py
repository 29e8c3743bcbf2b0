"""The gel law: how long a pot takes to gel, by temperature and catalyst.

    ln t(T, c) = ln t_a + (E/R) (1/T - 1/T_a) - n ln(c/c_a)

The anchor (T_a, c_a, t_a) is the centre of the data sheet's own gel points. Anchor, E and n come
from the points and from cup tests together (`evidence`); where these tell little, E and n are
assumed, and the law says so.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

from ..amounts.quantities import ZERO_C
from ..errors import CureSheetInconsistent
from ..frozen import frozen
from . import budget
from .budget import USUAL, Parts
from .cure_sheet import CureSheet, GelPoint
from .evidence import Belief, Cup, Film, R, System, solve
from .mixture import ENERGIES, SHIFTS, quantile

LARGEST_EXPONENT = 700.0
"""The largest exponent of e that a float can hold: a flat law may ask for an endless percent."""
TOLD = 0.5
"""E or n counts as fitted where the points take away this share of its variance."""
LEAST_SPAN_K = 10.0
"""Over less, points show more of the reading error than of E (no source)."""
USUAL_E = (30e3, 90e3)
USUAL_N = (0.3, 2.0)
REFUSED_E = 120e3
"""E (J/mol) or n outside its usual range is flagged; E over `REFUSED_E` is refused (no source)."""
EXTRAPOLATED_K = 5.0
EXTRAPOLATED_RATIO = 1.25
"""Farther than this from the gel points the law is extrapolated (no source)."""
COLD_K = ZERO_C + 15
"""A mix under 15 °C is 'cold': a cup is gelled first. Shops are kept over 15 °C (Iranian
Classification Society, Rules for the Classification of FRP Ships, 2014, approval of manufacturing
process, Sec 13 Table 2.13.1)."""
SURE = 0.95
"""The chance on the other side of each edge of a band."""


@frozen
class Span:
    """A time in s with its band."""

    time: float
    earliest: float
    latest: float


@frozen
class GelLaw:
    """A fitted law.

    Attributes:
        temperature, percent, time: the anchor, in K, percent (None where nothing is dosed) and s.
        E: J/mol. n: order in catalyst.
        fitted: those of 'E' and 'n' that the points tell. assumed: those that they don't.
        scatter: root mean square of the points' ln residuals, with the half-widths of ranges.
        flags: warnings of unusual values.
        temperatures, percents: of the points, (lowest, highest).
        points, cups, films: that it was fitted to. system: that it was solved by.
    """

    temperature: float
    percent: float | None
    time: float
    E: float
    n: float
    fitted: tuple[str, ...]
    assumed: tuple[str, ...]
    scatter: float
    flags: tuple[str, ...]
    temperatures: tuple[float, float]
    percents: tuple[float, float] | None
    points: tuple[GelPoint, ...]
    cups: tuple[Cup, ...]
    films: tuple[Film, ...]
    system: System

    def gel_time(self, T: float, c: float | None, factor: float = 1.0) -> float:
        """Gel time in s at T kelvin and c percent."""
        dosed = 1.0 if c is None else catalyst(c, self)
        return self.time * factor * dosed / rate(T, self.E, self.temperature)

    def percent_for(self, time: float, T: float, factor: float = 1.0) -> float:
        """Percent of catalyst that gels in `time` seconds at T kelvin: the law solved for c."""
        if self.percent is None:
            raise ValueError("nothing is dosed by this law")
        steps = math.log(self.gel_time(T, self.percent, factor) / time) / self.n
        return self.percent * math.exp(min(steps, LARGEST_EXPONENT))

    def temperature_for(self, time: float, c: float | None, factor: float = 1.0) -> float:
        """K at which c percent gels in `time` seconds: the law solved for T; infinite if never."""
        dosed = 1.0 if c is None else catalyst(c, self)
        inverse = 1 / self.temperature + R / self.E * math.log(time / (self.time * factor * dosed))
        return 1 / inverse if inverse > 0 else math.inf

    def belief(self, lot: int | None = None, *, filled: bool = False) -> Belief:
        """What is believed of the next pot from a lot; None for one that nobody tested."""
        found = self.system.belief(() if lot is None else (lot,))
        return found.wider(self.parts.filled) if filled else found

    def refitted(self, parts: Parts, also: tuple[Cup, ...] = ()) -> GelLaw:
        """The law by other parts of the budget, and with more cups."""
        law = fit(self.points, self.cups + also, parts, self.films)
        return replace(law, time=math.nan) if math.isnan(self.time) else law

    def expected_cup(self, lot: int) -> Cup:
        """A cup of a lot that gels as expected: it moves nothing, and makes the lot surer."""
        time = self.time * math.exp(self.belief(lot).mean)
        return Cup(lot, self.temperature, self.percent, time)

    @property
    def parts(self) -> Parts:
        """The parts of the budget that it was solved by."""
        return self.system.parts

    def extrapolated(self, T: float, c: float | None) -> bool:
        """Whether (T, c) lies beyond the points by more than 5 K or × 1.25."""
        low, high = self.temperatures
        if not low - EXTRAPOLATED_K <= T <= high + EXTRAPOLATED_K:
            return True
        if c is None or self.percents is None:
            return False
        return (
            not self.percents[0] / EXTRAPOLATED_RATIO
            <= c
            <= self.percents[1] * (EXTRAPOLATED_RATIO)
        )


def catalyst(c: float, law: GelLaw) -> float:
    """The gel time at c percent as a share of that at the law's anchor."""
    return 1.0 if law.percent is None else math.pow(c / law.percent, -law.n)


def rate(T: float, E: float, T_ref: float) -> float:
    """The rate of cure at T over that at T_ref: exp(-(E/R) (1/T - 1/T_ref)).

    The Arrhenius age factor of Freiesleben Hansen & Pedersen (1977), cited by Schindler, ACI Mater.
    J. 101-M09 (2004).
    """
    return math.exp(-E / R * (1 / T - 1 / T_ref))


@lru_cache(maxsize=1024)
def fit(
    points: tuple[GelPoint, ...],
    cups: tuple[Cup, ...] = (),
    parts: Parts = USUAL,
    films: tuple[Film, ...] = (),
) -> GelLaw:
    """The law of a data sheet's gel points, and of the cups and films that its resin gelled in.

    Raises:
        CureSheetInconsistent: gel times that rise with temperature or with catalyst, or fall
            with temperature faster than those of any such resin (E over 120 kJ/mol).
        ValueError: no points.
    """
    if not points:
        raise ValueError("a law needs a point")
    _refuse_backwards(points)
    _refuse_steep(points)
    system = solve(points, cups, parts, films)
    (E, E_u), (n, n_u) = system.energy, system.order
    T, c = [p.temperature for p in points], [p.percent for p in points if p.percent is not None]
    known = (("E", E_u / budget.E_U), ("n", n_u / budget.N_U))
    told = [name for name, left in known if left**2 < 1 - TOLD]
    values = {"E": E, "n": n}
    return GelLaw(
        temperature=system.temperature,
        percent=system.percent,
        time=math.exp(system.sheet),
        E=E,
        n=n,
        fitted=tuple(told),
        assumed=tuple(k for k in ("E", "n") if k not in told and (c or k == "E")),
        scatter=_scatter(points, system),
        flags=_flags(values, told),
        temperatures=(min(T), max(T)),
        percents=(min(c), max(c)) if c else None,
        points=points,
        cups=cups,
        films=films,
        system=system,
    )


@lru_cache(maxsize=1024)
def undosed(reference_temperature: float, parts: Parts = USUAL) -> GelLaw:
    """The law of a product without gel points: only an assumed dependence on temperature."""
    anchor = GelPoint(reference_temperature, None, 1.0, 1.0)
    return replace(fit((anchor,), parts=parts), time=math.nan)


def _scatter(points: tuple[GelPoint, ...], system: System) -> float:
    (E, _), (n, _) = system.energy, system.order
    squares = []
    for p in points:
        x = (1 / p.temperature - 1 / system.temperature) / R
        missed = math.log(p.shortest * p.longest) / 2 - system.sheet - E * x
        missed += n * dose(p.percent, system.percent)
        squares.append(missed**2 + (math.log(p.longest / p.shortest) / 2) ** 2)
    return math.sqrt(math.fsum(squares) / len(squares))


def _refuse_backwards(points: tuple[GelPoint, ...]) -> None:
    """Refuse points that gel later with more heat or catalyst, or no sooner in much more heat."""
    for a in points:
        for b in points:
            warmer = b.temperature - a.temperature
            level = b.shortest >= a.longest and warmer >= LEAST_SPAN_K - 1e-9
            if a.percent == b.percent and warmer > 0 and (level or b.shortest > a.longest):
                raise CureSheetInconsistent(
                    "The gel times rise with temperature.",
                    advice="Check which temperature each gel time belongs to.",
                    pointer="/cure/gel_times",
                )
            if (
                a.temperature == b.temperature
                and (b.percent or 0) > (a.percent or 0)
                and (b.shortest > a.longest)
            ):
                raise CureSheetInconsistent(
                    "The gel times rise with more catalyst.",
                    advice="Check which percent each gel time belongs to.",
                    pointer="/cure/gel_times",
                )


def _refuse_steep(points: tuple[GelPoint, ...]) -> None:
    """Refuse points of one percent whose ranges all rise too fast towards the cold."""
    for a in points:
        for b in points:
            warmer = (1 / a.temperature - 1 / b.temperature) / R
            if a.percent != b.percent or b.temperature - a.temperature < LEAST_SPAN_K - 1e-9:
                continue
            least = math.log(a.shortest / b.longest) / warmer
            if least > REFUSED_E:
                raise CureSheetInconsistent(
                    f"The gel times fall too fast with temperature: {least / 1e3:.0f} kJ/mol, "
                    f"where such resins have 40 to 60 and none over {REFUSED_E / 1e3:.0f}.",
                    advice="Check the coldest gel time; a cold, inhibited resin follows no simple "
                    "law.",
                    pointer="/cure/gel_times",
                )


def _flags(values: dict[str, float], fitted: list[str]) -> tuple[str, ...]:
    flags = []
    if "E" in fitted and not USUAL_E[0] <= values["E"] <= USUAL_E[1]:
        flags.append(f"activation energy {values['E'] / 1e3:.0f} kJ/mol is outside 30 to 90")
    if "n" in fitted and not USUAL_N[0] <= values["n"] <= USUAL_N[1]:
        flags.append(f"order in catalyst {values['n']:.2f} is outside 0.3 to 2")
    return tuple(flags)


def gel_span(
    law: GelLaw,
    belief: Belief,
    T: float,
    c: float | None,
    *,
    uncertainty: float = 0.0,
    coldest: float | None = None,
    sure: float = SURE,
) -> Span:
    """Gel time in s at T kelvin and c effective percent, with its band.

    Args:
        belief: of the pot. uncertainty: of T, K. coldest: as `clocks.Law.coldest`, K.
        sure: the chance on the other side of each edge of the band.
    """
    means, u = belief.dosed(dose(c, law.percent))
    mean = []
    for shift, energy in zip(SHIFTS, ENERGIES, strict=True):
        kelvin = T + shift * uncertainty
        slower = belief.E[energy] / R * (1 / kelvin - 1 / law.temperature)
        if coldest is not None:
            slower += energy * budget.COLDER_A_K * max(coldest - kelvin, 0.0)
        mean.append(math.log(law.time) + means[energy] + slower)
    sd = [u] * len(mean)
    earliest, time, latest = (math.exp(quantile(mean, sd, p)) for p in (1 - sure, 0.5, sure))
    return Span(time, earliest, latest)


def dose(c: float | None, reference: float | None) -> float:
    """The logarithm of a percent over a reference; 0 where nothing is dosed."""
    return 0.0 if c is None or reference is None else math.log(c / reference)


def coldest_told(sheet: CureSheet, law: GelLaw) -> float | None:
    """The least temperature (K) that a sheet speaks of, or None.

    It is the least for laying up, or that of the coldest of its gel times. One gel time at room
    temperature says nothing of the cold.
    """
    low, high = law.temperatures
    told = (sheet.apply_min, low if low < high else None)
    return min((T for T in told if T is not None), default=None)
