"""Forecasts: when layers gel, can be recoated and sanded, and are cured, with band and basis.

Each pot gels from its own mixing on, and shuts the recoat window from there. Everything else runs
from the end of application. See `chance` for the bands, and `recoat` for the window.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import inf, isfinite, isnan
from typing import Literal

from .. import arrays as np
from ..arrays import Flags, Floats
from ..bays.temperature import Basis, Trace
from ..frozen import frozen
from . import recoat
from .chance import Chances, Edges, Reach
from .clocks import Doubt
from .course import Course
from .layer import LaidPot, Layer, by_law
from .layers import Layers
from .milestones import NAMES, NOT_ON_SHEET, TRIM_AFTER_S, Milestone, on_part
from .windows import Sides

_PAUSING = ("recoat_opens", "sandable", "full_cure")
"""The stages whose clock pauses in the cold."""
SUSPECT_TIMES = 2
"""Still wet after twice the latest gel time: no catalyst, or a wrong ratio (common practice, no
source)."""


@frozen
class PotForecast:
    """When a pot gels, in its cup and in a film, by the clock and by what hands saw.

    Attributes:
        told_gel, told_film: the same before anybody looked.
        told_part: when it was to gel on the part, known only once somebody looked: `told_film`, or
            by the cup's time where the sheet times no film.
    """

    pot: LaidPot
    gel: Milestone
    film: Milestone
    told_gel: Milestone = NOT_ON_SHEET
    told_film: Milestone = NOT_ON_SHEET
    told_part: Milestone = NOT_ON_SHEET

    @property
    def on_part(self) -> Milestone:
        """When it gels on the part."""
        return on_part(self.gel, self.film)

    @property
    def seen(self) -> bool:
        """Whether a hand saw it gelled on the part, or in its cup where that stands for it."""
        pot = self.pot
        if pot.gelled_at is not None or self.film.why != "not-on-sheet":
            return pot.gelled_at is not None
        in_cup, wet = pot.cup_gelled_at, pot.wet_at
        return in_cup is not None and (wet is None or in_cup > wet)

    def lateness(self, wet_at: float | None) -> Literal["late", "suspect"] | None:
        """Whether the pot is late to gel, or suspect, by when it was last found wet.

        Late: wet after its latest gel time, on the part that of a film. Suspect: wet after
        `SUSPECT_TIMES` that time from its mixing.

        Args:
            wet_at: when the part was last found wet, epoch s; the cup's own look counts as well.
        """
        return None if self.seen else self.still_late(wet_at)

    def still_late(self, wet_at: float | None) -> Literal["late", "suspect"] | None:
        """As `lateness`, whatever gel was felt later."""
        looks = ((wet_at, self.told_part), (self.pot.cup_wet_at, self.told_gel))
        late = [
            (at - self.pot.mixed_at) / (gel.latest - self.pot.mixed_at)
            for at, gel in looks
            if at is not None and gel.latest is not None and at >= gel.latest
        ]
        if not late:
            return None
        return "suspect" if max(late) >= SUSPECT_TIMES else "late"


@frozen
class Forecast:
    """What the clock says of a layer; moments in epoch s.

    Attributes:
        found: its milestones by name. stalled: when it has been too cold for too long before it
            was hard, or None. hard: when it is hard, infinite if never.
        pots: the gel of each of its pots, in their order.
        doubted: whether what hands saw of it is so unlikely that it must be said again.
    """

    found: dict[str, Milestone]
    stalled: float | None
    hard: float
    pots: tuple[PotForecast, ...]
    doubted: bool = False


def forecasts(layers: Sequence[Layer], trace: Trace, doubt: Doubt) -> list[Forecast]:
    """The forecast of each layer along a temperature trace.

    Args:
        trace: from the first start on, as far ahead as an answer is wanted.
        doubt: how well its temperatures are known.
    """
    return by_law(layers, lambda alike: _Alike(alike, trace, doubt).forecasts())


def milestones(layer: Layer, trace: Trace, doubt: Doubt) -> dict[str, Milestone]:
    """All milestones of one layer, by name; arguments as `forecasts`."""
    return forecasts([layer], trace, doubt)[0].found


class _Alike:
    """Layers that share one sheet and law."""

    def __init__(self, alike: Sequence[Layer], trace: Trace, doubt: Doubt) -> None:
        self.alike, self.trace, self.sure = alike, trace, doubt.sure
        self.layers = Layers.of(alike)
        told = Chances(self.layers, trace, doubt, seen=False)
        self.chances = Chances(self.layers, trace, doubt)
        self.course = Course(self.layers, trace)
        self.begun = np.maximum(self.layers.started, trace.start)
        self.reaches = self._reaches(self.chances)
        self.told = self._edges(self._reaches(told) | self._by_cup(told))
        self.seen = self.told if self.chances.weighed is None else self._edges(self.reaches)

    def forecasts(self) -> list[Forecast]:
        """The forecast of each layer."""
        pots = self._pots()
        columns = {name: self._stage(name) for name in ("sandable", "full_cure")}
        columns |= self._window()
        stalled, hard = self.course.stalled.tolist(), self.course.hard.tolist()
        doubted = self._doubted.tolist()
        answers, place = [], 0
        for k, layer in enumerate(self.alike):
            own = tuple(pots[place : place + len(layer.pots)])
            place += len(own)
            found = _found(layer, own, {name: column[k] for name, column in columns.items()})
            cold = None if stalled[k] == inf else stalled[k]
            answers.append(Forecast(found, cold, hard[k], own, doubted[k]))
        return answers

    @property
    def _doubted(self) -> Flags:
        """For each layer, whether the looks at one of its pots are doubted."""
        weighed = self.chances.weighed
        if weighed is None:
            return np.zeros(len(self.alike), bool)
        return np.logical_or.reduceat(weighed.doubted, self.layers.first)

    @property
    def _wet(self) -> Floats:
        """For each layer, when a hand last found it wet; minus infinity where nobody did."""
        at = self.layers.column("wet_on_part")
        return self.layers.last(np.where(np.isnan(at), -inf, at))

    def _reaches(self, chances: Chances) -> dict[str, Reach]:
        """How each pot gels, and reaches the stages that pause in the cold."""
        sheet, found = self.layers.sheet, {}
        if not isnan(self.layers.law.time):
            found["gel"] = chances.gel()
        if sheet.film_gel is not None:
            found["film"] = chances.film()
        stages = ((name, sheet.stage(name)) for name in _PAUSING)
        return found | {
            name: chances.stage(name, each) for name, each in stages if each is not None
        }

    def _by_cup(self, told: Chances) -> dict[str, Reach]:
        """How each pot was to gel on the part by its cup's time; only a look asks for it."""
        if self.chances.weighed is None or self.layers.sheet.film_gel is not None:
            return {}
        return {} if isnan(self.layers.law.time) else {"by_cup": told.film_by_cup()}

    def _edges(self, reaches: dict[str, Reach]) -> dict[str, Edges]:
        """The band of each pot in all of these: found together, that is far quicker."""
        if not reaches:
            return {}
        moments = Reach.side_by_side(list(reaches.values())).moment(self._chances_of_edges)
        parts = np.split(moments, len(reaches), axis=1)
        return {name: Edges(*part) for name, part in zip(reaches, parts, strict=True)}

    @property
    def _chances_of_edges(self) -> Floats:
        return np.array([1 - self.sure, 0.5, self.sure])

    def _pots(self) -> list[PotForecast]:
        """The gel of each pot."""
        pots = [pot for layer in self.alike for pot in layer.pots]
        gels, told = self._gel("gel")
        films, told_films = self._gel("film")
        parts = self._before("by_cup") if "by_cup" in self.told else told_films
        return list(map(PotForecast, pots, gels, films, told, told_films, parts))

    def _gel(self, name: str) -> tuple[list[Milestone], list[Milestone]]:
        """The gel of each pot in its cup or in a film; and the same before any look."""
        if name not in self.reaches:
            none = [NOT_ON_SHEET] * len(self.begun)
            return none, none
        seen, most = self.seen[name], self.reaches[name].most
        bases = self.trace.bases(self.begun, seen.at)
        found = _column(seen, bases, self.course.stalled_each)
        noted = zip(_observed(found, self.told[name], most, _AT_MOST), most.tolist(), strict=True)
        return [_seen_anyway(each, at) for each, at in noted], self._before(name)

    def _before(self, name: str) -> list[Milestone]:
        """When each pot was to reach a gel before any look."""
        told = self.told[name]
        return _column(told, self.trace.bases(self.begun, told.at), self.course.stalled_each)

    def _stage(self, name: str) -> list[Milestone]:
        """A stage after gel, for each layer: when its last pot reaches it.

        What a hand finds in a stall brackets nothing: it may be stiff from the cold alone. No
        stage comes before a hand last found it wet.
        """
        if name not in self.reaches:
            return [NOT_ON_SHEET] * len(self.alike)
        last, stalled = self.layers.last, self.course.stalled
        seen, told = self.seen[name].by(last), self.told[name].by(last)
        looked = last(self.reaches[name].most)
        in_stall = (looked > stalled) & (looked < inf)
        seen, looked = seen.but(in_stall, told), np.where(in_stall, inf, looked)
        seen = seen.not_before(self._wet)
        bases = self.trace.bases(self.layers.soonest(self.begun), seen.at)
        return _observed(_column(seen, bases, stalled), told, looked)

    def _window(self) -> dict[str, list[Milestone]]:
        """Opening and closing of the recoat window of each layer."""
        layers, wall = self.layers, recoat.wall_clock_end(self.layers)
        stage = recoat.closing_stage(layers.sheet)
        closes = None if stage is None else self.chances.closing(stage)
        shut = Edges(wall, wall, wall)
        if closes is not None and stage is not None:
            moments = layers.soonest(closes.moment(self._chances_of_edges))
            if self._doubted.any():  # who finds it open early may well be right
                sooner = self.chances.closing(stage, trusting=True)
                moments = np.minimum(moments, layers.soonest(sooner.moment(self._chances_of_edges)))
            shut = Edges(*np.minimum(moments, wall))
        opening, closing = self._stage("recoat_opens"), self._closing(shut, wall)
        reach = self.reaches.get("recoat_opens")
        if reach is None:
            return {"recoat_opens": opening, "recoat_closes": closing}
        latest = np.maximum(layers.last(self.seen["recoat_opens"].latest), self._wet)
        latest = _until(latest, self.course.stalled)
        sides = Sides(layers, reach, closes, wall)
        begins, ends = sides.sure(latest, shut.earliest, self.sure)
        begins = np.where(self._doubted, inf, begins).tolist()
        ends = np.where(self._doubted, -inf, ends).tolist()
        return {
            "recoat_opens": [_surely(*each) for each in zip(opening, begins, strict=True)],
            "recoat_closes": [_surely(*each) for each in zip(closing, ends, strict=True)],
        }

    def _closing(self, shut: Edges, wall: Floats) -> list[Milestone]:
        sheet, starts = self.layers.sheet, self.layers.soonest(self.begun)
        found = _column(shut, self.trace.bases(starts, shut.at), np.full_like(shut.at, inf))
        if recoat.closing_is_assumed(sheet):
            found = [replace(each, basis="assumed") for each in found]
        notes = recoat.closing_notes(sheet, shut, wall)
        return [
            each if note is None else replace(each, note=note)
            for each, note in zip(found, notes, strict=True)
        ]


