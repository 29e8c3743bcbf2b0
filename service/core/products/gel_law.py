"""The gel law: how long a pot takes to gel, by temperature and catalyst.

    ln t(T, c) = ln t_a + (E/R) (1/T - 1/T_a) - n ln(c/c_a)

The anchor (T_a, c_a, t_a) is the centre of the data sheet's own gel points, so that an assumed E or
n turns the law about the measured centre and never moves it. E and n are fitted by least squares
where the points are spread enough, and assumed where they are not; the law says which.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from ..amounts.quantities import ZERO_C
from ..errors import CureSheetInconsistent
from .cure_sheet import GelPoint

R = 8.314462618
"""Molar gas constant, J/(mol K) (CODATA 2018, exact)."""


def doubling_energy(warm_from: float, warm_to: float) -> float:
    """Activation energy in J/mol of a rate that doubles between two temperatures in K.

    E = R ln 2 / (1/T1 - 1/T2).
    """
    return R * math.log(2) / (1 / warm_from - 1 / warm_to)


ASSUMED_E = doubling_energy(ZERO_C + 25, ZERO_C + 35)
"""'Twice as fast for each 10 °C' at 25 °C: 52.949 kJ/mol (common practice, no source)."""
ASSUMED_E_RANGE = (40e3, 60e3)
"""Redox initiation of unsaturated polyester, J/mol (J. Appl. Polym. Sci. 102:1870-1876, 2006)."""
ASSUMED_N = 1.0
"""Gel time inverse to catalyst (common practice, no source)."""

LARGEST_EXPONENT = 700.0
"""The largest exponent of e that a float can hold: a flat law may ask for an endless percent."""
LEAST_SPAN_K = 10.0
LEAST_RATIO = 1.5
"""E is fitted only to gel points over at least 10 K, n only to percents in a ratio of 1.5 or more:
points closer together show more of the reading error than of the law (no source)."""
USUAL_E = (30e3, 90e3)
USUAL_N = (0.3, 2.0)
REFUSED_E = 120e3
"""E (J/mol) or n outside its usual range is flagged; E over `REFUSED_E` is refused (no source)."""
EXTRAPOLATED_K = 5.0
EXTRAPOLATED_RATIO = 1.25
"""Farther than this from the gel points the law is extrapolated (no source)."""
LEAST_GEL_BAND = 0.25
LEAST_STAGE_BAND = 0.35
"""The narrowest half-widths of a band, as shares of the time (no source)."""
COLD_K = ZERO_C + 15
"""A mix under 15 °C is 'cold': its band is wider, and a cup is gelled first. Shops are kept over
15 °C (Iranian Classification Society, Rules for the Classification of FRP Ships, 2014, approval of
manufacturing process, Sec 13 Table 2.13.1)."""


@dataclass(frozen=True)
class Span:
    """A time in s with its band."""

    time: float
    earliest: float
    latest: float


@dataclass(frozen=True)
class GelLaw:
    """A fitted law.

    Attributes:
        temperature, percent, time: the anchor, in K, percent (None where nothing is dosed) and s.
        E: J/mol. n: order in catalyst.
        fitted: those of 'E' and 'n' that came from the points. assumed: those that did not.
        scatter: root mean square of the points' ln residuals, with the half-widths of ranges.
        flags: warnings of unusual values.
        temperatures, percents: of the points, (lowest, highest).
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

    def gel_time(self, T: float, c: float | None, factor: float = 1.0, E: float = 0.0) -> float:
        """Gel time in s at T kelvin and c percent; `E` overrides the law's own, J/mol."""
        dosed = 1.0 if c is None else catalyst(c, self)
        return self.time * factor * dosed / rate(T, E or self.E, self.temperature)

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

    @property
    def energies(self) -> tuple[float, ...]:
        """The activation energies to try for a band: the fitted one, or the ends of the range."""
        return (self.E,) if "E" in self.fitted else ASSUMED_E_RANGE

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

    def band(self, T: float, c: float | None, *, least: float, unsure: bool = False) -> float:
        """Half-width of the band as a share of the time.

        At least `least`, or twice the scatter; doubled beyond the points; a quarter more
        for a filled or cold mix (`unsure`).
        """
        width = max(least, 2 * self.scatter)
        if self.extrapolated(T, c):
            width *= 2
        return width + (0.25 if unsure else 0.0)


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
def fit(points: tuple[GelPoint, ...]) -> GelLaw:
    """Fit the law to a data sheet's gel points by least squares in ln t.

    Raises:
        CureSheetInconsistent: gel times that rise with temperature or with catalyst, or fall
            with temperature faster than those of any such resin (E over 120 kJ/mol).
        ValueError: no points.
    """
    import numpy as np  # imported late: the command line loads this module for every command

    if not points:
        raise ValueError("a law needs a point")
    _refuse_backwards(points)
    T = np.array([p.temperature for p in points])
    dosed = points[0].percent is not None
    c = np.array([p.percent if p.percent is not None else 1.0 for p in points])
    y = np.array([math.log(p.shortest * p.longest) / 2 for p in points])
    half = np.array([math.log(p.longest / p.shortest) / 2 for p in points])
    x_T, x_c = (1 / T - np.mean(1 / T)) / R, -(np.log(c) - np.mean(np.log(c)))

    columns, names = [np.ones_like(y)], []
    for name, column, tells in (
        ("E", x_T, np.ptp(T) >= LEAST_SPAN_K - 1e-9),
        ("n", x_c, dosed and c.max() / c.min() >= LEAST_RATIO - 1e-9),
    ):
        spread = float(np.abs(column).max()) or 1.0
        if tells and np.linalg.matrix_rank(np.column_stack([*columns, column / spread])) > len(
            columns
        ):
            columns.append(column)
            names.append(name)
    known = {"E": ASSUMED_E, "n": ASSUMED_N}
    rest = y - sum(known[k] * x for k, x in (("E", x_T), ("n", x_c)) if k not in names)
    solved = np.linalg.lstsq(np.column_stack(columns), rest, rcond=None)[0]
    values = {**known, **dict(zip(names, map(float, solved[1:]), strict=True))}
    residuals = rest - np.column_stack(columns) @ solved
    _refuse_nonsense(values, names)
    return GelLaw(
        temperature=float(1 / np.mean(1 / T)),
        percent=float(np.exp(np.mean(np.log(c)))) if dosed else None,
        time=math.exp(float(solved[0])),
        E=values["E"],
        n=values["n"],
        fitted=tuple(names),
        assumed=tuple(k for k in ("E", "n") if k not in names and (dosed or k == "E")),
        scatter=float(np.sqrt(np.mean(residuals**2 + half**2))),
        flags=_flags(values, names),
        temperatures=(float(T.min()), float(T.max())),
        percents=(float(c.min()), float(c.max())) if dosed else None,
    )


