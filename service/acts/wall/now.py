"""Show what to do now: windows, layers to sand, pots not laid up, stock near its end, the air."""

from __future__ import annotations

from typing import Annotated

from ...core.amounts.quantities import DIFFERENCE, TEMPERATURE
from ...core.amounts.views import Code, Moment, Says, Steady, View
from ...core.cure.next_step import Action
from ...core.cure.turns import CLOSING_SOON_S
from ...core.frozen import frozen
from ...core.words import Text
from ...store import bays
from ...store.bays import Bay
from ...store.engine.revisions import memory
from ...store.stock import jobs
from ...store.stock import lots as shelf
from ..bays import air, probe
from ..bays.air_taken import AirBasis, ReadView, Taken
from ..bays.probe import ProbeView
from ..cure import watch
from ..cure.show import LayupView
from ..cure.watch import Watched
from ..jobs.shopping import lacking
from ..pots import unlaid
from ..pots.unlaid import UnlaidPotView
from ..stock.lot import LotView, show_lots
from ..stock.lot_life import to_see_to
from ..yard import moments
from .rows import RowView, rows, show_laid

_ORDER: tuple[Action, ...] = ("probe", "heat", "coat", "touch", "prepare", "wait", "none")


@frozen
class ActionView(View):
    """Something to do at a layup; `closing` where its window is about to shut."""

    layup: int
    job: Code
    craft: str
    title: str
    action: Action
    text: Text
    at: Moment | None
    closing: bool


Lots = Annotated[list[LotView], Steady()]


@frozen
class LotsToSeeTo(View):
    """Lots that are out of date, soon will be, or are held; good ones whose date nobody gave."""

    expired: Lots
    soon: Lots
    held: Lots
    undated: Lots


@frozen
class AirView(View):
    """A bay's air as of now."""

    code: Code
    title: str
    temperature: Annotated[float, TEMPERATURE]
    basis: AirBasis
    read: ReadView | None
    at: Moment | None
    uncertainty: Annotated[float, DIFFERENCE]
    probe: ProbeView | None


@frozen
class JobNowView(View):
    """An open job, and the products that it is short of."""

    number: Code
    title: str
    craft: str
    short: list[Code]


@frozen
class PlaceView(View):
    """The id of a layup, or that of a pot."""

    layup: int | None
    pot: int | None


@frozen
class NowView(View):
    """The yard as of now."""

    at: Moment
    bays: list[AirView]
    order: Annotated[
        list[PlaceView], Says("Layups and pots by what they ask for, as on the wall: see `do`.")
    ]
    actions: list[ActionView]
    layups: Annotated[list[LayupView], Steady()]
    pots: list[UnlaidPotView]
    lots: LotsToSeeTo
    jobs: list[JobNowView]


def what_now(now: int) -> NowView:
    """The yard at a moment: actions by urgency, layups, pots not laid up, lots and bays."""
    watched = watch.watch_open(now)
    laid = show_laid(watched)
    pots = unlaid.pots(now)
    return NowView(
        at=now,
        bays=show_air(now),
        order=[_place(row) for row in rows(laid, pots)],
        actions=sorted((show_action(each, now) for each in watched), key=urgency),
        layups=laid,
        pots=pots,
        lots=lots_to_see_to(now),
        jobs=show_jobs(now),
    )


def _place(row: RowView) -> PlaceView:
    return PlaceView(
        layup=None if row.layup is None else row.layup.id,
        pot=None if row.pot is None else row.pot.id,
    )


def show_action(watched: Watched, now: int) -> ActionView:
    """The next step at a layup, and whether its window is about to shut."""
    row, step = watched.row, watched.step
    shuts = step.at if step.action in ("coat", "touch") and "recoat_open" in watched.signs else None
    return ActionView(
        layup=row.id,
        job=row.job.number,
        craft=row.job.craft,
        title=row.title,
        action=step.action,
        text=step.text,
        at=step.at,
        closing=shuts is not None and shuts - now <= CLOSING_SOON_S,
    )


def urgency(action: ActionView) -> tuple[bool, int, float]:
    """The key that sorts actions: a window about to shut first, trouble next, waiting last."""
    return not action.closing, _ORDER.index(action.action), action.at or float("inf")


def lots_to_see_to(now: int) -> LotsToSeeTo:
    """The lots that somebody should see to, by their state; they are alike for a whole day."""
    return memory().once(("lots", moments.day_of(now)), lambda: _lots_to_see_to(now))


def _lots_to_see_to(now: int) -> LotsToSeeTo:
    wanted = shelf.find_lots(to_see_to(moments.day_of(now)))
    found: dict[str, list[LotView]] = {"expired": [], "soon": [], "held": [], "undated": []}
    for shown in show_lots(wanted, now):
        found[shown.state if shown.state in found else "undated"].append(shown)
    return LotsToSeeTo(**found)


def show_jobs(now: int) -> list[JobNowView]:
    """The open jobs, the first opened first, and what each is short of; alike for a whole day."""
    return memory().once(("jobs", moments.day_of(now)), lambda: _show_jobs(now))


def _show_jobs(now: int) -> list[JobNowView]:
    short = lacking(now)
    return [
        JobNowView(
            number=job.number,
            title=job.title,
            craft=job.craft,
            short=short.get(job.number, []),
        )
        for job in jobs.open_jobs()
    ]


def show_air(now: int) -> list[AirView]:
    """Every bay's air at a moment."""
    rows = bays.all_bays()
    taken = air.taken_each(rows, now)
    probes = probe.probes([row.id for row in rows], now)
    return [_bay(row, taken[row.id], probes.get(row.id)) for row in rows]


def show_air_of(bay: Bay, now: int) -> AirView:
    """A bay's air at a moment."""
    return _bay(bay, air.taken(bay, now), probe.probes([bay.id], now).get(bay.id))


def _bay(row: Bay, taken: Taken, heard: ProbeView | None) -> AirView:
    read = taken.read
    return AirView(
        code=row.code,
        title=row.title,
        temperature=taken.temperature,
        basis=taken.basis,
        read=read,
        at=None if read is None else read.at,
        uncertainty=air.own_uncertainty(row, taken.at),
        probe=heard,
    )