def _seen_anyway(found: Milestone, at: float) -> Milestone:
    """A gel that the clock had given up, and that a hand saw all the same."""
    if found.at is None and at < inf:
        return Milestone(at, at, at, "observed", note=_AT_MOST)
    return found


def _until(moments: Floats, stalled: Floats) -> Floats:
    """Moments that are never reached after a stall."""
    return np.where(moments <= stalled, moments, inf)


def _column(edges: Edges, bases: list[Basis], stalled: Floats) -> list[Milestone]:
    columns = [_until(edge, stalled).tolist() for edge in (edges.at, edges.earliest, edges.latest)]
    return [
        Milestone(None, why="cold-stalled" if stalled < inf else "not-in-sight")
        if at == inf
        else Milestone(at, earliest, None if latest == inf else latest, basis)
        for at, earliest, latest, basis, stalled in zip(
            *columns, bases, stalled.tolist(), strict=True
        )
    ]


def _observed(
    found: list[Milestone], before: Edges, seen: Floats, note: str | None = None
) -> list[Milestone]:
    """Milestones, marked where a hand saw them before the clock was sure of them."""
    # A gel that was seen is no forecast, however late somebody looked.
    sooner = (seen < (before.latest if note is None else inf)).tolist()
    columns = zip(found, before.at.tolist(), sooner, strict=True)
    return [
        replace(each, basis="observed", computed=None if at == inf else at, note=note)
        if marked and each.at is not None
        else each
        for each, at, marked in columns
    ]


