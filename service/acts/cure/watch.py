"""Watch a layup: its milestones, signs and next step at a moment, by all that was known by then.

`gather` makes a layer of its records, `forecast` runs the clock, and `show` words the answer.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import inf

from ...core.bays.temperature import Trace
from ...core.cure import moisture_forecast, moisture_step, post_cure, recoat, signs
from ...core.cure.bag import Bag
from ...core.cure.bag import hold_until as bag_hold
from ...core.cure.clocks import Doubt
from ...core.cure.forecast import PotForecast, milestones
from ...core.cure.layer import Layer
from ...core.cure.milestones import NOT_ON_SHEET, Milestone
from ...core.cure.moisture_forecast import ByMoisture
from ...core.cure.next_step import NextStep, next_step
from ...core.cure.post_cure import PostCured, Probe
from ...core.cure.recoat import Stand, window
from ...core.cure.signs import Sign
from ...core.cure.touch import Touch, by_hand
from ...core.cure.turns import Turn, turns
from ...core.errors import UnsoundBelow
from ...core.frozen import frozen
from ...core.plan.steps import Ground
from ...core.words import Text
from ...store.bays import Bay
from ...store.cure import layups
from ...store.cure.layup_records import LayupRecord, records
from ...store.cure.layups import Layup, LayupObservation
from ...store.engine.revisions import Memory, memory
from ..bays import air
from ..yard import moments
from . import laid_late, lies_on, proof, under_bag
from .forecast import Once, Outlook, odd_gels, odd_looks, outlooks
from .gather import Gathered, gather
from .proof import Asked, Proof

LEFT_SOFT = (
    "It was handed over, and found too soft since: tell whoever has it. It is not to be loaded, "
    "lifted or launched. Note a hardness again once it is hard, or scraped_off."
)
_LAID_LATE = "is of a pot that must have gelled before it was laid"
_ON_UNSOUND = "lies on a layer that was covered unsound"


@frozen
class Watched:
    """A layup at a moment.

    Attributes:
        record: its records in the store. trace: the temperatures around it.
        found: its milestones. window: the sure recoat window, or None. touch_window: the likely
            one, or None.
        pots: when each of its pots gels; of a layup without pots, when the whole of it does.
        cold_from: since when it lies too cold, epoch s, where that ends its promises and no
            check has ended that; else None.
        touch: what hands found.
        doubted: whether what hands saw of it is so unlikely that it must be said again.
        unsound: why nothing may go on it, as the end of a sentence; None where it is sound.
        flags: words on what the answer rests on.
        believed: what hands saw of it, without what counts for nothing until it is said again.
        post_cure: how much it has had of the one that its sheet asks for, or None.
        doubt: how well its temperature is known.
        now: the moment, epoch s.
        bag: the last vacuum bag that was on it, or None. hold: until when to hold that, epoch s;
            None where it is off, or where no hour is sure. off_too_soon: words, among the flags
            too, on a bag that came off before it should have; none where it did not.
        moisture: its cure by moisture, or None where it has a cure clock.
        proof: what a row may say of its cure. cured_by_clock: whether the clock alone would call
            it cured.
    """

    record: LayupRecord
    layer: Layer
    trace: Trace
    found: dict[str, Milestone]
    pots: tuple[PotForecast, ...]
    window: tuple[float, float] | None
    touch_window: tuple[float, float] | None
    cold_from: float | None
    touch: Touch
    doubted: bool
    unsound: str | None
    signs: tuple[Sign, ...]
    step: NextStep
    flags: tuple[Text, ...]
    believed: tuple[LayupObservation, ...]
    post_cure: PostCured | None
    doubt: Doubt
    now: float
    bag: Bag | None
    hold: float | None
    off_too_soon: tuple[str, ...]
    proof: Proof
    cured_by_clock: bool
    moisture: ByMoisture | None = None

    @property
    def row(self) -> Layup:
        """Its row, with the rows that it names."""
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
        stopped = self.step.action == "probe" or self.proof.left_soft
        return wet_when_ended or stopped or not signs.TROUBLE.isdisjoint(self.signs)

    @property
    def is_promised(self) -> bool:
        """Whether its milestones are promised: it is in no trouble, and nothing stops it."""
        return signs.TROUBLE.isdisjoint(self.signs) and self.step.action != "probe"

    @property
    def trouble_since(self) -> float | None:
        """Since when a hand knows of trouble other than the cold; epoch s, or None."""
        if signs.TROUBLE.isdisjoint(set(self.signs) - {"cold_stalled"}):
            return None
        cups = [pot.pot.cup_wet_at for pot in self.pots]
        looks = (self.touch.not_gelled, self.touch.ended, *cups)
        return next((at for at in looks if at is not None), None)

    @property
    def turns(self) -> list[Turn]:
        """The moments at which it changes, past and to come."""
        heated = None if self.post_cure is None else self.post_cure.ends(self.now)
        return turns(self.found, self.cold_from, self.trouble_since, self.hold, heated)

    @property
    def seen(self) -> tuple[LayupObservation, ...]:
        """What hands saw of it, oldest first."""
        return self.record.seen

    def recoat_stand(self, at: float) -> Stand:
        """Whether a moment (epoch s) is before, inside or past its recoat window."""
        return recoat.stand(self.found, at)


def watch(row: Layup, now: int, as_known_at: int | None = None) -> Watched:
    """Work out a layup as of `now`.

    Args:
        as_known_at: only records made by that moment count, and it is the `now`: the answer is
            the one that a hand got then.
    """
    return watch_all([row], now, as_known_at)[0]


def as_it_stood(row: Layup, at: int) -> Watched:
    """Work out a layup as of a past moment, by what hands had seen until then.

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
    return _watch_records([then], at, air.Logs())[0]


