"""Show a layup: the answer of every act on one."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from math import exp
from typing import Annotated, Literal

from ...core.amounts.quantities import PRESSURE, SIZE, TIME
from ...core.amounts.views import (
    At,
    Code,
    Moment,
    OneOf,
    Opening,
    Says,
    View,
)
from ...core.cure import wet_film
from ...core.cure.compatibility import FACES
from ...core.cure.forecast import PotForecast
from ...core.cure.layer import Cover
from ...core.cure.milestones import Milestone
from ...core.cure.next_step import Action
from ...core.cure.signs import Sign
from ...core.cure.standing import foremost
from ...core.frozen import frozen
from ...core.products import cautions
from ...core.products.cure_sheet import CureSheet, Surface
from ...core.products.gel_law import GelLaw
from ...core.products.hardness import CONDITIONS, USUAL, Condition, Face, Scale
from ...core.words import Text
from ...store.cure import layups
from ...store.cure.layup_records import LayupRecord
from ...store.cure.layups import LayupObservation
from ...store.cure.pots import Batch
from ...store.cure.probes import LayupProbe
from ...store.yard.withdrawals import Withdrawal
from ..products.cure_sheet_views import PostCureView, show_post_cure
from ..products.nature import natures_of
from ..products.pair_law import factor_basis
from ..yard import conversions
from ..yard.taken_back import WithdrawnView, show_withdrawal
from . import moisture
from .budget_views import BudgetView
from .do import DoView, do, seen_by_hand
from .milestone_views import (
    MilestoneEarly,
    MilestonesView,
    WindowView,
    show_milestone,
    show_milestones,
)
from .moisture import ByMoistureView
from .watch import Watched

KINDS = ("laminate", "coat", "bond", "pour")


@frozen
class LaidPotView(View):
    """A pot in its layup; it is `late` or `suspect` where something was seen wet past its time."""

    batch: int
    catalyst: Code | None
    catalyst_percent: Decimal | None
    factor: float
    factor_basis: str
    filled: bool
    mixed_at: Moment
    gel: MilestoneEarly
    film: MilestoneEarly
    state: Literal["forecast", "gelled", "late", "suspect"]


@frozen
class SeenView(View):
    """An observation: what a hand saw or felt."""

    id: int
    kind: str
    at: Moment
    value: int | None
    readings: list[int] | None
    scale: Scale | None
    face: Face | None
    met: list[Condition]
    wet_films: Annotated[list[Annotated[int, SIZE]] | None, Says("A gauge's readings of a coat.")]
    wet_film_mean: Annotated[float | None, SIZE, Says("The mean of the wet-film readings.")]
    wet_film_verdict: Annotated[
        str | None,
        OneOf(wet_film.VERDICTS),
        Says("Of all wet-film readings, by the sheet's build; null where the sheet gives none."),
    ]
    figure: Annotated[
        float | None, Says("The average of its readings without the highest and the lowest.")
    ]
    figure_u: Annotated[float | None, Says("s/√n of all its readings.")]
    pressure: Annotated[
        int | None, PRESSURE, Says("The vacuum of a bag, below the air; null if nobody read it.")
    ]
    air_pressure: Annotated[int | None, PRESSURE]
    note: str | None
    who: str
    verified: bool
    recorded_at: Moment


@frozen
class UnsaidView(SeenView):
    """An observation that was taken back."""

    withdrawn: WithdrawnView


@frozen
class NextView(View):
    """The next thing to do."""

    action: Action
    text: Text
    at: Moment | None
    cautions: list[Text]


@frozen
class PartProbeView(View):
    """A bay whose readings tell the layup's own temperature."""

    id: int
    bay: Code
    on_part: bool
    checked_on: date | None
    who: str
    verified: bool
    recorded_at: Moment


@frozen
class PostCuredView(PostCureView):
    """The post-cure that a layup's sheet asks for, and how much of it was measured so far.

    Of several probes the coolest counts; without any, the bay that it lies in.
    """

    measured: Annotated[float, TIME]
    done: bool
    done_at: Annotated[float | None, At("up")]
    probes: list[PartProbeView]
    faults: Annotated[list[Text], Says("Why the heat was wrong: too hot, too fast, too soon.")]


@frozen
class BagView(View):
    """The vacuum bag on a layup."""

    since: Moment
    pressure: Annotated[int | None, PRESSURE]
    air_pressure: Annotated[int | None, PRESSURE]
    hold_until: Annotated[
        Opening | None, Says("Until when to hold the vacuum; null if it is off or no hour is sure.")
    ]
    off_at: Moment | None