def _surely(found: Milestone, moment: float) -> Milestone:
    return replace(found, sure=moment) if isfinite(moment) else found


def _found(
    layer: Layer, pots: tuple[PotForecast, ...], computed: dict[str, Milestone]
) -> dict[str, Milestone]:
    """The milestones of one layer, without those that its surface never reaches."""
    gel, film = _last([pot.gel for pot in pots]), _last([pot.film for pot in pots])
    found = {"gel": gel, "film": film, "trim": _trim(on_part(gel, film))}
    found |= {name: computed[name] for name in NAMES if name in computed}
    unbondable = recoat.never(layer)
    if unbondable:
        found |= dict.fromkeys(("recoat_opens", "recoat_closes"), Milestone(None, why=unbondable))
    if layer.surface == "air_inhibited" and layer.cover == "none":
        found["sandable"] = Milestone(None, why="tacky-surface")
    return found


def _last(gels: list[Milestone]) -> Milestone:
    """When the last of several pots gels; None where one of them has no moment."""
    missing = next((gel for gel in gels if gel.at is None), None)
    if missing is not None or len(gels) == 1:
        return missing or gels[0]
    latest = [gel.latest for gel in gels if gel.latest is not None]
    return replace(
        max(gels, key=lambda gel: (gel.at or 0.0, gel.computed or 0.0)),
        earliest=max(gel.earliest for gel in gels if gel.earliest is not None),
        latest=max(latest) if len(latest) == len(gels) else None,
    )


def _trim(gel: Milestone) -> Milestone:
    if gel.at is None:
        return Milestone(None, why=gel.why)
    return Milestone(
        gel.at + TRIM_AFTER_S,
        None if gel.earliest is None else gel.earliest + TRIM_AFTER_S,
        None if gel.latest is None else gel.latest + TRIM_AFTER_S,
        gel.basis,
    )


_AT_MOST = "A hand found it gelled; it may have gelled before that."
