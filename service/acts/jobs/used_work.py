"""The pots and layups of a job: their materials, temperatures, and what hands saw of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Annotated

from ...core.amounts.quantities import DOSE_MASS, SIZE, TEMPERATURE
from ...core.amounts.views import Code, Moment, OneOf, Says, Stock, View
from ...core.cure.compatibility import FACES
from ...core.cure.recoat import Stand
from ...core.cure.signs import Sign
from ...core.frozen import frozen
from ...core.words import Text
from ...store import bays
from ...store.cure import layups, pots
from ...store.cure.layups import Layup
from ...store.cure.pots import Batch, BatchObservation
from ...store.stock.jobs import Job
from ...store.stock.lines import Movement
from ..bays.air import WarmthView, temperatures
from ..cure import bonding, watch
from ..cure.milestone_views import MilestonesView, WindowView
from ..cure.show import PostCuredView, SeenView, show_layup
from ..cure.watch import Watched
from ..pots.card import PotSeenView, show_seen
from ..products.stuff import kind_of
from ..yard import conversions


@frozen
class PotDraw(View):
    """So much of a lot that went into a pot."""

    lot: int
    number: Code
    container: str
    product: Code
    quantity: Stock


@frozen
class UsedPot(View):
    """A pot that was mixed."""

    id: int
    resin: Code
    amount: Annotated[int, DOSE_MASS]
    catalyst: Code | None
    catalyst_mass: Annotated[int, DOSE_MASS] | None
    catalyst_percent: Decimal | None
    temperature: Annotated[Decimal, TEMPERATURE]
    temperature_basis: str
    factor: float
    cup_test: int | None
    draws: list[PotDraw]
    observations: list[PotSeenView]
    mixed_at: Moment
    who: str
    verified: bool


@frozen
class BondView(View):
    """The layer below a layup: its recoat window then, the preparation, and when it was sanded."""

    layup: int
    title: str
    stand: Stand
    wanted: list[str]
    sanded_at: Moment | None
    warning: str | None


@frozen
class UsedLayup(View):
    """A layup, and how warm it was until it was cured in full, or until now."""

    id: int
    title: str
    kind: str
    product: Code
    catalyst_percent: Decimal | None
    bay: Code
    batches: list[int]
    applied_at: Moment
    finished_at: Moment
    surface_temperature: Annotated[Decimal, TEMPERATURE] | None
    humidity_percent: Decimal | None
    thickness: Annotated[int, SIZE] | None
    cover: str
    over: int | None
    over_surface: Annotated[str | None, OneOf(FACES)]
    bond: BondView | None
    cured: WarmthView | None
    sign: Annotated[Sign, Says("The one of its states that counts most.")]
    milestones: MilestonesView
    window: WindowView | None
    observations: list[SeenView]
    warnings: list[Text]
    post_cure: PostCuredView | None
    closed_at: Moment | None
    closed_reason: str | None
    who: str
    verified: bool


@frozen
class Work:
    """A job's pots that were mixed and the observations of each; its layups, and those below."""

    pots: Sequence[Batch]
    seen: dict[int, list[BatchObservation]]
    laid: Sequence[Watched]
    below: dict[int, Watched]


def of_job(job: Job, now: int) -> Work:
    """Gather a job's work; the number of queries does not grow with it."""
    mixed = pots.of_job(job.id)
    seen = pots.observations_of_batches([pot.id for pot in mixed])
    mixed = [pot for pot in mixed if "not_mixed" not in {each.kind for each in seen[pot.id]}]
    laid = layups.of_job(job.id)
    elsewhere = {row.over_id for row in laid if row.over_id} - {row.id for row in laid}
    lower = layups.layups(elsewhere)
    watched = watch.watch_all([*laid, *lower], now)
    return Work(mixed, seen, watched[: len(laid)], {each.row.id: each for each in watched})


def show_pots(work: Work, lines: Iterable[Movement]) -> list[UsedPot]:
    """Each pot with the stock that was drawn for it.

    Args:
        lines: those of the ledger that were not reversed.
    """
    drawn = defaultdict(list)
    for line in lines:
        drawn[line.batch_id].append(line)
    return [_pot(pot, drawn[pot.id], work.seen[pot.id]) for pot in work.pots]


