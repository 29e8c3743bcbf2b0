"""Evidence: what gel points, cup tests and films say together of a pair of resin and catalyst.

One linear system in ln t, of the unknowns: a (ln gel time at the anchor), E, n, the pair against
its sheet, the thermometer of the cups, and each tested lot against its pair:

    a gel point of the sheet  ln t = a + E x - n z
    a cup                     ln t = a + E x - n z + pair + lot - (50 kJ/mol / R T²) thermometer
    a film                    ln t/t_f = a - ln t_a + E x_f - n z_f + pair + lot

with x = (1/T - 1/T_a) / R and z = ln(c/c_a). A film goes by the sheet's own time for one, t_f: x_f
and z_f count from the temperature and the percent of that, and t_a is a by the gel points alone.
Unknowns add in quadrature (JCGM 100:2008, 5.1.2); a range of half-width h counts h/√3 (4.3.7). A
cup or film that contradicts all the others is believed less, so that one blunder moves little, in
whatever order they come.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import log, sqrt

import numpy as np
from numpy.typing import NDArray

from . import budget
from .budget import USUAL, Parts
from .cure_sheet import GelPoint

R = 8.314462618
"""Molar gas constant, J/(mol K) (CODATA 2018, exact)."""

Floats = NDArray[np.float64]
_A, _E, _N, _PAIR, _THERMOMETER, _LOTS = range(6)
_CLOSE = 1e-10
_MOST_ROUNDS = 1000


@dataclass(frozen=True)
class Cup:
    """A gel time that somebody timed in a cup.

    Attributes:
        lot: any key of its resin's lot. temperature: K. percent: as `GelPoint.percent`.
        time: s. age: s from the test to the moment that it is judged for.
    """

    lot: int
    temperature: float
    percent: float | None
    time: float
    age: float = 0.0


@dataclass(frozen=True)
class Film:
    """A gel on a part, between a look that found it wet and one that found it gelled.

    Attributes:
        lot: any key of its resin's lot. age: as `Cup.age`.
        temperature: K, at which it would have aged as it did. kelvins: half-width of its range.
        time: s to the gel at that temperature, the geometric middle of the looks. width: their ln.
        sheet_time, sheet_temperature, sheet_percent: of the sheet's film.
    """

    lot: int
    temperature: float
    kelvins: float
    time: float
    width: float
    sheet_time: float
    sheet_temperature: float
    percent: float | None = None
    sheet_percent: float | None = None
    age: float = 0.0

    @property
    def x(self) -> float:
        """Its inverse temperature less that of the sheet's film, over R."""
        return (1 / self.temperature - 1 / self.sheet_temperature) / R

    @property
    def z(self) -> float:
        """The logarithm of its percent over that of the sheet's film; 0 where nothing is dosed."""
        if self.percent is None or self.sheet_percent is None:
            return 0.0
        return log(self.percent / self.sheet_percent)

    @property
    def noise(self) -> float:
        """The variance of its own looks and temperature, in ln."""
        off = budget.E / (R * self.temperature**2) * self.kelvins
        return self.width**2 / 12 + off**2 / 3


@dataclass(frozen=True)
class Belief:
    """What is believed of S = ln(true gel time / sheet's), given each of two activation energies.

    Attributes:
        E: mean minus and plus one standard uncertainty, J/mol. m, n: mean of S and order in
            catalyst given each E. var_m, cov, var_n: of S and n given E, either one.
    """

    E: tuple[float, float]
    m: tuple[float, float]
    n: tuple[float, float]
    var_m: float
    cov: float
    var_n: float

    def dosed(self, z: float) -> tuple[tuple[float, float], float]:
        """(means of S, standard uncertainty) with a dose z = ln(c / reference c)."""
        low, high = (m - n * z for m, n in zip(self.m, self.n, strict=True))
        return (low, high), sqrt(self.var_m - 2 * z * self.cov + z * z * self.var_n)

    @property
    def mean(self) -> float:
        """The mean of S."""
        return sum(self.m) / 2

    @property
    def spread(self) -> float:
        """The standard uncertainty of S."""
        return sqrt(self.var_m + ((self.m[1] - self.m[0]) / 2) ** 2)

    def wider(self, u: float) -> Belief:
        """The same with one more part, of standard uncertainty `u`."""
        return Belief(self.E, self.m, self.n, self.var_m + u * u, self.cov, self.var_n)