@frozen
class LayupView(View):
    """A layup as of now; `catalyst_percent` is null where its pots differ."""

    id: int
    job: Code
    craft: str
    title: str
    kind: Annotated[str, OneOf(KINDS)]
    bay: Code
    product: Code
    catalyst: Code | None
    catalyst_percent: Decimal | None
    batches: list[int]
    pots: list[LaidPotView]
    applied_at: Moment
    finished_at: Moment
    cover: Cover
    surface: Surface
    over: int | None
    over_surface: Annotated[str | None, OneOf(FACES)]
    state: list[Sign]
    sign: Annotated[Sign, Says("The one of its states that counts most.")]
    seen: Annotated[list[Sign], Says("The states that a hand has found; the rest are forecast.")]
    do: DoView
    looked: Annotated[Moment | None, Says("When a hand last found it set; null if none did.")]
    milestones: MilestonesView
    window: Annotated[
        WindowView | None, Says("While it is green by the yard's sureness; null if never.")
    ]
    touch_window: Annotated[
        WindowView | None,
        Says("From its likely opening to its likely closing, for a hand's touch."),
    ]
    next: NextView
    warnings: list[Text]
    cautions: list[Text]
    bag: Annotated[BagView | None, Says("Its last vacuum bag; null if it had none.")]
    post_cure: PostCuredView | None
    by_moisture: Annotated[
        ByMoistureView | None, Says("Its cure by moisture; null where it has a cure clock.")
    ]
    tight_width: Annotated[
        int | None, SIZE, Says("Of a joint between two tight faces; null of an open face.")
    ]
    cure_revision: int
    observations: list[SeenView]
    taken_back: Annotated[
        list[UnsaidView], Says("Observations that were taken back: they count no longer.")
    ]
    withdrawn: Annotated[WithdrawnView | None, Says("How it was taken back, if it was not laid.")]
    budget: Annotated[
        list[BudgetView] | None, Says("Why its moments are so unsure; null unless asked for.")
    ]
    closed_at: Moment | None
    who: str
    version: int


def show_layup(watched: Watched, work: float | None = None) -> LayupView:
    """A layup as it was watched. `work`: how long the planned next layer takes to lay, s."""
    row, record = watched.row, watched.record
    sign = foremost(watched.signs)
    return LayupView(
        id=row.id,
        job=row.job.number,
        craft=row.job.craft,
        title=row.title,
        kind=row.kind,
        bay=watched.bay.code,
        product=row.product.code,
        catalyst=row.catalyst.code if row.catalyst else None,
        catalyst_percent=_shared_percent(record),
        batches=[pot.id for pot in record.pots],
        pots=_show_pots(watched),
        applied_at=row.applied_at,
        finished_at=row.finished_at,
        cover=watched.layer.cover,
        surface=watched.layer.surface,
        over=row.over_id,
        over_surface=row.over_surface,
        state=list(watched.signs),
        sign=sign,
        seen=_seen_signs(watched, sign),
        do=do(watched, work),
        looked=watched.touch.last_set,
        milestones=show_milestones(_promised(watched)),
        window=None if watched.window is None else WindowView(*watched.window),
        touch_window=None if watched.touch_window is None else WindowView(*watched.touch_window),
        next=NextView(
            watched.step.action, watched.step.text, watched.step.at, list(watched.step.cautions)
        ),
        warnings=list(watched.flags),
        cautions=_cautions(watched),
        bag=_show_bag(watched),
        post_cure=_show_post_cured(watched),
        by_moisture=moisture.show(watched.moisture),
        tight_width=row.tight_um,
        cure_revision=record.cure_sheet.revision,
        observations=[_show_seen(each, watched.layer.sheet) for each in watched.seen],
        taken_back=[
            _show_unsaid(each, watched.layer.sheet, how) for each, how in record.taken_back
        ],
        withdrawn=None if record.withdrawn is None else show_withdrawal(record.withdrawn),
        budget=None,
        closed_at=watched.closed_at,
        who=row.who,
        version=row.version,
    )


def _cautions(watched: Watched) -> list[Text]:
    row, chemistry = watched.row, watched.row.product.chemistry
    found: list[Text] = [] if watched.bag is None else watched.bag.cautions(chemistry)
    found += [cautions.SIGN_OFF] if row.job.structural != "no" else []
    if watched.moisture is not None:
        found += cautions.by_moisture(chemistry, natures_of(row.product))
    return found


