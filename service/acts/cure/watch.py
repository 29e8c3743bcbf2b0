"""Watch a layup: where it stands at a moment, from all that was known of it by then."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from math import inf
from typing import Any

from ...core.bays import dew_point as air
from ...core.bays.temperature import Trace
from ...core.cure import handing_over, post_cure, signs, stall
from ...core.cure.layer import LaidPot, Layer
from ...core.cure.milestones import Forecast, Milestone, PotForecast, forecasts, milestones, window
from ...core.cure.night import ColdAhead, colds_ahead
from ...core.cure.post_cure import PostCured
from ...core.cure.preparation import Cover, surface_of
from ...core.cure.scenarios import SEEN_RANGE
from ...core.cure.signs import NextStep, Sign
from ...core.cure.touch import Touch, by_hand
from ...core.errors import UnsoundBelow
from ...core.plan.steps import Ground
from ...core.products import cautions
from ...core.products.cure_sheet import CureSheet
from ...store import bays
from ...store.bays import Bay
from ...store.cure import layups
from ...store.cure.layup_records import LayupRecord, records
from ...store.cure.layups import Layup, LayupObservation
from ...store.cure.pots import Batch, BatchObservation
from ...store.products import Product
from ..bays import air as bay_air
from ..products import cure_sheets
from ..products.cure_sheet_views import show_post_cure
from ..products.cure_sheets import strength_of
from ..yard import conversions as units
from ..yard import moments
from ..yard.withdrawals import show_withdrawal
from . import laid_late, lies_on

_LAID_LATE = "is of a pot that must have gelled before it was laid"
_RUNS_ON = "It lay cold for too long and was checked after it was heated: its clock runs on."


@dataclass(frozen=True)
class Watched:
    """A layup at a moment.

    Attributes:
        record: what the store knows of it. trace: what it lies in, from its start or before.
        found: its milestones. window: that holds at both edges, or None.
        pots: when each of its pots gels; of one without pots, when the whole of it does.
        cold_from: since when it lies too cold, epoch s, where that ends its promises and no
            check has ended that; else None.
        touch: what stands of hands' words.
        unsound: why nothing may go on it, as what it is; None where it is sound.
        flags: words on what the answer rests on.
        post_cure: how much it has had of the one that its sheet asks for, or None.
    """

    record: LayupRecord
    layer: Layer
    trace: Trace
    found: dict[str, Milestone]
    pots: tuple[PotForecast, ...]
    window: tuple[float, float] | None
    cold_from: float | None
    touch: Touch
    unsound: str | None
    signs: tuple[Sign, ...]
    step: NextStep
    flags: tuple[str, ...]
    post_cure: PostCured | None

    @property
    def row(self) -> Layup:
        """Its row, with what that leads to."""
        return self.record.row

    @property
    def bay(self) -> Bay:
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
        cups = [pot.pot.cup_wet_at for pot in self.pots]
        looks = (self.touch.not_gelled, self.touch.ended, *cups)
        return next((at for at in looks if at is not None), None)

    @property
    def seen(self) -> tuple[LayupObservation, ...]:
        """What hands saw of it, oldest first."""
        return self.record.seen


def watch(row: Layup, now: int, as_known_at: int | None = None) -> Watched:
    """Work out a layup as of `now`.

    Args:
        as_known_at: only what was recorded by that moment counts, and it is the `now`: what
            a hand was told then.
    """
    return watch_all([row], now, as_known_at)[0]


def as_it_stood(row: Layup, at: int) -> Watched:
    """Work out a layup as of a moment that is past, by what hands had seen until then.

    It is judged as if it had never been covered, handed over or left.
    """
    (known,) = records([row])
    then = replace(
        known,
        seen=tuple(each for each in known.seen if each.at <= at),
        cups={pot: [o for o in looks if o.at <= at] for pot, looks in known.cups.items()},
        closed_at=None,
        ended_at=None,
    )
    return _watch_records([then], at)[0]


def watch_all(rows: Sequence[Layup], now: int, as_known_at: int | None = None) -> list[Watched]:
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
    air.read(bay for record in known for bay in record.bays)
    laid = {place: _laid(record, air) for place, record in enumerate(known)}
    told = _forecasts(laid, now)
    stalled = {place: _run_on(one, told[place][0]) for place, one in laid.items()}
    running = {place: one for place, one in stalled.items() if one is not None}
    laid, told = laid | running, told | _forecasts(running, now)
    clock = moments.clock_once()
    watched = [_watch(one, *told[place], now, clock) for place, one in laid.items()]
    return [_if_there(each) for each in watched]


@dataclass(frozen=True)
class _Laid:
    """A layup as something that cures: its layer and its trace, with words on what they rest on."""

    record: LayupRecord
    layer: Layer
    trace: Trace
    touch: Touch
    flags: tuple[str, ...]


def _laid(record: LayupRecord, air: bay_air.Air) -> _Laid:
    sheet = cure_sheets.kept(record.cure_sheet).sheet
    touch = _touch(record, sheet)
    layer, flags = _layer(record, sheet, touch)
    return _Laid(record, layer, _trace(record, air), touch, flags)


def _run_on(laid: _Laid, told: Forecast) -> _Laid | None:
    """A layup that stalls in the cold, with its clock running on where a check ended that."""
    floor = laid.layer.sheet.cure_min
    if told.stalled is None or floor is None:
        return None
    ended = stall.ended_by(told.stalled, laid.touch.checks, laid.trace, floor)
    if ended is None:
        return None
    words = () if ended <= told.stalled else (_RUNS_ON,)
    sheet = replace(laid.layer.sheet, cold_max=inf)
    return replace(laid, layer=replace(laid.layer, sheet=sheet), flags=laid.flags + words)


def _forecasts(laid: Mapping[int, _Laid], now: int) -> dict[int, tuple[Forecast, ColdAhead | None]]:
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
        own = float(units.kelvin(bay.uncertainty_mk))
        cold = colds_ahead(layers, first.trace, own, now)
        found.update(zip(places, zip(told, cold, strict=True), strict=True))
    return found


def _watch(
    laid: _Laid,
    told: Forecast,
    cold: ColdAhead | None,
    now: int,
    clock: Callable[[float], str],
) -> Watched:
    layer, touch = laid.layer, laid.touch
    found = by_hand(told.found, touch)
    shown = signs.signs(layer, found, told.stalled, touch, now, told.pots)
    bare = shown
    if touch.finished is not None:
        standing = replace(touch, finished=None)
        bare = signs.signs(layer, found, told.stalled, standing, now, told.pots)
    stalls_from = _stalls_from(told, cold)
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
        clock=clock,
    )
    late = () if touch.is_set else laid_late.words(laid.record)
    lies = lies_on.words(laid.record)
    stops = [*late, *(w for w in lies if w.startswith("Stop") and touch.sandable is None)]
    return Watched(
        record=laid.record,
        layer=layer,
        trace=laid.trace,
        found=found,
        pots=told.pots,
        window=window(found) if signs.TROUBLE.isdisjoint(shown) else None,
        cold_from=stalls_from,
        touch=touch,
        unsound=signs.unsound(bare, touch) or (_LAID_LATE if late else None),
        signs=shown,
        step=_stopped(step, stops),
        flags=laid.flags + _odd_gels(laid.record, told.pots) + lies + late,
        post_cure=_post_cured(laid, now),
    )


def _stopped(step: NextStep, stops: list[str]) -> NextStep:
    """What to do first where a pot was laid too late, or what it lies on is a stop.

    The one holds until a hand found it set, the other until one found it hard all the same.
    """
    if not stops or step.action == "none":
        return step
    text = " ".join([*stops, "Probe it before anything more goes on."])
    return replace(step, action="probe", text=text)


def _post_cured(laid: _Laid, now: int) -> PostCured | None:
    """What it has had of its post-cure, from its end of application until it was handed over.

    Its trace ends `bay_air.AHEAD_S` after it was begun: heat later than that is not counted.
    """
    wanted = laid.layer.sheet.post_cure
    if wanted is None:
        return None
    gone = [seen.at for seen in laid.record.seen if seen.kind == "handed_over"]
    start, until = laid.layer.finished, min(float(now), laid.trace.end, *gone)
    return post_cure.had(wanted, laid.trace.between(start, until) if until > start else None)


def _if_there(watched: Watched) -> Watched:
    """A layup as it was worked out; of one that was taken back or off there is nothing to await."""
    if watched.record.withdrawn is not None:
        gone = _gone(watched, "not-laid")
        return replace(gone, signs=("not_laid",), step=NextStep("none", "It was not laid."))
    return watched if watched.touch.scraped_off is None else _gone(watched, "scraped-off")


def _gone(watched: Watched, why: str) -> Watched:
    return replace(
        watched,
        found=dict.fromkeys(watched.found, Milestone(None, why=why)),
        window=None,
        cold_from=None,
        flags=(),
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


def ground(row: Layup, now: int) -> Ground:
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
    return ground_of(watched)


def ground_of(watched: Watched) -> Ground:
    """As `ground`, of a layup that was worked out, in trouble or not."""
    on_part = watched.row.surface_mk is not None
    opens, closes = watched.window or (inf, -inf)
    uncertainty = bay_air.uncertainty(watched.bay, measured_on_part=on_part)
    covered = milestones(replace(watched.layer, cover="film"), watched.trace, uncertainty)
    stages = (covered["sandable"].latest, covered["full_cure"].latest)
    hard = next((at for at in (watched.touch.sandable, *stages) if at is not None), inf)
    return Ground(opens, closes, hard)


def show(watched: Watched) -> dict[str, Any]:
    """A layup for an answer; moments in epoch s."""
    row, withdrawn = watched.row, watched.record.withdrawn
    return {
        "id": row.id,
        "job": row.job.number,
        "craft": row.job.craft,
        "title": row.title,
        "kind": row.kind,
        "bay": watched.bay.code,
        "product": row.product.code,
        "catalyst": row.catalyst.code if row.catalyst else None,
        "catalyst_percent": _shared_percent(watched.record),
        "batches": [pot.id for pot in watched.record.pots],
        "pots": _show_pots(watched),
        "applied_at": row.applied_at,
        "finished_at": row.finished_at,
        "cover": row.cover or "none",
        "surface": watched.layer.surface,
        "over": row.over_id,
        "over_surface": row.over_surface,
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
        "post_cure": show_post_cured(watched.post_cure),
        "cure_revision": watched.record.cure_sheet.revision,
        "observations": [_show_seen(row) for row in watched.seen],
        "taken_back": [
            {**_show_seen(row), "withdrawn": show_withdrawal(how)}
            for row, how in watched.record.taken_back
        ],
        "withdrawn": None if withdrawn is None else show_withdrawal(withdrawn),
        "closed_at": watched.closed_at,
        "who": row.who,
        "version": row.version,
    }


def show_post_cured(had: PostCured | None) -> dict[str, Any] | None:
    """How much of its post-cure a layup has had; None where its sheet asks for none."""
    if had is None:
        return None
    return {
        **vars(show_post_cure(had.wanted)),
        "measured": had.measured,
        "done": had.done_at is not None,
        "done_at": had.done_at,
    }


def dew_words(bay: Bay, surface: float, at: int) -> list[str]:
    """The caution for a surface (K) too near the dew point, where humidity is known."""
    humid = bays.humidity_near(bay.id, at, bay.gap_max_s)
    if humid is None:
        return []
    dew = air.dew_point(humid.temperature_mk / 1000, (humid.humidity_ppm or 0) / 1e4)
    word = air.dew_caution(surface, dew)
    return [] if word is None else [word]


def _layer(record: LayupRecord, sheet: CureSheet, touch: Touch) -> tuple[Layer, tuple[str, ...]]:
    row = record.row
    pots = tuple(_pot(pot, record, sheet, touch) for pot in record.pots)
    layer = Layer(
        sheet=sheet,
        law=cure_sheets.law_of(sheet),
        pots=pots or (_unmixed(record, sheet),),
        finished=row.finished_at,
        surface=surface_of(sheet.surface, row.effects.split()),
        cover=_cover(row),
    )
    return layer, tuple(
        f"The lot's factor of cup test {number}, made after mixing, replaces the assumed 1."
        for number in sorted({test.id for test in record.cup_tests.values()})
    )


def _pot(pot: Batch, record: LayupRecord, sheet: CureSheet, touch: Touch) -> LaidPot:
    """A pot in its layup; a cup test that came soon enough replaces its assumed factor."""
    lot = pot.catalyst_lot
    looks = record.cups.get(pot.id, ())
    return LaidPot(
        percent=_effective(pot.percent_ppm, lot.product if lot else record.row.catalyst, sheet),
        factor=record.cup_tests.get(pot.id, pot).factor_ppm / 1e6,
        mixed_at=pot.mixed_at,
        unsure=pot.filled,
        gelled_at=_gelled_at(record.seen, pot.mixed_at),
        wet_at=touch.not_gelled,
        cup_gelled_at=_gelled_at(looks, pot.mixed_at),
        cup_wet_at=max((float(o.at) for o in looks if o.kind == "not_gelled"), default=None),
    )


def _unmixed(record: LayupRecord, sheet: CureSheet) -> LaidPot:
    """What was laid without a pot of the yard: it is as it was said, and begins when laid."""
    row, started = record.row, record.started
    percent = _effective(row.stated_percent_ppm, row.catalyst, sheet)
    return LaidPot(percent, 1.0, started, gelled_at=_gelled_at(record.seen, started))


def _gelled_at(looks: Sequence[LayupObservation | BatchObservation], mixed_at: int) -> float | None:
    """When a hand saw it gelled, first after a pot was mixed; at the same second, the next.

    Found wet later, it was no gel.
    """
    wet = max((place for place, o in enumerate(looks) if o.kind == "not_gelled"), default=-1)
    gelled = (o.at for o in looks[wet + 1 :] if o.kind == "gelled")
    found = min((at for at in gelled if at >= mixed_at), default=None)
    return None if found is None else max(float(found), mixed_at + 1.0)


def _effective(percent_ppm: int | None, catalyst: Product | None, sheet: CureSheet) -> float | None:
    """A percent as of the peroxide that the sheet was written for."""
    if percent_ppm is None or sheet.mix.kind != "catalysed":
        return None
    return percent_ppm / 1e4 * strength_of(sheet, catalyst)


def _odd_gels(record: LayupRecord, pots: Sequence[PotForecast]) -> tuple[str, ...]:
    """Words on gels that came far from their forecast: the mix is suspect."""
    several = len(record.pots) > 1
    names = [f"Pot {pot.id}" for pot in record.pots] if several else ["It"]
    return tuple(word for pair in zip(names, pots, strict=True) for word in _odd_gel(*pair))


def _odd_gel(name: str, pot: PotForecast) -> tuple[str, ...]:
    gel = pot.on_part if pot.pot.gelled_at is not None else pot.gel
    if gel.at is None or gel.computed is None:
        return ()
    low, high = SEEN_RANGE
    share = (gel.at - pot.pot.mixed_at) / (gel.computed - pot.pot.mixed_at)
    if low <= share <= high:
        return ()
    check = "check the ratio and the temperature, and test a cup."
    if share < low:
        return (f"{name} gelled at {share:.1f} of the time that was forecast: {check}",)
    return (
        f"{name} was seen gelled at {share:.1f} of the time that was forecast, at most. "
        f"If it was wet until then, {check}",
    )


def _cover(row: Layup) -> Cover:
    return row.cover or "none"  # type: ignore[return-value]  # one of COVERS by the interface


def _trace(record: LayupRecord, air: bay_air.Air) -> Trace:
    """What a layup lies in: the air of its bays, at first the part's own temperature."""
    row, start = record.row, record.started
    trace = air.around([(start, row.bay), *record.moves])
    if row.surface_mk is None:
        return trace
    own = trace.between(start, min(start + bay_air.AHEAD_S, trace.end))
    settling = float(row.bay.gap_max_s)
    return own.from_surface(row.surface_mk / 1000, settling, since=row.applied_at)


