"""Watch a layup: where it stands at a moment, from all that was known of it by then."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf
from typing import Any

from ..core import air, cautions, signs, stall
from ..core.chain_steps import Ground
from ..core.cure_sheet import CureSheet
from ..core.errors import UnsoundBelow
from ..core.layer import Layer
from ..core.milestones import Forecast, Milestone, forecasts, milestones, window
from ..core.night import ColdAhead, colds_ahead
from ..core.preparation import Cover, surface_of
from ..core.signs import NextStep, Sign
from ..core.temperature import Trace
from ..core.touch import Touch, by_hand
from ..core.ways import SEEN_RANGE
from ..store import layups, tables
from ..store.layup_records import LayupRecord, records
from . import bay_air, cure_sheets, units
from .dose_pot import strength_of

_RUNS_ON = "It lay cold for too long and was checked after it was heated: its clock runs on."


@dataclass(frozen=True)
class Watched:
    """A layup at a moment.

    Attributes:
        record: what the store knows of it. trace: what it lies in, from its start or before.
        found: its milestones. window: that holds at both edges, or None.
        cold_from: since when it lies too cold, epoch s, where that ends its promises and no
            check has ended that; else None.
        touch: what stands of hands' words.
        unsound: why nothing may go on it, as what it is; None where it is sound.
        flags: words on what the answer rests on.
    """

    record: LayupRecord
    layer: Layer
    trace: Trace
    found: dict[str, Milestone]
    window: tuple[float, float] | None
    cold_from: float | None
    touch: Touch
    unsound: str | None
    signs: tuple[Sign, ...]
    step: NextStep
    flags: tuple[str, ...]

    @property
    def row(self) -> tables.Layup:
        """Its row, with what that leads to."""
        return self.record.row

    @property
    def bay(self) -> tables.Bay:
        """The bay that it is in."""
        return self.record.bay

    @property
    def closed_at(self) -> int | None:
        """When the watch on it ended, epoch s, or None."""
        return self.record.closed_at

    @property
    def in_trouble(self) -> bool:
        """Whether it stays in every list until somebody says what became of it."""
        wet_when_ended = self.touch.ended is not None and self.touch.not_gelled is not None
        return wet_when_ended or not signs.TROUBLE.isdisjoint(self.signs)

    @property
    def trouble_since(self) -> float | None:
        """Since when a hand knows that it is in trouble, other than by the cold; epoch s."""
        if signs.TROUBLE.isdisjoint(set(self.signs) - {"cold_stalled"}):
            return None
        return self.touch.not_gelled if self.touch.not_gelled is not None else self.touch.ended

    @property
    def seen(self) -> tuple[tables.LayupObservation, ...]:
        """What hands saw of it, oldest first."""
        return self.record.seen


def watch(row: tables.Layup, now: int, as_known_at: int | None = None) -> Watched:
    """Work out a layup as of `now`.

    Args:
        as_known_at: only what was recorded by that moment counts, and it is the `now`: what
            a hand was told then.
    """
    return watch_all([row], now, as_known_at)[0]


def as_it_stood(row: tables.Layup, at: int) -> Watched:
    """Work out a layup as of a moment that is past, by what hands had seen until then.

    It is judged as if it had never been covered, handed over or left.
    """
    (known,) = records([row])
    then = replace(
        known,
        seen=tuple(each for each in known.seen if each.at <= at),
        cup_gels=tuple(gel for gel in known.cup_gels if gel <= at),
        closed_at=None,
        ended_at=None,
    )
    return _watch_records([then], at)[0]


def watch_all(
    rows: Sequence[tables.Layup], now: int, as_known_at: int | None = None
) -> list[Watched]:
    """As `watch`, for many layups: what they share is read and worked out once."""
    known = records(rows, as_known_at)
    return _watch_records(known, now if as_known_at is None else as_known_at, as_known_at)


def _watch_records(
    known: Sequence[LayupRecord], now: int, as_known_at: int | None = None
) -> list[Watched]:
    starts = [record.started for record in known]
    if not starts:
        return []
    air = bay_air.Air(min(starts), max(starts) + bay_air.AHEAD_S, as_known_at)
    laid = {place: _laid(record, air) for place, record in enumerate(known)}
    told = _forecasts(laid)
    stalled = {place: _run_on(one, told[place][0]) for place, one in laid.items()}
    running = {place: one for place, one in stalled.items() if one is not None}
    laid, told = laid | running, told | _forecasts(running)
    return [_watch(one, *told[place], now) for place, one in laid.items()]


@dataclass(frozen=True)
class _Laid:
    """A layup as something that cures: its layer and its trace, with words on what they rest on."""

    record: LayupRecord
    layer: Layer
    trace: Trace
    flags: tuple[str, ...]


def _laid(record: LayupRecord, air: bay_air.Air) -> _Laid:
    layer, flags = _layer(record)
    return _Laid(record, layer, _trace(record, air), flags)


def _run_on(laid: _Laid, told: Forecast) -> _Laid | None:
    """A layup that stalls in the cold, with its clock running on where a check ended that."""
    floor = laid.layer.sheet.cure_min
    if told.stalled is None or floor is None:
        return None
    checks = layups.touch(laid.record.seen).checks
    ended = stall.ended_by(told.stalled, checks, laid.trace, floor)
    if ended is None:
        return None
    words = () if ended <= told.stalled else (_RUNS_ON,)
    sheet = replace(laid.layer.sheet, cold_max=inf)
    return replace(laid, layer=replace(laid.layer, sheet=sheet), flags=laid.flags + words)


def _forecasts(laid: Mapping[int, _Laid]) -> dict[int, tuple[Forecast, ColdAhead | None]]:
    """By place: what the clock says, and the cold ahead; those in one air are run together."""
    together = defaultdict(list)
    for place, one in laid.items():
        on_part = one.record.row.surface_mk is not None
        together[id(one.trace), one.record.bay.id, on_part].append(place)
    found: dict[int, tuple[Forecast, ColdAhead | None]] = {}
    for (_, _, on_part), places in together.items():
        first, layers = laid[places[0]], [laid[place].layer for place in places]
        bay = first.record.bay
        uncertainty = bay_air.uncertainty(bay, measured_on_part=on_part)
        told = forecasts(layers, first.trace, uncertainty)
        cold = colds_ahead(layers, first.trace, float(units.kelvin(bay.uncertainty_mk)))
        found.update(zip(places, zip(told, cold, strict=True), strict=True))
    return found


def _watch(laid: _Laid, told: Forecast, cold: ColdAhead | None, now: int) -> Watched:
    layer, touch = laid.layer, _touch(laid.record)
    found = by_hand(told.found, touch)
    shown = signs.signs(layer, found, told.stalled, touch, now)
    bare = shown
    if touch.finished is not None:
        bare = signs.signs(layer, found, told.stalled, replace(touch, finished=None), now)
    if touch.sandable is not None or touch.finished is not None or told.hard <= now:
        cold = None  # by a hand's word, or by the clock
    step = signs.next_step(
        layer,
        found,
        shown,
        now,
        structural=laid.record.row.job.structural != "no",
        touch=touch,
        cold=cold,
    )
    return Watched(
        record=laid.record,
        layer=layer,
        trace=laid.trace,
        found=found,
        window=window(found) if signs.TROUBLE.isdisjoint(shown) else None,
        cold_from=_stalls_from(told, cold),
        touch=touch,
        unsound=signs.unsound(bare, touch),
        signs=shown,
        step=step,
        flags=laid.flags + _odd_gel(layer, found["gel"]),
    )


def _stalls_from(told: Forecast, cold: ColdAhead | None) -> float | None:
    """When the cold that it stalls in begins; None where it does not stall."""
    return cold.cold_from if cold is not None and told.stalled is not None else told.stalled


def air_while_curing(watched: Watched, now: int) -> Trace | None:
    """What a layup cured in, from its first pot until it was cured in full, or now."""
    trace, full = watched.trace, watched.found.get("full_cure")
    start = watched.layer.started
    until = min(float(now), trace.end, full.at if full and full.at else trace.end)
    return trace.between(start, until) if until > start else None


def ground(row: tables.Layup, now: int) -> Ground:
    """A layup as what a next layer goes on: its window, and when it is hard enough to abrade.

    A hand that found it hard outranks the clock.

    Raises: UnsoundBelow: it is in trouble, so nothing is planned on it.
    """
    watched = watch(row, now)
    if watched.in_trouble:
        raise UnsoundBelow(
            f"Layup {row.id}, {row.title}, {watched.unsound}.",
            advice=watched.step.text,
            pointer="/after",
            layup=row.id,
        )
    opens, closes = watched.window or (inf, -inf)
    uncertainty = bay_air.uncertainty(watched.bay, measured_on_part=row.surface_mk is not None)
    covered = milestones(replace(watched.layer, cover="film"), watched.trace, uncertainty)
    stages = (covered["sandable"].latest, covered["full_cure"].latest)
    hard = next((at for at in (watched.touch.sandable, *stages) if at is not None), inf)
    return Ground(opens, closes, hard)


def show(watched: Watched) -> dict[str, Any]:
    """A layup for an answer; moments in epoch s."""
    row = watched.row
    return {
        "id": row.id,
        "job": row.job.number,
        "craft": row.job.craft,
        "title": row.title,
        "kind": row.kind,
        "bay": watched.bay.code,
        "product": row.product.code,
        "catalyst": row.catalyst.code if row.catalyst else None,
        "catalyst_percent": units.percent(row.percent_ppm),
        "batches": [pot.id for pot in watched.record.pots],
        "applied_at": row.applied_at,
        "finished_at": row.finished_at,
        "cover": row.cover or "none",
        "surface": watched.layer.surface,
        "over": row.over_id,
        "state": list(watched.signs),
        "milestones": {name: _show_milestone(m) for name, m in watched.found.items()},
        "window": None
        if watched.window is None
        else {"from": watched.window[0], "until": watched.window[1]},
        "next": {
            "action": watched.step.action,
            "text": watched.step.text,
            "at": watched.step.at,
            "cautions": list(watched.step.cautions),
        },
        "warnings": list(watched.flags),
        "cautions": [cautions.SIGN_OFF] if row.job.structural != "no" else [],
        "cure_revision": row.cure_sheet.revision,
        "observations": [_show_seen(row) for row in watched.seen],
        "closed_at": watched.closed_at,
        "who": row.who,
        "version": row.version,
    }


def dew_words(bay: tables.Bay, surface: float, at: int) -> list[str]:
    """The caution for a surface (K) too near the dew point, where humidity is known."""
    humid = layups.humidity_near(bay.id, at, bay.gap_max_s)
    if humid is None:
        return []
    dew = air.dew_point(humid.temperature_mk / 1000, (humid.humidity_ppm or 0) / 1e4)
    word = air.dew_caution(surface, dew)
    return [] if word is None else [word]


def _layer(record: LayupRecord) -> tuple[Layer, tuple[str, ...]]:
    row = record.row
    sheet = cure_sheets.kept(row.cure_sheet).sheet
    factor, flags = _factor(record)
    layer = Layer(
        sheet=sheet,
        law=cure_sheets.law_of(sheet),
        percent=_effective_percent(row, sheet),
        factor=factor,
        started=record.started,
        finished=row.finished_at,
        surface=surface_of(sheet.surface, row.effects.split()),
        cover=_cover(row),
        unsure=row.fillers,
    )
    return replace(layer, gelled_at=_gelled_at(record)), flags


def _odd_gel(layer: Layer, gel: Milestone) -> tuple[str, ...]:
    """A word on a gel that came far from its forecast: the mix is suspect."""
    if layer.gelled_at is None or gel.computed is None:
        return ()
    low, high = SEEN_RANGE
    share = (layer.gelled_at - layer.started) / (gel.computed - layer.started)
    if low <= share <= high:
        return ()
    return (
        f"It gelled at {share:.1f} of the time that was forecast: check the ratio and the "
        "temperature, and test a cup.",
    )


def _factor(record: LayupRecord) -> tuple[float, tuple[str, ...]]:
    """The slowest pot's factor; a cup test that came soon enough replaces an assumed 1."""
    tests = record.cup_tests
    if not tests:
        return record.row.factor_ppm / 1e6, ()
    slowest = max(tests.get(pot.id, pot).factor_ppm for pot in record.pots)
    return slowest / 1e6, tuple(
        f"The lot's factor of cup test {number}, made after mixing, replaces the assumed 1."
        for number in sorted({test.id for test in tests.values()})
    )