def before_the_last_word(rows: Sequence[Layup], now: int) -> list[Watched]:
    """Work out layups as if their last look and their end were not known: what these answered."""
    known = [
        replace(record, seen=record.seen[:-1], closed_at=None, ended_at=None, withdrawn=None)
        for record in records(rows)
    ]
    return _watch_records(known, now, air.Logs())


def watch_all(
    rows: Sequence[Layup],
    now: int,
    as_known_at: int | None = None,
) -> list[Watched]:
    """As `watch`, for many layups: what they share is read and worked out once.

    As known now, what does not move with the clock is kept until something is entered.
    """
    if as_known_at is not None:
        return _watch_records(records(rows, as_known_at), as_known_at, air.Logs(as_known_at))
    kept, which = memory(), tuple(row.id for row in rows)
    logs = air.logs_now()
    laid = kept.once(("laid", which), lambda: _gathered(records(rows), logs))
    return _watch_each(laid, now, logs, lambda name, work: kept.once((name, which), work))


def watch_open(now: int) -> list[Watched]:
    """As `watch_all`, for all layups that are watched."""
    return watch_all(memory().once("open layups", layups.open_layups), now)


def _watch_records(known: Sequence[LayupRecord], now: int, logs: air.Logs) -> list[Watched]:
    return _watch_each(_gathered(known, logs), now, logs, Memory().once)


def _gathered(known: Sequence[LayupRecord], logs: air.Logs) -> list[Gathered]:
    starts = [record.started for record in known]
    if not starts:
        return []
    around = air.Air(min(starts), max(starts) + air.AHEAD_S, logs)
    around.read(bay for record in known for bay in record.bays)
    return [gather(record, around) for record in known]


def _watch_each(laid: Sequence[Gathered], now: int, logs: air.Logs, once: Once) -> list[Watched]:
    clock, asked = moments.clock_once(), Asked()
    return [_if_there(_watch(each, now, clock, asked)) for each in outlooks(laid, now, logs, once)]


