"""When a layup gels, can be recoated, sanded, and is cured: each with its band and basis.

Gel starts with the first pot; the recoat window shuts by the first pot too, and everything
else runs from the end of application. How the clocks run is told in `ways`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf, isnan

from .layer import Layer, Layers, never, together
from .temperature import Basis, Floats, Trace
from .ways import Ways, Widths

TRIM_AFTER_S = 30 * 60
"""Rubbery enough for the knife about 30 min after it sets (Practical Action brief)."""
NAMES = ("gel", "trim", "recoat_opens", "recoat_closes", "sandable", "full_cure")
_LATER = ("recoat_opens", "sandable", "full_cure")


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
class Forecast:
    """What the clock says of a layer.

    Attributes:
        found: its milestones by name. stalled: when it has lain too cold for too long before
            it was hard, or None. hard: when it is hard, infinite if never; epoch s.
    """

    found: dict[str, Milestone]
    stalled: float | None
    hard: float


def forecasts(layers: Sequence[Layer], trace: Trace, uncertainty: float) -> list[Forecast]:
    """What the clock says of each of some layers along a temperature trace.

    Args:
        trace: from the first start on, as far ahead as an answer is wanted.
        uncertainty: of its temperatures, K.
    """
    return together(layers, lambda alike: _alike(alike, trace, uncertainty))


def milestones(layer: Layer, trace: Trace, uncertainty: float) -> dict[str, Milestone]:
    """All milestones of one layer."""
    return forecasts([layer], trace, uncertainty)[0].found


def window(found: dict[str, Milestone]) -> tuple[float, float] | None:
    """The recoat window that holds at both edges (opens late, closes early), or None."""
    opens, closes = found["recoat_opens"].latest, found["recoat_closes"].earliest
    return (opens, closes) if opens is not None and closes is not None and opens < closes else None


def _alike(alike: Sequence[Layer], trace: Trace, uncertainty: float) -> list[Forecast]:
    """What the clock says of layers of one sheet and law."""
    ways = Ways(Layers.of(alike), trace, uncertainty)
    widths = Widths.of(alike, trace.ats(ways.layers.started))
    computed = {
        "gel": _gels(ways, widths.gel),
        **_stages(ways, widths.later),
        "recoat_closes": _closes(ways, widths.later),
    }
    stalled, hard = ways.middle.stalled.tolist(), ways.middle.hard.tolist()
    return [
        Forecast(
            _found(layer, {name: column[k] for name, column in computed.items()}),
            None if stalled[k] == inf else stalled[k],
            hard[k],
        )
        for k, layer in enumerate(alike)
    ]


def _gels(ways: Ways, width: Floats) -> list[Milestone]:
    if isnan(ways.layers.law.time):  # a product without gel points
        return [_OFF_THE_SHEET] * len(width)
    band = ways.gel(width)
    return _column(ways, band.at, band.earliest, band.latest)


def _closes(ways: Ways, width: Floats) -> list[Milestone]:
    band = ways.closes(width)
    found = _column(ways, band.at, band.earliest, band.latest)
    if ways.layers.sheet.stage("recoat_closes") is None:  # the wall's alone
        return [replace(milestone, basis="assumed") for milestone in found]
    return found


def _stages(ways: Ways, width: Floats) -> dict[str, list[Milestone]]:
    found = {name: ways.layers.sheet.stage(name) for name in _LATER}
    on_sheet = {name: stage for name, stage in found.items() if stage is not None}
    columns = {name: [_OFF_THE_SHEET] * len(width) for name in _LATER}
    if on_sheet:
        band = ways.stages(list(on_sheet.values()), width)
        for name, *row in zip(on_sheet, band.at, band.earliest, band.latest, strict=True):
            columns[name] = _column(ways, *row)
    return columns


def _column(ways: Ways, at: Floats, earliest: Floats, latest: Floats) -> list[Milestone]:
    """Moments with their bands, a milestone a layer."""
    layers = zip(
        at.tolist(),
        earliest.tolist(),
        latest.tolist(),
        ways.trace.bases(ways.layers.started, at),
        (ways.middle.stalled < inf).tolist(),
        strict=True,
    )
    return [
        Milestone(None, why="cold-stalled" if stalled else "not-in-sight")
        if at == inf
        else Milestone(at, earliest, None if latest == inf else latest, basis)
        for at, earliest, latest, basis, stalled in layers
    ]


def _found(layer: Layer, computed: dict[str, Milestone]) -> dict[str, Milestone]:
    """The milestones of one layer: what its surface never comes to, and what a hand saw."""
    gel = _seen(layer, computed["gel"])
    found = {"gel": gel, "trim": _trim(gel)}
    for name in NAMES[2:]:
        why = never(layer, name)
        found[name] = Milestone(None, why=why) if why else computed[name]
    return found


def _seen(layer: Layer, gel: Milestone) -> Milestone:
    seen = layer.gelled_at
    if seen is None or gel is _OFF_THE_SHEET:
        return gel
    return Milestone(seen, seen, seen, "observed", computed=gel.at)


def _trim(gel: Milestone) -> Milestone:
    if gel.at is None:
        return Milestone(None, why=gel.why)
    return Milestone(
        gel.at + TRIM_AFTER_S,
        None if gel.earliest is None else gel.earliest + TRIM_AFTER_S,
        None if gel.latest is None else gel.latest + TRIM_AFTER_S,
        gel.basis,
    )


_OFF_THE_SHEET = Milestone(None, why="not-on-sheet")
