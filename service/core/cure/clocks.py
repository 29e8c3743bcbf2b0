"""Ten cure clocks along one temperature trace: what the clock shows by what is not known.

Each has one offset of the temperature and one activation energy (`products/mixture.py`). They run
on the means of cells of at most ten minutes, which errs by less than 2e-5 of a time; a stretch of
one temperature is one cell. `cure_clock` is the exact clock.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property
from math import inf
from typing import Any, cast

from .. import arrays as np
from ..arrays import Floats, NDArray, Places
from ..bays.temperature import Trace
from ..frozen import frozen
from ..products import budget
from ..products.evidence import R
from ..products.mixture import nodes

CELL_S = 600.0


@frozen
class Doubt:
    """How well a temperature is known, and how sure an answer must be.

    Attributes:
        measured, ahead: half-widths of its range, K: where it was measured, and where it was not.
        sure: the chance that each edge of a band leaves on its other side, 0.9 to 0.99.
    """

    measured: float
    ahead: float
    sure: float = 0.95

    def of_bonds(self, count: int) -> Doubt:
        """The doubt by which each of some bonds is planned, so that all hold as surely as one."""
        return replace(self, sure=1 - (1 - self.sure) / count)

    @classmethod
    def steady(cls, kelvins: float) -> Doubt:
        """The same range throughout."""
        return cls(kelvins, kelvins)


@frozen
class Law:
    """How the clocks run: two activation energies, J/mol; the temperature they count at, K.

    Attributes:
        floor: the least curing temperature, K; None for clocks that never pause.
        coldest: under it (K) the slow clocks run slower still; None where nobody knows.
    """

    E: tuple[float, float]
    T_ref: float
    floor: float | None
    coldest: float | None


@frozen
class Clocks:
    """What ten clocks show at the edges of the cells: t in epoch s, ages (10, edges) in s."""

    t: Floats
    ages: Floats

    def at(self, moments: Floats) -> Floats:
        """What they show at some moments: (10, *shape of the moments)."""
        place = np.clip(np.searchsorted(self.t, moments, side="right"), 1, len(self.t) - 1)
        start = self.t[place - 1]
        share = np.clip((moments - start) / (self.t[place] - start), 0.0, 1.0)
        before = self.ages[:, place - 1]
        return np.asarray(before + share * (self.ages[:, place] - before))

    def reach(self, clock: int, ages: Floats) -> Floats:
        """When one of the clocks shows some ages; infinite where it never does."""
        shown = self.ages[clock]
        return np.where(ages > shown[-1], inf, np.interp(ages, shown, self.t))


@frozen
class _Cells:
    """The trace in cells: their edges (epoch s), mean temperatures and half-widths of range, K."""

    t: Floats
    T: Floats
    half: Floats


class Running:
    """The clocks of one law along one trace: those that pause in the cold, and those that don't."""

    def __init__(self, trace: Trace, doubt: Doubt, law: Law) -> None:
        """Set them up; each is run when it is asked for."""
        self._cells, self._law = _cells(trace, doubt), law

    @cached_property
    def pausing(self) -> Clocks:
        """Clocks that stand still while it is colder than the floor."""
        if self._law.floor is None:
            return self.steady
        counts = self._heat >= self._law.floor
        return self.steady if counts.all() else self._summed(np.where(counts, self._rates, 0.0))

    @cached_property
    def steady(self) -> Clocks:
        """Clocks that never stand still."""
        return self._summed(self._rates)

    @cached_property
    def _heat(self) -> Floats:
        return np.asarray(self._cells.T + nodes().shift[:, None] * self._cells.half)

    @cached_property
    def _rates(self) -> Floats:
        law, T = self._law, self._heat
        energies = np.array(law.E)[nodes().energy][:, None]
        exponent = -energies / R * (1 / T - 1 / law.T_ref)
        if law.coldest is not None and law.coldest > T.min():
            slower = budget.COLDER_A_K * np.maximum(law.coldest - T, 0.0)
            exponent = exponent - slower * nodes().energy[:, None]
        return np.asarray(np.exp(exponent))

    def _summed(self, rates: Floats) -> Clocks:
        grown = np.cumsum(rates * np.diff(self._cells.t), axis=1)
        return Clocks(self._cells.t, np.hstack([np.zeros((len(rates), 1)), grown]))


def running(trace: Trace, doubt: Doubt, law: Law) -> Running:
    """The clocks along a trace, worked out once for each doubt and law."""
    key = (doubt.measured, doubt.ahead, law)
    if key not in trace.kept:
        trace.kept[key] = Running(trace, doubt, law)
    return cast(Running, trace.kept[key])


def _cells(trace: Trace, doubt: Doubt) -> _Cells:
    key = ("cells", doubt.measured, doubt.ahead)
    if key not in trace.kept:
        trace.kept[key] = _cut(trace, doubt)
    return cast(_Cells, trace.kept[key])


def _cut(trace: Trace, doubt: Doubt) -> _Cells:
    """The cells of a trace: their edges lie on whole ten minutes, wherever the trace begins."""
    kept = _thinned(trace)
    t = trace.t[kept]
    lengths, rise, place = np.diff(t), np.diff(trace.T[kept]), np.floor(t / CELL_S)
    long = (lengths > CELL_S) & (rise != 0)
    pieces = np.where(long, np.ceil(t[1:] / CELL_S) - place[:-1], 1).astype(int)
    pieces[lengths <= 0] = 0
    owner = np.repeat(np.arange(len(pieces)), pieces)
    step = np.arange(len(owner)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    start = np.where(step == 0, t[:-1][owner], (place[:-1][owner] + step) * CELL_S)
    edges = np.append(start, t[-1])
    middle = (edges[:-1] + edges[1:]) / 2
    share = np.divide(middle - t[:-1][owner], lengths[owner]) - 0.5
    means = _means((trace.T[:-1] + trace.T[1:]) / 2, trace.t, kept)
    half = np.full(len(means), doubt.measured)
    if not trace.measured.all():
        half = np.where(_means(trace.measured, trace.t, kept) > 0.5, half, doubt.ahead)
    if trace.halves is not None:
        half = _means(trace.halves, trace.t, kept)
    return _Cells(edges, means[owner] + share * rise[owner], half[owner])


def _thinned(trace: Trace) -> Places:
    """The knots that bound the cells: at most one in ten minutes of a dense log."""
    place = np.floor(trace.t / CELL_S)
    first = np.concatenate([[True], np.diff(place) > 0])
    lengths = np.diff(trace.t)
    alone = ~trace.measured | (lengths >= CELL_S) | (lengths == 0)
    beside = np.concatenate([[True], alone]) | np.concatenate([alone, [True]])
    return np.flatnonzero(first | beside)


def _means(values: NDArray[Any], t: Floats, kept: Places) -> Floats:
    """The means over time, between the kept knots, of what holds between all knots."""
    lengths = np.diff(t[kept])
    summed = np.add.reduceat(values * np.diff(t), kept[:-1])
    return np.divide(summed, lengths, out=np.zeros_like(lengths), where=lengths > 0)