def show_layups(work: Work, now: int) -> list[UsedLayup]:
    """Each layup, the first laid first."""
    humid = _humidities([each.row for each in work.laid])
    return [_layup(each, work, humid[each.row.id], now) for each in work.laid]


def _humidities(rows: Sequence[Layup]) -> dict[int, Decimal | None]:
    """Layup's id → the humidity in percent last measured in its bay when it was laid.

    None where that was longer before than the bay's gap. A bay's readings are read once.
    """
    by_bay: dict[int, list[Layup]] = defaultdict(list)
    for row in rows:
        by_bay[row.bay_id].append(row)
    found: dict[int, Decimal | None] = {}
    for laid in by_bay.values():
        gap, moments = laid[0].bay.gap_max_s, [row.applied_at for row in laid]
        read = bays.readings(laid[0].bay_id, min(moments) - gap, max(moments))
        known = [(each.at, each.humidity_ppm) for each in read if each.humidity_ppm is not None]
        for row in laid:
            near = [ppm for at, ppm in known if row.applied_at - gap <= at <= row.applied_at]
            found[row.id] = conversions.percent(near[-1] if near else None)
    return found


def _pot(pot: Batch, lines: Iterable[Movement], seen: Iterable[BatchObservation]) -> UsedPot:
    return UsedPot(
        id=pot.id,
        resin=pot.resin_lot.product.code,
        amount=pot.resin_mg,
        catalyst=pot.catalyst_lot.product.code if pot.catalyst_lot else None,
        catalyst_mass=pot.catalyst_mg,
        catalyst_percent=conversions.percent(pot.percent_ppm),
        temperature=conversions.kelvin(pot.temperature_mk),
        temperature_basis=pot.temperature_basis,
        factor=pot.factor_ppm / 1e6,
        cup_test=pot.cup_test_id,
        draws=[_draw(line) for line in lines],
        observations=[show_seen(row) for row in seen],
        mixed_at=pot.mixed_at,
        who=pot.who,
        verified=pot.verified,
    )


def _draw(line: Movement) -> PotDraw:
    lot = line.lot
    quantity = (-line.amount, kind_of(lot.product))
    return PotDraw(lot.id, lot.number, lot.container, lot.product.code, quantity)


def _layup(watched: Watched, work: Work, humidity: Decimal | None, now: int) -> UsedLayup:
    row, shown = watched.row, show_layup(watched)
    air = watch.air_while_curing(watched, now)
    return UsedLayup(
        id=row.id,
        title=row.title,
        kind=row.kind,
        product=shown.product,
        catalyst_percent=shown.catalyst_percent,
        bay=shown.bay,
        batches=shown.batches,
        applied_at=row.applied_at,
        finished_at=row.finished_at,
        surface_temperature=None if row.surface_mk is None else conversions.kelvin(row.surface_mk),
        humidity_percent=humidity,
        thickness=row.thickness_um,
        cover=shown.cover,
        over=row.over_id,
        over_surface=row.over_surface,
        bond=_bond(work.below.get(row.over_id or 0), row),
        cured=None if air is None else temperatures(air),
        sign=shown.sign,
        milestones=shown.milestones,
        window=shown.window,
        observations=shown.observations,
        warnings=shown.warnings,
        post_cure=shown.post_cure,
        closed_at=shown.closed_at,
        closed_reason=row.closed_reason,
        who=row.who,
        verified=row.verified,
    )


def _bond(below: Watched | None, row: Layup) -> BondView | None:
    """The layer below as it was when the layup was laid on it, by all that is known now."""
    if below is None:
        return None
    bond = bonding.bond(below, row, row.applied_at)
    return BondView(
        layup=below.row.id,
        title=below.row.title,
        stand=bond.stand,
        wanted=list(bond.steps),
        sanded_at=bond.sanded_at,
        warning=bond.warning,
    )