def _touch(record: LayupRecord, sheet: CureSheet) -> Touch:
    """What stands of hands' words; how it ended counts as long as it is watched all the same."""
    finished, ended = record.closed_at, record.ended_at
    hard_from = handing_over.hard_from(sheet.barcol_min, record.row.product.chemistry)
    return replace(
        layups.touch(record.seen, hard_from),
        finished=finished,
        ended=ended if finished is None else None,
    )


def _shared_percent(record: LayupRecord) -> Decimal | None:
    """The percent of all of it; None where its pots differ, or nothing was dosed."""
    if not record.pots:
        return units.percent(record.row.stated_percent_ppm)
    percents = {pot.percent_ppm for pot in record.pots}
    return units.percent(record.pots[0].percent_ppm) if len(percents) == 1 else None


def _show_pots(watched: Watched) -> list[dict[str, Any]]:
    """What is known of each pot in its layup, and when it gels there."""
    record, wet_at = watched.record, watched.touch.not_gelled
    if not record.pots:
        return []
    tested = {pot.id: pot.cup_test_id for pot in record.pots}
    tested |= {pot: test.id for pot, test in record.cup_tests.items()}
    pairs = zip(record.pots, watched.pots, strict=True)
    return [_show_pot(row, told, tested[row.id], wet_at) for row, told in pairs]


def _show_pot(
    row: Batch, told: PotForecast, test: int | None, wet_at: float | None
) -> dict[str, Any]:
    return {
        "batch": row.id,
        "catalyst": row.catalyst_lot.product.code if row.catalyst_lot else None,
        "catalyst_percent": units.percent(row.percent_ppm),
        "factor": told.pot.factor,
        "factor_basis": "assumed" if test is None else f"cup test {test}",
        "filled": row.filled,
        "mixed_at": row.mixed_at,
        "gel": _show_milestone(told.gel),
        "film": _show_milestone(told.film),
        "state": "gelled" if told.seen else told.lateness(wet_at) or "forecast",
    }


def _show_seen(row: LayupObservation) -> dict[str, Any]:
    """An observation: what, when, by whom."""
    return {
        "id": row.id,
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
    more = {"computed": milestone.computed, "note": milestone.note}
    return shown | {name: value for name, value in more.items() if value is not None}
