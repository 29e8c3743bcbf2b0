"""When a layup gels, can be recoated, sanded, and is cured: each with its band and basis.

Each pot gels from its own mixing on, and shuts the recoat window from there; everything else
runs from the end of application. A layer comes to what opens with its last pot, and its window
shuts with its first. How the clocks run is told in `ways`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf, isnan
from typing import Literal

from ..bays.temperature import Basis, Floats, Trace
from ..products.cure_sheet import ASSUMED_CLOSES_AFTER_S
from .layer import LaidPot, Layer, Layers, never, together
from .scenarios import Band, Ways, Widths

HOUR_S = 3600
TRIM_AFTER_S = 30 * 60
"""Rubbery enough for the knife about 30 min after it sets (Practical Action brief)."""
NAMES = ("gel", "film", "trim", "recoat_opens", "recoat_closes", "sandable", "full_cure")
"""`gel` is the cup's, `film` the sheet's own of a thin film."""
SUSPECT_TIMES = 2
"""Still wet after so many times its latest gel time: no catalyst, or a wrong ratio."""
_LATER = ("recoat_opens", "sandable", "full_cure")


@dataclass(frozen=True)
class Milestone:
    """A moment (epoch s) with its band; or None and why it can't be given.

    Attributes:
        latest: None while the cold edge of the band never gets there.
        computed: what the clock says where a hand's word outranks it.
        note: a word on what it rests on, where that is not the clock alone.
    """

    at: float | None
    earliest: float | None = None
    latest: float | None = None
    basis: Basis | str | None = None
    why: str | None = None
    computed: float | None = None
    note: str | None = None


@dataclass(frozen=True)
class PotForecast:
    """When a pot gels, in its cup and in a film, by the clock and by what hands saw."""

    pot: LaidPot
    gel: Milestone
    film: Milestone

    @property
    def on_part(self) -> Milestone:
        """When it gels on the part: by the sheet's time in a film, else by that in a cup."""
        return on_part(self.gel, self.film)

    @property
    def seen(self) -> bool:
        """Whether a hand's word says that it gelled on the part."""
        return self.on_part.basis == "observed"

    def lateness(self, wet_at: float | None) -> Literal["late", "suspect"] | None:
        """What it means that it was wet on the part at a moment, or its cup when last seen so.

        Late past the latest that it may gel, suspect from twice as long after its mixing.
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
    """What the clock says of a layer.

    Attributes:
        found: its milestones by name. stalled: when it has lain too cold for too long before
            it was hard, or None. hard: when it is hard, infinite if never; epoch s.
        pots: what it says of each of its pots' gel, in their order.
    """

    found: dict[str, Milestone]
    stalled: float | None
    hard: float
    pots: tuple[PotForecast, ...]


def on_part(gel: Milestone, film: Milestone) -> Milestone:
    """Which of two gel milestones holds on the part: a film's, where the sheet times one."""
    return gel if film.why == "not-on-sheet" else film


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
    pots = [pot for layer in alike for pot in layer.pots]
    widths = Widths.of(ways.layers.law, pots, trace.ats(ways.layers.started))
    computed = {
        **_stages(ways, widths.later, len(alike)),
        "recoat_closes": _closes(ways, widths.later),
    }
    gels = list(map(_pot, pots, _gels(ways, widths.gel), _films(ways, widths.gel)))
    stalled, hard = ways.middle.stalled.tolist(), ways.middle.hard.tolist()
    told, place = [], 0
    for k, layer in enumerate(alike):
        own = tuple(gels[place : place + len(layer.pots)])
        place += len(own)
        found = _found(layer, own, {name: column[k] for name, column in computed.items()})
        told.append(Forecast(found, None if stalled[k] == inf else stalled[k], hard[k], own))
    return told


def _gels(ways: Ways, width: Floats) -> list[Milestone]:
    if isnan(ways.layers.law.time):  # a product without gel points
        return [_OFF_THE_SHEET] * len(width)
    return _each(ways, ways.gel(width))


def _films(ways: Ways, width: Floats) -> list[Milestone]:
    if ways.layers.sheet.film_gel is None:
        return [_OFF_THE_SHEET] * len(width)
    return _each(ways, ways.gel_on_part(width))