def _watch(outlook: Outlook, now: int, clock: Callable[[float], str], asked: Asked) -> Watched:
    laid, told = outlook.laid, outlook.forecast
    record, layer, touch = laid.record, laid.layer, laid.touch
    found, shown, bare, step = _judged(outlook, now, clock)
    believed = tuple(each for each in record.seen if each.id not in laid.left_out)
    late = () if touch.sandable is not None else laid_late.words(record)
    below, face = lies_on.unsettled(record), lies_on.on_face(record.row)
    bad = () if touch.sandable is not None else face
    stops = [*below, *late, *(word for word in bad if word.startswith("Stop"))]
    ground = below + face
    promised = signs.TROUBLE.isdisjoint(shown) and not stops
    heated = _post_cured(outlook, now)
    known = proof.of_laid(laid, believed, heated, asked)
    by_clock = found.get("full_cure", NOT_ON_SHEET).reached(now)
    if known.withheld:
        found = found | {"full_cure": Milestone(None, why="not-proven")}
    shown, step = _proven(shown, step, known)
    bag = under_bag.bag_on(record)
    until = bag_hold(found)
    too_soon = under_bag.off_too_soon(bag, until, touch.sandable)
    hold = until if promised and bag is not None and bag.is_on else None
    if bag is not None and bag.is_on:
        step = under_bag.step_under(step, hold, now)
    return Watched(
        record=record,
        layer=layer,
        trace=laid.trace,
        found=found,
        pots=told.pots,
        window=window(found) if promised else None,
        touch_window=recoat.touch_window(found) if promised else None,
        cold_from=outlook.stalls_from,
        touch=touch,
        doubted=laid.asked or (told.doubted and bool(record.seen)),
        unsound=signs.unsound(bare, touch) or _unsound_with(late, below),
        signs=shown,
        step=_stopped(step, stops),
        flags=(
            *laid.flags,
            *odd_looks(laid, told),
            *odd_gels(record, told.pots),
            *ground,
            *late,
            *(heated.faults() if heated is not None else ()),
            *(outlook.moist.words(clock) if outlook.moist is not None else ()),
            *too_soon,
        ),
        believed=believed,
        post_cure=heated,
        doubt=outlook.doubt,
        now=now,
        bag=bag,
        hold=hold,
        off_too_soon=too_soon,
        proof=known,
        cured_by_clock=by_clock,
        moisture=None if outlook.moist is None else outlook.moist.told,
    )


def _judged(
    outlook: Outlook, now: int, clock: Callable[[float], str]
) -> tuple[dict[str, Milestone], tuple[Sign, ...], tuple[Sign, ...], NextStep]:
    """A layup's milestones by hand, its signs, its signs as if it were still watched, its step."""
    layer, told, touch = outlook.laid.layer, outlook.forecast, outlook.laid.touch
    standing = replace(touch, finished=None)
    if outlook.moist is not None:
        found = moisture_forecast.by_hand(told.found, touch)
        shown, bare = (
            moisture_step.signs(found, each, layer.finished, now) for each in (touch, standing)
        )
        step = moisture_step.next_step(outlook.moist.told, found, shown, touch, now)
        return found, shown, bare, step
    found = by_hand(told.found, touch)
    shown, bare = (
        signs.signs(layer, found, told.stalled, each, now, told.pots) for each in (touch, standing)
    )
    is_hard = touch.sandable is not None or touch.finished is not None or told.hard <= now
    step = next_step(
        layer,
        found,
        shown,
        now,
        structural=outlook.laid.record.row.job.structural != "no",
        touch=touch,
        cold=None if is_hard else outlook.cold,
        clock=clock,
    )
    return found, shown, bare, step


