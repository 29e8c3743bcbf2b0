"""Mix a pot: dose it, draw it, record it, in one transaction; the answer is the mix card."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from decimal import Decimal
from math import ceil, floor
from typing import Any

from ...core.amounts.quantities import MASS, Given
from ...core.amounts.views import Code
from ...core.errors import Invalid
from ...core.frozen import frozen
from ...core.pots.pot import Dose
from ...core.words import Text, as_plain
from ...store.cure import pots
from ...store.cure.pots import Batch
from ...store.engine import turns
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.products import Product
from ...store.stock.jobs import Job
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..cure import authority, binders, gates, one_lot, wax
from ..products import cure_sheets
from ..stock.choose import Booking, Chosen, amount_of, choose, choose_from
from ..stock.draw import carry_out
from ..yard import conversions, finding, moments, permissions
from . import added as fillers
from . import card, dose_words, under_bag
from . import promoter as promoters
from . import putty as putties
from .added import Added
from .card import BatchView
from .dose import DoseView, show_dose
from .look_up import Asked, look_up
from .parts import PartView, planned_parts
from .promoter import Promoter, PromoterView
from .putty import PuttyView
from .work_out import work_out


@dataclass(frozen=True, kw_only=True)
class NewPot:
    """A pot to mix for a job.

    Attributes:
        amount: of resin. temperature: of the resin, K. bay: that the part will lie in.
        target_gel: wanted gel time, s, or `catalyst_percent`. mixing: time to stir it, s.
        resin_lot, catalyst_lot: ids; without them first expired goes first out.
        bag: the times of `laying`, `bagging` and `pumping`, s, where it goes under a bag.
        fillers: each a `product` with a `quantity` or a `consistency`, stirred in.
        promoter: a `product` and a `quantity`, stirred into the resin before the catalyst.
        mixed_at: epoch s; now when it is not said.
        override: a `reason` to use lots that would be refused.
    """

    resin: str
    amount: Given
    job: str
    catalyst: str | None = None
    temperature: Decimal | None = None
    bay: str | None = None
    target_gel: Decimal | None = None
    catalyst_percent: Decimal | None = None
    mixing: Decimal | None = None
    resin_lot: int | None = None
    catalyst_lot: int | None = None
    bag: Mapping[str, Decimal] | None = None
    fillers: Sequence[Mapping[str, Any]] = ()
    promoter: Mapping[str, Any] | None = None
    mixed_at: int | None = None
    override: Mapping[str, str] | None = None


@frozen
class _Plans:
    """The planned draws of a pot, those of fillers and additives in the order of the request."""

    resin: Chosen
    promoter: list[Chosen]
    catalyst: Chosen | None
    added: list[Chosen]

    @property
    def all(self) -> list[Chosen]:
        """All of them, in the order in which they go into the pot."""
        catalyst = [] if self.catalyst is None else [self.catalyst]
        return [self.resin, *self.promoter, *catalyst, *self.added]


@frozen
class _Ready:
    """A pot that can be mixed; a lead set aside the gates `stopped`, and that it is `short`."""

    pot: Asked
    dose: Dose
    job: Job
    booking: Booking
    stopped: Any
    short: str | None
    plans: _Plans
    told: DoseView
    promoter: PromoterView | None
    putty: PuttyView | None


@frozen
class WeighedView(DoseView):
    """What is to be weighed for a pot that is not mixed yet."""

    job: Code
    parts: list[PartView]
    promoter: PromoterView | None
    putty: PuttyView | None
    caution_before: str


def mix(*, now: int, hand: Hand, **asked: Any) -> BatchView:
    """Mix a pot for a job. The arguments are those of `NewPot`.

    Raises:
        As `look_up`, `dosing.dose`, `draw.draw`, `under_bag.check` and, where the yard's profile
        holds pots back, `gates.check_pot`; then nothing is drawn.
    """
    with writing(Turn.BESIDE):
        ready = _ready(NewPot(**asked), now, hand)
        plans, booking = ready.plans, ready.booking
        told = asdict(ready.told) | {
            "promoter": ready.promoter and asdict(ready.promoter),
            "putty": ready.putty and asdict(ready.putty),
        }
        batch = _record(ready.pot, ready.dose, ready.job, booking, plans, told)
        gates.record(ready.stopped, batch, booking.override or "", now, hand)
        under_bag.record(ready.short, batch, booking.override or "", now, hand)
        return _draw(batch, plans, replace(booking, batch=batch.id))


def to_weigh(*, now: int, hand: Hand, **asked: Any) -> WeighedView:
    """What `mix` would have a hand weigh now; nothing is drawn, and nothing is kept.

    Raises: as `mix`.
    """
    ready = _ready(NewPot(**asked), now, hand)
    lines = [line for planned in ready.plans.all for line in planned.lines]
    parts = planned_parts(ready.told.catalyst, lines)
    return WeighedView(
        **vars(ready.told),
        job=ready.job.number,
        parts=parts,
        promoter=ready.promoter,
        putty=ready.putty,
        caution_before=dose_words.caution_before(ready.pot),
    )


def _ready(new: NewPot, now: int, hand: Hand) -> _Ready:
    """A pot that can be mixed: dosed, its lots chosen, its card written."""
    at = moments.happened(new.mixed_at, now, "/mixed_at", by=hand)
    job = finding.open_job(new.job, "/job")
    if turns.by_rows():
        turns.lock_jobs([job.id])
        turns.lock_stock(_named(new))
    reason = permissions.reason_of(new.override, hand)
    booking = Booking("draw", at, now, hand, job, override=reason)
    stopped = gates.check_pot(job, at, new.bay, reason)
    added = fillers.read(new.fillers)
    resin = _plan_resin(new, booking)
    pot = _look_up(new, job, added, resin, booking)
    fillers.check(pot, added)
    promoter = promoters.read(new.promoter, pot.resin, pot.sheet)
    dose = work_out(pot, new.target_gel, new.catalyst_percent, new.mixing)
    added, putty = putties.weigh(pot, dose, added)
    short = under_bag.check(pot, dose, new.bag, reason)
    resin.warnings += gates.words(stopped)
    catalyst = _plan_catalyst(new, pot, dose, booking)
    stirred_in = [choose(item.product, item.quantity, booking) for item in added]
    first = [choose(promoter.product, promoter.quantity, booking)] if promoter else []
    plans = _Plans(resin, first, catalyst, stirred_in)
    told = under_bag.told(_told(pot, dose, promoter, plans, job), dose, new.bag)
    told = replace(told, warnings=told.warnings + putties.words(putty))
    taken, first_in = _as_taken(pot, added, plans), promoters.show(promoter)
    return _Ready(taken, dose, job, booking, stopped, short, plans, told, first_in, putty)


def _named(new: NewPot) -> list[str]:
    """The codes of all products that may be drawn for a pot."""
    promoter = [new.promoter] if new.promoter else []
    codes = [new.resin, *(item["product"] for item in (*new.fillers, *promoter))]
    return codes + ([new.catalyst] if new.catalyst else cure_sheets.partners(new.resin))


def _look_up(
    new: NewPot, job: Job, added: Sequence[Added], resin: Chosen, booking: Booking
) -> Asked:
    return look_up(
        resin=new.resin,
        amount=new.amount,
        at=booking.at,
        now=booking.now,
        catalyst=new.catalyst,
        temperature=new.temperature,
        bay=new.bay,
        job=job,
        filled=any(not item.counts_as_resin for item in added),
        resin_lot=resin.lines[0].lot,
        added_mg=sum(item.mass for item in added if item.counts_as_resin),
        effects=tuple(effect for item in added for effect in item.effects),
    )


def _plan_resin(new: NewPot, booking: Booking) -> Chosen:
    product = finding.product(new.resin, "/resin")
    amount_of(product, new.amount, "/amount")
    if new.resin_lot is None:
        planned = choose(product, new.amount, booking)
    else:
        lot = _lot_of(product, new.resin_lot, "/resin_lot")
        planned = choose_from(lot, new.amount, booking)
    if len(planned.lines) > 1:
        planned.warnings.append(
            "Two lots of resin in one pot: use gel coat and colour of one lot on a face."
        )
    return planned


def _plan_catalyst(new: NewPot, pot: Asked, dose: Dose, booking: Booking) -> Chosen | None:
    if pot.catalyst is None or not dose.mass:
        return None
    dosed = Given(Decimal(dose.mass), MASS, f"{dose.mass / 1000:g} g")
    if new.catalyst_lot is None:
        return choose(pot.catalyst, dosed, booking)
    return choose_from(_lot_of(pot.catalyst, new.catalyst_lot, "/catalyst_lot"), dosed, booking)


def _lot_of(product: Product, lot: int, pointer: str) -> Lot:
    row = finding.lot(lot, pointer)
    if row.product_id != product.id:
        raise Invalid(
            f"Lot {row.number} is {row.product.code}, not {product.code}.",
            advice=f"Name a lot of {product.code}.",
            pointer=pointer,
        )
    return row


def _told(pot: Asked, dose: Dose, promoter: Promoter | None, plans: _Plans, job: Job) -> DoseView:
    """The dose as the hand is told it, with all that is to be said of the pot."""
    shown = show_dose(pot, dose)
    words: list[Text] = [*promoters.words(promoter, pot.resin, pot.sheet)]
    words += [] if pot.filled else binders.words_of_job(job, pot.resin)
    words += wax.on_last_layer(job, pot.at)
    words += authority.unasked_words(job) + authority.pot_words(job, pot.now)
    words += [word for planned in plans.all for word in planned.warnings]
    words += one_lot.of_pot(job, [line.lot for planned in plans.all for line in planned.lines])
    return replace(shown, warnings=shown.warnings + words)


def _as_taken(pot: Asked, added: Sequence[Added], plans: _Plans) -> Asked:
    """A pot with the resin that is drawn for it, which may be the rest of a lot."""
    pairs = zip(plans.added, added, strict=True)
    as_resin = [planned for planned, item in pairs if item.counts_as_resin]
    missed = sum(planned.missed for planned in (plans.resin, *as_resin))
    return replace(pot, resin_mg=pot.resin_mg + missed)


def _record(
    pot: Asked, dose: Dose, job: Job, booking: Booking, plans: _Plans, told: dict[str, Any]
) -> Batch:
    catalyst = plans.catalyst
    return pots.add(
        now=booking.now,
        hand=booking.hand,
        job_id=job.id,
        resin_lot_id=plans.resin.lines[0].lot.id,
        catalyst_lot_id=catalyst.lines[0].lot.id if catalyst else None,
        cure_sheet_id=pot.kept.id,
        resin_mg=pot.resin_mg,
        catalyst_mg=dose.mass + catalyst.missed if catalyst and dose.mass else dose.mass,
        catalyst_ul=dose.volume,
        percent_ppm=conversions.ppm(dose.percent_as_measured),
        temperature_mk=conversions.milli(pot.heat.temperature),
        temperature_basis=pot.heat.basis,
        factor_ppm=round(pot.factor * 1e6),
        cup_test_id=pot.cup_test.id if pot.cup_test else None,
        gel_s=round(dose.gel.time),
        gel_earliest_s=floor(dose.gel.earliest),
        gel_latest_s=ceil(dose.gel.latest),
        filled=pot.filled,
        answer=json.dumps(told, default=as_plain),
        mixed_at=booking.at,
    )


def _draw(batch: Batch, plans: _Plans, booking: Booking) -> BatchView:
    """Draw what was planned; the answer has the warnings of the drawing itself as well."""
    drawn = [replace(planned, warnings=[]) for planned in plans.all]
    lines = [line for planned in drawn for line in carry_out(planned, booking)]
    words = [word for planned in drawn for word in planned.warnings]
    return card.show_batch(batch, lines, words, first_today=card.is_first_today(batch))