def _show_bag(watched: Watched) -> BagView | None:
    bag = watched.bag
    if bag is None:
        return None
    return BagView(bag.since, bag.vacuum, bag.air, watched.hold, bag.off)


def _promised(watched: Watched) -> dict[str, Milestone]:
    """Its milestones; in trouble only what a hand has found. A stall has no window to shut."""
    if watched.is_promised:
        stalls = watched.found["recoat_opens"].why == "cold-stalled"
        shut = {"recoat_closes": Milestone(None, why="cold-stalled")} if stalls else {}
        return watched.found | shut
    return {
        name: one
        if one.basis == "observed" or one.at is None
        else Milestone(None, why="in-trouble")
        for name, one in watched.found.items()
    }


def _seen_signs(watched: Watched, sign: Sign) -> list[Sign]:
    return [each for each in dict.fromkeys((sign, *watched.signs)) if seen_by_hand(watched, each)]


def _shared_percent(record: LayupRecord) -> Decimal | None:
    """The percent of all of it; None where its pots differ, or nothing was dosed."""
    if not record.pots:
        return conversions.percent(record.row.stated_percent_ppm)
    percents = {pot.percent_ppm for pot in record.pots}
    return conversions.percent(record.pots[0].percent_ppm) if len(percents) == 1 else None


def _show_pots(watched: Watched) -> list[LaidPotView]:
    record, wet_at = watched.record, watched.touch.not_gelled
    if not record.pots:
        return []
    tested = {pot.id: pot.cup_test_id for pot in record.pots}
    tested |= {pot: test.id for pot, test in record.cup_tests.items()}
    pairs = zip(record.pots, watched.pots, strict=True)
    law = watched.layer.law
    return [_show_pot(row, told, law, tested[row.id], wet_at) for row, told in pairs]


def _show_pot(
    row: Batch, told: PotForecast, law: GelLaw, test: int | None, wet_at: float | None
) -> LaidPotView:
    return LaidPotView(
        batch=row.id,
        catalyst=row.catalyst_lot.product.code if row.catalyst_lot else None,
        catalyst_percent=conversions.percent(row.percent_ppm),
        factor=round(exp(told.pot.belief.mean), 4),
        factor_basis=factor_basis(law, test),
        filled=row.filled,
        mixed_at=row.mixed_at,
        gel=show_milestone(MilestoneEarly, told.gel),
        film=show_milestone(MilestoneEarly, told.film),
        state="gelled" if told.seen else told.lateness(wet_at) or "forecast",
    )


def _show_seen(row: LayupObservation, sheet: CureSheet) -> SeenView:
    films: list[int] = json.loads(row.readings or "[]") if row.kind == "wet_film" else []
    is_hardness = row.kind == "hardness"
    figure, u = layups.figure_of(row) if is_hardness else (None, None)
    scale = row.scale or USUAL if is_hardness else None
    return SeenView(
        id=row.id,
        kind=row.kind,
        at=row.at,
        value=row.value,
        readings=json.loads(row.readings) if row.readings and is_hardness else None,
        scale=scale,
        face=row.face,
        met=[each for each in CONDITIONS if each in (row.met or "").split()],
        wet_films=films or None,
        wet_film_mean=sum(films) / len(films) if films else None,
        wet_film_verdict=wet_film.verdict(films, sheet.build_min, sheet.build_max),
        figure=None if figure is None else round(figure, 2),
        figure_u=None if u is None else round(u, 3),
        pressure=row.pressure_pa,
        air_pressure=row.air_pa,
        note=row.note,
        who=row.who,
        verified=row.verified,
        recorded_at=row.recorded_at,
    )


def _show_unsaid(row: LayupObservation, sheet: CureSheet, how: Withdrawal) -> UnsaidView:
    return UnsaidView(**vars(_show_seen(row, sheet)), withdrawn=show_withdrawal(how))


def _show_post_cured(watched: Watched) -> PostCuredView | None:
    had = watched.post_cure
    if had is None:
        return None
    return PostCuredView(
        **vars(show_post_cure(had.wanted)),
        measured=had.measured,
        done=had.done_at is not None,
        done_at=had.done_at,
        probes=[_show_probe(each) for each in watched.record.probes],
        faults=had.faults(),
    )


def _show_probe(row: LayupProbe) -> PartProbeView:
    return PartProbeView(
        row.id, row.bay.code, row.on_part, row.bay.checked_on, row.who, row.verified,
        row.recorded_at,
    )  # fmt: skip
