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
from math import exp, log, sqrt
from statistics import fmean
from typing import NamedTuple

from .. import arrays as np
from ..arrays import Floats
from ..frozen import frozen
from . import budget
from .budget import USUAL, Parts
from .cure_sheet import GelPoint

R = 8.314462618
"""Molar gas constant, J/(mol K) (CODATA 2018, exact)."""

_A, _E, _N, _PAIR, _THERMOMETER, _LOTS = range(6)
_CLOSE = 1e-10
_MOST_ROUNDS = 1000


@frozen
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


@frozen
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


@frozen
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
    mean: Sequence[float]
    cov: Sequence[Sequence[float]]
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
        return self.mean[place], sqrt(self.cov[place][place])

    def belief(self, lots: Sequence[int] = ()) -> Belief:
        """What is believed of the next pot.

        Args:
            lots: of its resin; one that nobody tested adds its share of the budget.
        """
        h = {_A: 1.0, _PAIR: 1.0}
        tested = [self.lots.index(lot) for lot in lots if lot in self.lots]
        h |= {_LOTS + place: 1 / len(lots) for place in tested}
        untested = (len(lots) - len(tested)) / len(lots) if lots else 1.0
        added = self.parts.pot**2 + (untested * self.parts.lot) ** 2
        with_S = [sum(share * row[place] for place, share in h.items()) for row in self.cov]
        m = sum(share * self.mean[place] for place, share in h.items()) - self.sheet
        var = sum(share * with_S[place] for place, share in h.items())
        if self.unsettled.intersection(lots):
            added = max(added, budget.UNTESTED**2 - var)
        with_E, with_n = with_S[_E], with_S[_N]
        (E, sd), (n, _) = self.energy, self.order
        n_E = self.cov[_E][_N]
        return Belief(
            E=(E - sd, E + sd),
            m=(m - with_E / sd, m + with_E / sd),
            n=(n - n_E / sd, n + n_E / sd),
            var_m=var - (with_E / sd) ** 2 + added,
            cov=with_n - with_E * n_E / sd**2,
            var_n=self.cov[_N][_N] - (n_E / sd) ** 2,
        )


def solve(
    points: Sequence[GelPoint],
    cups: Sequence[Cup] = (),
    parts: Parts = USUAL,
    films: Sequence[Film] = (),
) -> System:
    """Solve the system of some gel points, at least one, cups and films, by parts of a budget."""
    inverse = fmean(1 / p.temperature for p in points)
    dosed = [log(p.percent) for p in points if p.percent is not None]
    centre = fmean(dosed) if dosed else None
    facts = [
        _Fact(
            _row(p.temperature, p.percent, inverse, centre),
            log(p.shortest * p.longest) / 2,
            _of_point(p, parts),
        )
        for p in points
    ]
    mean, cov = by_sheet = _of_sheet(facts, parts)
    seen: list[Cup | Film] = [*cups, *films]
    lots = tuple(sorted({each.lot for each in seen}))
    if seen:
        timed = [_of_cup(cup, lots, inverse, centre, parts) for cup in cups]
        timed += [_of_film(film, lots, by_sheet[0][_A], parts) for film in films]
        mean, cov = _robust(_Before.of(parts, len(lots)), facts, timed)
    return System(
        1 / inverse,
        None if centre is None else exp(centre),
        mean,
        cov,
        lots,
        _unsettled(cups),
        by_sheet[0][_A],
        parts,
    )


class _Fact(NamedTuple):
    """One equation: its factors of the unknowns from the first on, its ln t, and its variance."""

    row: list[float]
    y: float
    variance: float


def _row(T: float, percent: float | None, inverse: float, centre: float | None) -> list[float]:
    z = 0.0 if percent is None or centre is None else log(percent) - centre
    return [1.0, (1 / T - inverse) / R, -z]


def _of_point(point: GelPoint, parts: Parts) -> float:
    """The variance of a gel point: its range, or what is usual for a single time."""
    half = log(point.longest / point.shortest) / 2
    return (half / sqrt(3)) ** 2 if half else parts.sheet**2