@dataclass(frozen=True, eq=False)
class System:
    """The solved system.

    Attributes:
        temperature, percent: of the anchor, K and percent (None where nothing is dosed).
        mean, cov: of the unknowns, in the order of the module's words; then one for each lot.
        lots: the keys of the lots of cups and films. unsettled: those whose two cups disagree.
        sheet: a by the gel points alone. parts: of the budget.
    """

    temperature: float
    percent: float | None
    mean: Floats
    cov: Floats
    lots: tuple[int, ...]
    unsettled: frozenset[int]
    sheet: float
    parts: Parts

    @property
    def energy(self) -> tuple[float, float]:
        """Activation energy and its standard uncertainty, J/mol."""
        return self._of(_E)

    @property
    def order(self) -> tuple[float, float]:
        """Order in catalyst and its standard uncertainty."""
        return self._of(_N)

    def _of(self, place: int) -> tuple[float, float]:
        return float(self.mean[place]), sqrt(self.cov[place, place])

    def belief(self, lots: Sequence[int] = ()) -> Belief:
        """What is believed of the next pot.

        Args:
            lots: of its resin; one that nobody tested adds its share of the budget.
        """
        h = np.zeros(len(self.mean))
        h[[_A, _PAIR]] = 1.0
        tested = [self.lots.index(lot) for lot in lots if lot in self.lots]
        for place in tested:
            h[_LOTS + place] = 1 / len(lots)
        untested = (len(lots) - len(tested)) / len(lots) if lots else 1.0
        added = self.parts.pot**2 + (untested * self.parts.lot) ** 2
        m, var = float(h @ self.mean) - self.sheet, float(h @ self.cov @ h)
        if self.unsettled.intersection(lots):
            added = max(added, budget.UNTESTED**2 - var)
        with_E, with_n = h @ self.cov[_E], h @ self.cov[_N]
        (E, sd), (n, _) = self.energy, self.order
        n_E = self.cov[_E, _N]
        return Belief(
            E=(E - sd, E + sd),
            m=(float(m - with_E / sd), float(m + with_E / sd)),
            n=(float(n - n_E / sd), float(n + n_E / sd)),
            var_m=float(var - (with_E / sd) ** 2 + added),
            cov=float(with_n - with_E * n_E / sd**2),
            var_n=float(self.cov[_N, _N] - (n_E / sd) ** 2),
        )


def solve(
    points: Sequence[GelPoint],
    cups: Sequence[Cup] = (),
    parts: Parts = USUAL,
    films: Sequence[Film] = (),
) -> System:
    """Solve the system of some gel points, at least one, cups and films, by parts of a budget."""
    inverse = float(np.mean([1 / p.temperature for p in points]))
    dosed = [log(p.percent) for p in points if p.percent is not None]
    centre = float(np.mean(dosed)) if dosed else None
    seen: list[Cup | Film] = [*cups, *films]
    lots = tuple(sorted({each.lot for each in seen}))
    rows = [_row(p.temperature, p.percent, inverse, centre, len(lots)) for p in points]
    y = [log(p.shortest * p.longest) / 2 for p in points]
    noise = [_of_point(p, parts) for p in points]
    before = _Before.of(parts, len(lots))
    by_sheet, _ = before.solved(np.array(rows), np.array(y), np.array(noise))
    for cup in cups:
        row = _row(cup.temperature, cup.percent, inverse, centre, len(lots))
        row[_PAIR] = row[_LOTS + lots.index(cup.lot)] = 1.0
        row[_THERMOMETER] = -budget.E / (R * cup.temperature**2)
        rows.append(row)
        y.append(log(cup.time))
    for film in films:
        row = np.zeros(_LOTS + len(lots))
        row[[_A, _PAIR, _LOTS + lots.index(film.lot)]] = 1.0
        row[_E], row[_N] = film.x, -film.z
        rows.append(row)
        y.append(log(film.time / film.sheet_time) + float(by_sheet[_A]))
    least = [parts.pot**2 + _of_age(each.age) for each in seen]
    least[len(cups) :] = [v + film.noise for v, film in zip(least[len(cups) :], films, strict=True)]
    mean, cov = _robust(before, np.array(rows), np.array(y), np.array(noise), np.array(least))
    return System(
        1 / inverse,
        None if centre is None else float(np.exp(centre)),
        mean,
        cov,
        lots,
        _unsettled(cups),
        float(by_sheet[_A]),
        parts,
    )