def undosed(reference_temperature: float) -> GelLaw:
    """The law of a product without gel points: only an assumed dependence on temperature."""
    return GelLaw(
        temperature=reference_temperature,
        percent=None,
        time=math.nan,
        E=ASSUMED_E,
        n=ASSUMED_N,
        fitted=(),
        assumed=("E",),
        scatter=0.0,
        flags=(),
        temperatures=(reference_temperature, reference_temperature),
        percents=None,
    )


def _refuse_backwards(points: tuple[GelPoint, ...]) -> None:
    """Refuse two points where the hotter one, or the one with more catalyst, surely gels later."""
    for a in points:
        for b in points:
            if a.percent == b.percent and b.temperature > a.temperature and b.shortest > a.longest:
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


def _refuse_nonsense(values: dict[str, float], fitted: list[str]) -> None:
    if "E" in fitted and values["E"] <= 0:
        raise CureSheetInconsistent(
            "The gel times rise with temperature.",
            advice="Check which temperature each gel time belongs to.",
            pointer="/cure/gel_times",
        )
    if "E" in fitted and values["E"] > REFUSED_E:
        raise CureSheetInconsistent(
            f"The gel times fall too fast with temperature: {values['E'] / 1e3:.0f} kJ/mol, "
            f"where such resins have 40 to 60 and none over {REFUSED_E / 1e3:.0f}.",
            advice="Check the coldest gel time; a cold, inhibited resin follows no simple law.",
            pointer="/cure/gel_times",
        )
    if "n" in fitted and values["n"] <= 0:
        raise CureSheetInconsistent(
            "The gel times do not fall with more catalyst.",
            advice="Check which percent each gel time belongs to.",
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
    T: float,
    c: float | None,
    *,
    factor: float = 1.0,
    uncertainty: float = 0.0,
    filled: bool = False,
) -> Span:
    """Gel time in s at T kelvin and c effective percent, with its band.

    Args:
        factor: of the lot. uncertainty: of T, K. filled: whether it has fillers.
    """
    band = law.band(T, c, least=LEAST_GEL_BAND, unsure=filled or T < COLD_K)
    earliest = min(law.gel_time(T + uncertainty, c, factor, E) for E in law.energies)
    latest = max(law.gel_time(T - uncertainty, c, factor, E) for E in law.energies)
    time = law.gel_time(T, c, factor)
    return Span(time, earliest * max(1 - band, 0.1), latest * (1 + band))