def _proven(
    shown: tuple[Sign, ...], step: NextStep, known: Proof
) -> tuple[tuple[Sign, ...], NextStep]:
    """Its signs and step by what is known of its cure, beside the clock."""
    if known.withheld:
        shown = tuple(sign for sign in shown if sign != "handling_cure")
    if known.left_soft and "finished" not in shown:
        return (*shown, "unsettled"), NextStep("probe", LEFT_SOFT)
    return shown, step


def _unsound_with(late: Sequence[str], below: Sequence[str]) -> str | None:
    """Why nothing may go on a layup that is sound itself."""
    return _LAID_LATE if late else _ON_UNSOUND if below else None


def _stopped(step: NextStep, stops: list[str]) -> NextStep:
    """The next step, or first the stops: a pot laid too late, a face that nothing bonds to.

    Both hold until a hand found it hard all the same.
    """
    if not stops or step.action == "none":
        return step
    text = " ".join([*stops, "Probe it before anything more goes on."])
    return replace(step, action="probe", text=text)


def _post_cured(outlook: Outlook, now: int) -> PostCured | None:
    """Its post-cure so far, from the end of application until it was handed over.

    Its trace ends `air.AHEAD_S` after it was begun: heat later than that is not counted.
    """
    laid = outlook.laid
    wanted, own = laid.layer.sheet.post_cure, laid.record.probes
    if wanted is None:
        return None
    gone = [seen.at for seen in laid.record.seen if seen.kind == "handed_over"]
    start, until = laid.layer.finished, min(float(now), laid.trace.end, *gone)
    probes = [Probe(each.bay.code, each.on_part, each.bay.checked_on) for each in own]
    if until <= start:
        return post_cure.progress(wanted, None, probes=probes)
    found = [at for at in (laid.touch.sandable, outlook.forecast.hard) if at is not None]
    traces = [trace.between(start, until) for trace in laid.probed or (laid.trace,)]
    return post_cure.progress(wanted, traces, hard=min(found), probes=probes)


def _if_there(watched: Watched) -> Watched:
    """A layup as it is; one that was taken back or scraped off without its milestones."""
    if watched.record.withdrawn is not None:
        gone = _gone(watched, "not-laid")
        return replace(gone, signs=("not_laid",), step=NextStep("none", "It was not laid."))
    return watched if watched.touch.scraped_off is None else _gone(watched, "scraped-off")


def _gone(watched: Watched, why: str) -> Watched:
    return replace(
        watched,
        found=dict.fromkeys(watched.found, Milestone(None, why=why)),
        window=None,
        touch_window=None,
        cold_from=None,
        flags=(),
        bag=None,
        hold=None,
        off_too_soon=(),
    )


def air_while_curing(watched: Watched, now: int) -> Trace | None:
    """The temperatures around a layup from its first pot until full cure, or until now."""
    trace, full = watched.trace, watched.found.get("full_cure")
    start = watched.layer.started
    until = min(float(now), trace.end, full.at if full and full.at else trace.end)
    return trace.between(start, until) if until > start else None


def ground(row: Layup, now: int, *, by_touch: bool = False) -> Ground:
    """A layup as the ground of a next layer: its window, and when it is hard enough to abrade.

    Args:
        by_touch: whether its likely window counts, not its sure one.

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
    return ground_of(watched, by_touch=by_touch)


def ground_of(watched: Watched, *, by_touch: bool = False) -> Ground:
    """As `ground`, of a layup that was worked out, in trouble or not.

    A hand that found it hard counts before the clock.
    """
    if watched.moisture is not None:
        through = watched.found["through"].latest
        return Ground(inf, -inf, inf if through is None else through)
    held = watched.touch_window if by_touch else watched.window
    opens, closes = held or (inf, -inf)
    covered = milestones(replace(watched.layer, cover="film"), watched.trace, watched.doubt)
    stages = (covered["sandable"].latest, covered["full_cure"].latest)
    hard = next((at for at in (watched.touch.sandable, *stages) if at is not None), inf)
    return Ground(opens, closes, hard)