def _closes(ways: Ways, width: Floats) -> list[Milestone]:
    band, sheet = ways.closes(width), ways.layers.sheet
    found = _of_layers(ways, band.at, band.earliest, band.latest, stalls=False)
    if sheet.stage("recoat_closes") is None and sheet.closes_after is None:
        return [replace(each, basis="assumed", note=_NO_CLOSING) for each in found]
    if sheet.closes_after is None:
        return found
    after = f"the sheet's {sheet.closes_after / HOUR_S:g} h after mixing"
    shut = (band.earliest >= ways.wall).tolist()
    capped = (band.at >= ways.wall).tolist()
    notes = [
        f"Shut by {after}, not by the cure clock."
        if first
        else f"At the latest by {after}."
        if middle
        else None
        for first, middle in zip(shut, capped, strict=True)
    ]
    return [replace(each, note=note) for each, note in zip(found, notes, strict=True)]


def _stages(ways: Ways, width: Floats, count: int) -> dict[str, list[Milestone]]:
    found = {name: ways.layers.sheet.stage(name) for name in _LATER}
    on_sheet = {name: stage for name, stage in found.items() if stage is not None}
    columns = {name: [_OFF_THE_SHEET] * count for name in _LATER}
    if on_sheet:
        band = ways.stages(list(on_sheet.values()), width)
        for name, *row in zip(on_sheet, band.at, band.earliest, band.latest, strict=True):
            columns[name] = _of_layers(ways, *row)
    return columns


def _of_layers(
    ways: Ways, at: Floats, earliest: Floats, latest: Floats, *, stalls: bool = True
) -> list[Milestone]:
    """Moments with their bands, a milestone a layer."""
    bases = ways.trace.bases(ways.layers.soonest(ways.layers.started), at)
    stalled = ways.middle.stalled < inf if stalls else at < -inf
    return _column(at, earliest, latest, bases, stalled.tolist())


def _each(ways: Ways, band: Band) -> list[Milestone]:
    """Moments with their bands, a milestone a pot."""
    bases = ways.trace.bases(ways.layers.started, band.at)
    stalled = ways.middle.stalled_each < inf
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
    """The milestones of one layer: what its surface never comes to, and what a hand saw."""
    gel, film = _last([pot.gel for pot in pots]), _last([pot.film for pot in pots])
    found = {"gel": gel, "film": film, "trim": _trim(on_part(gel, film))}
    for name in NAMES[3:]:
        why = never(layer, name)
        found[name] = Milestone(None, why=why) if why else computed[name]
    return found


def _pot(pot: LaidPot, gel: Milestone, film: Milestone) -> PotForecast:
    """A pot's gel, with what hands saw: on the part it is a film, where the sheet times one."""
    part, cup = pot.gelled_at, pot.cup_gelled_at
    if film is _OFF_THE_SHEET:
        if part is None and cup is not None and (pot.wet_at is None or cup > pot.wet_at):
            part = cup
        return PotForecast(pot, _seen(gel, part), film)
    return PotForecast(pot, _seen(gel, part if cup is None else cup), _seen(film, part))


def _seen(gel: Milestone, seen: float | None) -> Milestone:
    """A gel as a hand saw it; one noted after its forecast may have come before."""
    if seen is None or gel is _OFF_THE_SHEET:
        return gel
    if gel.at is None or gel.earliest is None or seen <= gel.at:
        return Milestone(seen, seen, seen, "observed", computed=gel.at)
    return Milestone(seen, gel.earliest, seen, "observed", computed=gel.at, note=_AT_MOST)


def _last(gels: list[Milestone]) -> Milestone:
    """When the last of some pots gels; None where it can't be told of one of them."""
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


_OFF_THE_SHEET = Milestone(None, why="not-on-sheet")
_NO_CLOSING = (
    f"The sheet gives no closing: {ASSUMED_CLOSES_AFTER_S / HOUR_S:g} h after mixing, assumed."
)
_AT_MOST = "At most: it was seen gelled then, and may have gelled before."