@dataclass(frozen=True)
class _Before:
    """What is known before any point or cup: the mean and the precision of each unknown."""

    mean: Floats
    precision: Floats

    @classmethod
    def of(cls, parts: Parts, lots: int) -> _Before:
        mean = np.zeros(_LOTS + lots)
        mean[_E], mean[_N] = budget.E, budget.N
        sigma = [np.inf, parts.energy, parts.order, parts.pair, budget.THERMOMETER_U]
        return cls(mean, np.array([*sigma, *[parts.lot] * lots]) ** -2.0)

    def solved(self, rows: Floats, y: Floats, noise: Floats) -> tuple[Floats, Floats]:
        """Mean and covariance of the unknowns by weighted least squares."""
        weighted = rows / noise[:, None]
        cov = np.asarray(np.linalg.inv(np.diag(self.precision) + rows.T @ weighted), np.float64)
        return np.asarray(cov @ (self.precision * self.mean + weighted.T @ y)), cov


def _row(
    T: float, percent: float | None, inverse: float, centre: float | None, lots: int
) -> Floats:
    row = np.zeros(_LOTS + lots)
    row[_A], row[_E] = 1.0, (1 / T - inverse) / R
    row[_N] = 0.0 if percent is None or centre is None else -(log(percent) - centre)
    return row


def _of_point(point: GelPoint, parts: Parts) -> float:
    """The variance of a gel point: its range, or what is usual for a single time."""
    half = log(point.longest / point.shortest) / 2
    return (half / sqrt(3)) ** 2 if half else parts.sheet**2


def _of_age(age: float) -> float:
    """The variance that an age in s adds."""
    return (budget.AGE_A_MONTH * age / budget.MONTH_S) ** 2


def _robust(
    before: _Before, rows: Floats, y: Floats, of_points: Floats, least: Floats
) -> tuple[Floats, Floats]:
    """Solve with each cup's and film's variance raised until it is within two sigma of the rest."""
    noise = np.concatenate([of_points, least])
    count = len(of_points)
    for _ in range(_MOST_ROUNDS):
        mean, cov = before.solved(rows, y, noise)
        cups, v = rows[count:], noise[count:]
        known = np.einsum("ij,jk,ik->i", cups, cov, cups)
        left = 1 - known / v
        r, var = (y[count:] - cups @ mean) / left, known / left
        wanted = np.sqrt(v * np.maximum(least, (r / 2) ** 2 - var))
        if np.allclose(wanted, v, rtol=_CLOSE, atol=0):
            break
        noise = np.concatenate([of_points, wanted])
    return mean, cov


def _unsettled(cups: Sequence[Cup]) -> frozenset[int]:
    """The lots that have two cups, and the two disagree; a third settles it."""
    by_lot: dict[int, list[Cup]] = {}
    for cup in cups:
        by_lot.setdefault(cup.lot, []).append(cup)
    pairs = {lot: tested for lot, tested in by_lot.items() if len(tested) == 2}
    return frozenset(lot for lot, (one, other) in pairs.items() if _disagree(one, other))


def _disagree(one: Cup, other: Cup) -> bool:
    """Whether two cups of one lot differ by more than 15 %, at one temperature and percent."""
    x = (1 / one.temperature - 1 / other.temperature) / R
    z = log((one.percent or 1) / (other.percent or 1))
    apart = log(one.time / other.time) - budget.E * x + budget.N * z
    return abs(apart) > log(1 + budget.CUPS_APART)