def _effective_percent(row: tables.Layup, sheet: CureSheet) -> float | None:
    if row.percent_ppm is None or sheet.mix.kind != "catalysed":
        return None
    return row.percent_ppm / 1e4 * strength_of(sheet, row.catalyst)


def _cover(row: tables.Layup) -> Cover:
    return row.cover or "none"  # type: ignore[return-value]  # one of COVERS by the interface


def _gelled_at(record: LayupRecord) -> float | None:
    """When a hand saw it gel: on the part, else in the cup of its first pot.

    The part found wet later, it was no gel.
    """
    wet = [place for place, o in enumerate(record.seen) if o.kind == "not_gelled"]
    last = record.seen[wet[-1]].at if wet else -1
    since = record.seen[wet[-1] + 1 :] if wet else record.seen
    moments = [o.at for o in since if o.kind == "gelled"]
    moments = moments or [at for at in record.cup_gels if at > last]
    return max(float(moments[0]), record.started + 1.0) if moments else None


def _trace(record: LayupRecord, air: bay_air.Air) -> Trace:
    """What a layup lies in: the air of its bays, at first the part's own temperature."""
    row, start = record.row, record.started
    trace = air.around([(start, row.bay), *record.moves])
    if row.surface_mk is None:
        return trace
    own = trace.between(start, min(start + bay_air.AHEAD_S, trace.end))
    return own.from_surface(row.surface_mk / 1000, float(row.bay.gap_max_s))


def _touch(record: LayupRecord) -> Touch:
    """What stands of hands' words; how it ended counts as long as it is watched all the same."""
    finished, ended = record.closed_at, record.ended_at
    return replace(
        layups.touch(record.seen),
        finished=finished,
        ended=ended if finished is None else None,
    )


def _show_seen(row: tables.LayupObservation) -> dict[str, Any]:
    """An observation: what, when, by whom."""
    return {
        "kind": row.kind,
        "at": row.at,
        "value": row.value,
        "note": row.note,
        "readings": json.loads(row.readings) if row.readings else None,
        "who": row.who,
        "verified": row.verified,
        "recorded_at": row.recorded_at,
    }


def _show_milestone(milestone: Milestone) -> dict[str, Any]:
    if milestone.at is None:
        return {"at": None, "why": milestone.why}
    shown = {
        "at": milestone.at,
        "earliest": milestone.earliest,
        "latest": milestone.latest,
        "basis": milestone.basis,
    }
    return shown if milestone.computed is None else {**shown, "computed": milestone.computed}
