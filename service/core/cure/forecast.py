"""Forecasts: when layers gel, can be recoated and sanded, and are cured, with band and basis.

Each pot gels from its own mixing on, and shuts the recoat window from there. Everything else runs
from the end of application. See `scenarios` for the clocks, and `recoat` for the window.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf, isnan
from typing import Literal

from ..bays.temperature import Basis, Floats, Trace
from . import recoat
from .layer import LaidPot, Layer, Layers, by_law
from .milestones import NAMES, NOT_ON_SHEET, TRIM_AFTER_S, Milestone, on_part
from .scenarios import Band, Scenarios, Widths

SUSPECT_TIMES = 2
"""Still wet after twice the latest gel time: no catalyst, or a wrong ratio (common practice, no
source)."""
_LATER = ("recoat_opens", "sandable", "full_cure")
"""The stages that are counted from the end of application."""


@dataclass(frozen=True)
class PotForecast:
    """When a pot gels, in its cup and in a film, by the clock and by what hands saw."""

    pot: LaidPot
    gel: Milestone
    film: Milestone

    @property
    def on_part(self) -> Milestone:
        """When it gels on the part."""
        return on_part(self.gel, self.film)

    @property
    def seen(self) -> bool:
        """Whether a hand saw it gelled on the part."""
        return self.on_part.basis == "observed"

    def lateness(self, wet_at: float | None) -> Literal["late", "suspect"] | None:
        """Whether the pot is late to gel, or suspect, by when it was last found wet.

        Late: wet after its latest gel time. Suspect: wet after `SUSPECT_TIMES` that time from its
        mixing.

        Args:
            wet_at: when the part was last found wet, epoch s; the cup's own look counts as well.
        """
        looks = ((wet_at, self.on_part), (self.pot.cup_wet_at, self.gel))
        late = [
            (at - self.pot.mixed_at) / (gel.latest - self.pot.mixed_at)
            for at, gel in looks
            if at is not None and gel.latest is not None and at >= gel.latest
        ]
        if self.seen or not late:
            return None
        return "suspect" if max(late) >= SUSPECT_TIMES else "late"


@dataclass(frozen=True)
class Forecast:
    """What the clock says of a layer; moments in epoch s.

    Attributes:
        found: its milestones by name. stalled: when it has been too cold for too long before it
            was hard, or None. hard: when it is hard, infinite if never.
        pots: the gel of each of its pots, in their order.
    """

    found: dict[str, Milestone]
    stalled: float | None
    hard: float
    pots: tuple[PotForecast, ...]


def forecasts(layers: Sequence[Layer], trace: Trace, uncertainty: float) -> list[Forecast]:
    """The forecast of each layer along a temperature trace.

    Args:
        trace: from the first start on, as far ahead as an answer is wanted.
        uncertainty: of its temperatures, K.
    """
    return by_law(layers, lambda alike: _alike(alike, trace, uncertainty))


def milestones(layer: Layer, trace: Trace, uncertainty: float) -> dict[str, Milestone]:
    """All milestones of one layer, by name; arguments as `forecasts`."""
    return forecasts([layer], trace, uncertainty)[0].found


def _alike(alike: Sequence[Layer], trace: Trace, uncertainty: float) -> list[Forecast]:
    """The forecasts of layers that share one sheet and law."""
    scenarios = Scenarios(Layers.of(alike), trace, uncertainty)
    pots = [pot for layer in alike for pot in layer.pots]
    widths = Widths.of(scenarios.layers.law, pots, trace.ats(scenarios.layers.started))
    computed = {
        **_stages(scenarios, widths.later, len(alike)),
        "recoat_closes": _closes(scenarios, widths.later),
    }
    gels = list(map(_pot, pots, _gels(scenarios, widths.gel), _films(scenarios, widths.gel)))
    stalled, hard = scenarios.middle.stalled.tolist(), scenarios.middle.hard.tolist()
    answers, place = [], 0
    for k, layer in enumerate(alike):
        own = tuple(gels[place : place + len(layer.pots)])
        place += len(own)
        found = _found(layer, own, {name: column[k] for name, column in computed.items()})
        answers.append(Forecast(found, None if stalled[k] == inf else stalled[k], hard[k], own))
    return answers


def _gels(scenarios: Scenarios, width: Floats) -> list[Milestone]:
    if isnan(scenarios.layers.law.time):  # a product without gel points
        return [NOT_ON_SHEET] * len(width)
    return _of_pots(scenarios, scenarios.gel(width))


def _films(scenarios: Scenarios, width: Floats) -> list[Milestone]:
    if scenarios.layers.sheet.film_gel is None:
        return [NOT_ON_SHEET] * len(width)
    return _of_pots(scenarios, scenarios.gel_on_part(width))


def _closes(scenarios: Scenarios, width: Floats) -> list[Milestone]:
    band = recoat.closing(scenarios, width)
    found = _of_layers(scenarios, band.at, band.earliest, band.latest, stalls=False)
    if recoat.closing_is_assumed(scenarios.layers.sheet):
        found = [replace(each, basis="assumed") for each in found]
    notes = recoat.closing_notes(scenarios, band)
    return [replace(each, note=note) for each, note in zip(found, notes, strict=True)]


def _stages(scenarios: Scenarios, width: Floats, count: int) -> dict[str, list[Milestone]]:
    found = {name: scenarios.layers.sheet.stage(name) for name in _LATER}
    on_sheet = {name: stage for name, stage in found.items() if stage is not None}
    columns = {name: [NOT_ON_SHEET] * count for name in _LATER}
    if on_sheet:
        band = scenarios.stages(list(on_sheet.values()), width)
        for name, *row in zip(on_sheet, band.at, band.earliest, band.latest, strict=True):
            columns[name] = _of_layers(scenarios, *row)
    return columns


def _of_layers(
    scenarios: Scenarios, at: Floats, earliest: Floats, latest: Floats, *, stalls: bool = True
) -> list[Milestone]:
    """Moments with their bands, one milestone for each layer."""
    bases = scenarios.trace.bases(scenarios.layers.soonest(scenarios.layers.started), at)
    stalled = scenarios.middle.stalled < inf if stalls else at < -inf
    return _column(at, earliest, latest, bases, stalled.tolist())


def _of_pots(scenarios: Scenarios, band: Band) -> list[Milestone]:
    """Moments with their bands, one milestone for each pot."""
    bases = scenarios.trace.bases(scenarios.layers.started, band.at)
    stalled = scenarios.middle.stalled_each < inf
    return _column(band.at, band.earliest, band.latest, bases, stalled.tolist())


def _column(
    at: Floats, earliest: Floats, latest: Floats, bases: list[Basis], stalled: list[bool]
) -> list[Milestone]:
    columns = zip(at.tolist(), earliest.tolist(), latest.tolist(), bases, stalled, strict=True)
    return [
        Milestone(None, why="cold-stalled" if stalled else "not-in-sight")
        if at == inf
        else Milestone(at, earliest, None if latest == inf else latest, basis)
        for at, earliest, latest, basis, stalled in columns
    ]


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


def _pot(pot: LaidPot, gel: Milestone, film: Milestone) -> PotForecast:
    """A pot's gel, with what hands saw: on the part it is a film, where the sheet times one."""
    part, cup = pot.gelled_at, pot.cup_gelled_at
    if film is NOT_ON_SHEET:
        if part is None and cup is not None and (pot.wet_at is None or cup > pot.wet_at):
            part = cup
        return PotForecast(pot, _seen(gel, part), film)
    return PotForecast(pot, _seen(gel, part if cup is None else cup), _seen(film, part))


def _seen(gel: Milestone, seen: float | None) -> Milestone:
    """A gel as a hand saw it; a gel noted after its forecast may have come before the look."""
    if seen is None or gel is NOT_ON_SHEET:
        return gel
    if gel.at is None or gel.earliest is None or seen <= gel.at:
        return Milestone(seen, seen, seen, "observed", computed=gel.at)
    return Milestone(seen, gel.earliest, seen, "observed", computed=gel.at, note=_AT_MOST)


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


_AT_MOST = "At most: it was seen gelled then, and may have gelled before."