def _of_cup(
    cup: Cup, lots: Sequence[int], inverse: float, centre: float | None, parts: Parts
) -> _Fact:
    thermometer = -budget.E / (R * cup.temperature**2)
    of_lot = [float(lot == cup.lot) for lot in lots]
    row = [*_row(cup.temperature, cup.percent, inverse, centre), 1.0, thermometer, *of_lot]
    return _Fact(row, log(cup.time), parts.pot**2 + _of_age(cup.age))


def _of_film(film: Film, lots: Sequence[int], anchor: float, parts: Parts) -> _Fact:
    """`anchor`: a by the gel points alone."""
    of_lot = [float(lot == film.lot) for lot in lots]
    row = [1.0, film.x, -film.z, 1.0, 0.0, *of_lot]
    y = log(film.time / film.sheet_time) + anchor
    return _Fact(row, y, parts.pot**2 + _of_age(film.age) + film.noise)


def _of_age(age: float) -> float:
    """The variance that an age in s adds."""
    return (budget.AGE_A_MONTH * age / budget.MONTH_S) ** 2


def _of_sheet(
    facts: Sequence[_Fact], parts: Parts
) -> tuple[Sequence[float], Sequence[Sequence[float]]]:
    """Mean and covariance by the gel points alone, which tell of a, E and n.

    By the adjugate of three rows, in plain numbers: for the pair that nobody has tested, which
    most are, it would take longer to import NumPy than to work all the rest of a dose out.
    """
    precision = (0.0, parts.energy**-2.0, parts.order**-2.0)
    prior = (0.0, budget.E, budget.N)
    N = [
        [
            sum(f.row[i] * f.row[j] / f.variance for f in facts) + (precision[i] if i == j else 0.0)
            for j in range(3)
        ]
        for i in range(3)
    ]
    y = [
        sum(f.row[i] * f.y / f.variance for f in facts) + precision[i] * prior[i] for i in range(3)
    ]
    minors = [[_minor(N, i, j) for j in range(3)] for i in range(3)]
    size = sum(N[0][j] * minors[0][j] for j in range(3))
    cov = [[minors[j][i] / size for j in range(3)] + [0.0, 0.0] for i in range(3)]
    mean = [sum(cov[i][j] * y[j] for j in range(3)) for i in range(3)]
    untold = [[0.0, 0.0, 0.0, parts.pair**2, 0.0], [0.0] * 4 + [budget.THERMOMETER_U**2]]
    return [*mean, 0.0, 0.0], cov + untold


def _minor(N: Sequence[Sequence[float]], i: int, j: int) -> float:
    """The signed minor of a matrix of three rows, without row `i` and column `j`."""
    (r, s), (c, d) = ((i + 1) % 3, (i + 2) % 3), ((j + 1) % 3, (j + 2) % 3)
    return N[r][c] * N[s][d] - N[r][d] * N[s][c]


@frozen
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


def _robust(
    before: _Before, points: Sequence[_Fact], seen: Sequence[_Fact]
) -> tuple[list[float], list[list[float]]]:
    """Solve with each cup's and film's variance raised until it is within two sigma of the rest."""
    width, count = len(before.mean), len(points)
    rows = np.array([fact.row + [0.0] * (width - len(fact.row)) for fact in (*points, *seen)])
    y = np.array([fact.y for fact in (*points, *seen)])
    noise = np.array([fact.variance for fact in (*points, *seen)])
    least = noise[count:]
    timed = rows[count:]
    for _ in range(_MOST_ROUNDS):
        mean, cov = before.solved(rows, y, noise)
        v = noise[count:]
        known = np.einsum("ij,jk,ik->i", timed, cov, timed)
        left = 1 - known / v
        r, var = (y[count:] - timed @ mean) / left, known / left
        wanted = np.sqrt(v * np.maximum(least, (r / 2) ** 2 - var))
        if np.allclose(wanted, v, rtol=_CLOSE, atol=0):
            break
        noise = np.concatenate([noise[:count], wanted])
    return mean.tolist(), cov.tolist()


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
