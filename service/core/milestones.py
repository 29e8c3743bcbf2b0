"""When a layup gels, can be recoated, sanded, and is cured: each with its band and basis.

Gel starts with the first pot; the recoat window shuts by the first pot too, and everything
else runs from the end of application. Opening, sanding and cure stall under the floor;
closing never does. The edges are the bay's temperature uncertainty, the law's scatter and,
where E was assumed, the range that such resins have.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from math import inf, isnan

from . import cure_clock, preparation
from .cure_clock import Clock
from .cure_sheet import (
    ASSUMED_CLOSES_AFTER_S,
    ASSUMED_COLD_MAX_S,
    CureSheet,
    StageTime,
    Surface,
)
from .gel_law import LEAST_GEL_BAND, LEAST_STAGE_BAND, GelLaw, rate
from .preparation import Cover
from .temperature import Basis, Trace

TRIM_AFTER_S = 30 * 60
"""Rubbery enough for the knife about 30 min after it sets (Practical Action brief)."""
LATER_ORDER = 0.5
"""The lesser order in catalyst of what follows gel (common practice, no source)."""
SEEN_RANGE = (0.5, 2.0)
"""How far an observed gel moves what follows (common practice, no source)."""
NAMES = ("gel", "trim", "recoat_opens", "recoat_closes", "sandable", "full_cure")


@dataclass(frozen=True)
class Layer:
    """One thing laid down that cures.

    Attributes:
        sheet, law: of its pair. percent: effective, of the sheet's peroxide; None undosed.
        factor: of the lots. started: the first pot's mixing; finished: end of application;
            epoch s. surface: as laid, additives counted. cover: what lies on it.
        unsure: filled or cold. gelled_at: when a hand saw it gel, epoch s.
    """

    sheet: CureSheet
    law: GelLaw
    percent: float | None
    factor: float
    started: float
    finished: float
    surface: Surface
    cover: Cover = "none"
    unsure: bool = False
    gelled_at: float | None = None


@dataclass(frozen=True)
class Milestone:
    """A moment (epoch s) with its band; or None and why it can't be given.

    Attributes:
        latest: None while the cold edge of the band never gets there.
        computed: what the clock says where a hand's word outranks it.
    """

    at: float | None
    earliest: float | None = None
    latest: float | None = None
    basis: Basis | str | None = None
    why: str | None = None
    computed: float | None = None


@dataclass(frozen=True)
class _Edge:
    """One way that things may run: the clock that stalls, the one that doesn't, the E.

    `stalled` is when the time under the floor ran out before it was hard, else infinite.
    """

    stalling: Clock
    running: Clock
    E: float
    stalled: float = inf


def milestones(layer: Layer, trace: Trace, uncertainty: float) -> dict[str, Milestone]:
    """All milestones of a layer along a temperature trace.

    Args:
        trace: from the layer's start on, as far ahead as an answer is wanted.
        uncertainty: of its temperatures, K.
    """
    edges = _Edges(layer, trace, uncertainty)
    gel = _gel(layer, edges)
    found = {"gel": gel, "trim": _trim(gel)}
    for name in ("recoat_opens", "recoat_closes", "sandable", "full_cure"):
        why = never(layer, name)
        if why:
            found[name] = Milestone(None, why=why)
        elif name == "recoat_closes":
            found[name] = _closes(layer, edges)
        else:
            found[name] = _later(layer, edges, name)
    return found


def window(found: dict[str, Milestone]) -> tuple[float, float] | None:
    """The recoat window that holds at both edges (opens late, closes early), or None."""
    opens, closes = found["recoat_opens"].latest, found["recoat_closes"].earliest
    return (opens, closes) if opens is not None and closes is not None and opens < closes else None


def cold_stalled_at(layer: Layer, trace: Trace, uncertainty: float) -> float | None:
    """The moment at which it has lain too cold for too long before it was hard, or None."""
    moment = _Edges(layer, trace, uncertainty).middle.stalled
    return None if moment == inf else moment


def hard_by(layer: Layer, trace: Trace) -> float:
    """The moment (epoch s) at which it is hard along a trace; infinite if never."""
    edges = _Edges(layer, trace, 0.0)
    return edges.hard(edges.middle)


class _Edges:
    """The middle, warm and cold ways along a trace, and what each makes of a target."""

    def __init__(self, layer: Layer, trace: Trace, uncertainty: float) -> None:
        self.layer = layer
        self.trace = trace
        self.started = max(layer.started, trace.start)
        self.finished = max(layer.finished, trace.start)
        self.T_ref = layer.sheet.reference_temperature
        self.middle = self._edge(0.0, layer.law.E)
        self.uncertainty = uncertainty

    @cached_property
    def warm(self) -> list[_Edge]:
        """The warm ways, run when a band is asked for: who asks of the middle alone waits less."""
        return [self._edge(self.uncertainty, E) for E in self.layer.law.energies]

    @cached_property
    def cold(self) -> list[_Edge]:
        """The cold ways, likewise."""
        return [self._edge(-self.uncertainty, E) for E in self.layer.law.energies]

    def _edge(self, shift: float, E: float) -> _Edge:
        trace = self.trace.shifted(shift)
        running = cure_clock.run(trace, E, self.T_ref, None)
        floor = self.layer.sheet.cure_min
        stalling = running if floor is None else cure_clock.run(trace, E, self.T_ref, floor)
        edge = _Edge(stalling, running, E)
        allowed = self.layer.sheet.cold_max
        since = stalling.cold_since(
            ASSUMED_COLD_MAX_S if allowed is None else allowed, self.started
        )
        return edge if since == inf or since >= self.hard(edge) else replace(edge, stalled=since)

    def hard(self, edge: _Edge) -> float:
        """When it is hard; infinite if never."""
        from_finish, age = hard_age(self.layer, edge.E)
        begin = self.finished if from_finish else self.started
        return self.after(edge.stalling, begin, age)

    def reach(self, edge: _Edge, start: float, target: float) -> float:
        """When a target is reached from a start, on a clock that stalls; infinite if never."""
        moment = self.after(edge.stalling, start, target)
        return moment if moment <= edge.stalled else inf

    @staticmethod
    def after(clock: Clock, start: float, target: float) -> float:
        """When a clock has counted a target from a start on; infinite if never."""
        return clock.reach(clock.age_at(start) + target)

    @property
    def observed(self) -> float | None:
        """Observed over expected equivalent age at gel: what a hand saw rescales the rest.

        Held within `SEEN_RANGE`: beyond it the mix is suspect, and no forecast follows it.
        """
        if self.layer.gelled_at is None or isnan(self.layer.law.time):
            return None
        clock = self.middle.stalling
        seen = clock.age_at(self.layer.gelled_at) - clock.age_at(self.started)
        low, high = SEEN_RANGE
        return min(max(seen / gel_age(self.layer, self.middle.E), low), high)


def _gel(layer: Layer, edges: _Edges) -> Milestone:
    if isnan(layer.law.time):  # a product without gel points
        return Milestone(None, why="not-on-sheet")
    width = layer.law.band(
        edges.trace.at(layer.started), layer.percent, least=LEAST_GEL_BAND, unsure=layer.unsure
    )
    found = _banded(edges, edges.started, width, lambda edge: gel_age(layer, edge.E))
    if layer.gelled_at is None:
        return found
    seen = layer.gelled_at
    return Milestone(seen, seen, seen, "observed", computed=found.at)


def _trim(gel: Milestone) -> Milestone:
    if gel.at is None:
        return Milestone(None, why=gel.why)
    return Milestone(
        gel.at + TRIM_AFTER_S,
        None if gel.earliest is None else gel.earliest + TRIM_AFTER_S,
        None if gel.latest is None else gel.latest + TRIM_AFTER_S,
        gel.basis,
    )


def _later(layer: Layer, edges: _Edges, name: str) -> Milestone:
    stage = layer.sheet.stage(name)
    if stage is None:
        return Milestone(None, why="not-on-sheet")
    stretch = max(stretches(layer, edges.observed))
    return _banded(
        edges,
        edges.finished,
        _stage_width(layer, edges),
        lambda edge: stage_age(layer, stage, edge.E) * stretch,
    )


def _banded(edges: _Edges, start: float, width: float, age: Callable[[_Edge], float]) -> Milestone:
    """A milestone from an equivalent age on each edge, its band `width` of it either way."""
    at = edges.reach(edges.middle, start, age(edges.middle))
    if at == inf:
        return Milestone(None, why="cold-stalled" if edges.middle.stalled < inf else "not-in-sight")
    low = max(1 - width, 0.1)
    earliest = min(edges.reach(e, start, age(e) * low) for e in edges.warm)
    latest = max(edges.reach(e, start, age(e) * (1 + width)) for e in edges.cold)
    return Milestone(
        at,
        min(earliest, at),
        None if latest == inf else max(latest, at),
        edges.trace.basis(edges.layer.started, at),
    )


def _closes(layer: Layer, edges: _Edges) -> Milestone:
    """The earlier of the clock, which never stalls here, and the wall."""
    after = layer.sheet.closes_after
    wall = layer.started + (ASSUMED_CLOSES_AFTER_S if after is None else after)
    stage = layer.sheet.stage("recoat_closes")
    if stage is None:
        return Milestone(wall, wall, wall, "assumed")
    width, shrink = _stage_width(layer, edges), min(stretches(layer, edges.observed))

    def moment(edge: _Edge, share: float) -> float:
        target = stage_age(layer, stage, edge.E) * shrink * share
        return min(edges.after(edge.running, edges.started, target), wall)

    at = moment(edges.middle, 1.0)
    return Milestone(
        at,
        min(at, *(moment(e, max(1 - width, 0.1)) for e in edges.warm)),
        max(at, *(moment(e, 1 + width) for e in edges.cold)),
        edges.trace.basis(layer.started, at),
    )


def _stage_width(layer: Layer, edges: _Edges) -> float:
    T = edges.trace.at(layer.started)
    return layer.law.band(T, layer.percent, least=LEAST_STAGE_BAND, unsure=layer.unsure)


def stage_age(layer: Layer, stage: StageTime, E: float) -> float:
    """A stage's time as equivalent s at the sheet's reference temperature."""
    T_ref = layer.sheet.reference_temperature
    return stage.time * rate(stage.temperature or T_ref, E, T_ref)


def stretches(layer: Layer, seen: float | None = None) -> list[float]:
    """How much longer than on the sheet the later milestones may take.

    n and the lot factor act on gel; whether they act on what follows is not known, so each
    is tried with and without, unless a gel that was `seen` says how this mix runs. The
    caller takes the later or the earlier.
    """
    factors = {layer.factor, 1.0} if seen is None else {layer.factor * seen}
    reference = layer.sheet.reference_percent or layer.law.percent
    if layer.percent is None or reference is None:
        return list(factors)
    share = layer.percent / reference
    orders = (LATER_ORDER, layer.law.n)
    return [f * math.pow(share, -order) for f in factors for order in orders]


def gel_age(layer: Layer, E: float) -> float:
    """Equivalent s at the sheet's reference temperature to gel; NaN where nothing gels."""
    return layer.law.gel_time(layer.sheet.reference_temperature, layer.percent, layer.factor, E)


def hard_age(layer: Layer, E: float) -> tuple[bool, float]:
    """Whether hardness counts from the end of application, and the equivalent s to it.

    Sandable by the sheet, else recoatable, else gelled from the first pot on; infinite for a
    product without gel points whose sheet times neither.
    """
    for name in ("sandable", "recoat_opens"):
        stage = layer.sheet.stage(name)
        if stage is not None:
            return True, stage_age(layer, stage, E) * max(stretches(layer))
    return False, inf if isnan(layer.law.time) else gel_age(layer, E)


def never(layer: Layer, name: str) -> str | None:
    """Why a milestone can't come for this surface, or None."""
    bare = layer.cover == "none"
    if name == "sandable" and layer.surface == "air_inhibited" and bare:
        return "tacky-surface"
    if name in ("recoat_opens", "recoat_closes") and bare:
        return None if preparation.has_window(layer.surface) else "waxed-surface"
    return None
