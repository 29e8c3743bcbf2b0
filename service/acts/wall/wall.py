"""Show the wall: the whole yard at a glance, trouble at the top."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

from ...core.amounts.views import View
from ...core.frozen import frozen
from ...store import bays, products
from ...store.bays import Bay
from ...store.cure.layups import Layup
from ...store.stock.jobs import Structural
from ..cure import watch
from ..cure.show import LayupView
from ..cure.watch import Watched
from ..jobs.shopping import BuyView, shopping
from ..pots import unlaid
from ..pots.card import BatchView, show_batches
from ..yard import conversions
from .next_steps import NextLayerView, next_layers
from .now import AirView, LotsToSeeTo, lots_to_see_to, show_air, show_air_of
from .ribbon import RibbonView, show_axis, show_ribbon
from .rows import RowView, rows, show_laid


@frozen
class StripView(LayupView):
    """A layup with its ribbon."""

    ribbon: RibbonView


@frozen
class LayupPageView(StripView):
    """A layup on a page of its own: with its pots, and the air of its bay now.

    Attributes:
        doubted: whether its last look is so unlikely that it must be said again.
        left_out: the ids of the looks that count for nothing until then.
    """

    structural: Structural
    cards: list[BatchView]
    air_now: AirView
    doubted: bool
    left_out: list[int]


@frozen
class BayView(View):
    """A bay's air now.

    Attributes:
        humidity: percent, where a reading is fresh.
        under: the least temperature, K, of a layup in it, where the air is colder; else None.
        silent: since when it was not heard, where that is too long; else None.
    """

    air: AirView
    humidity: Decimal | None
    under: float | None
    silent: float | None


@frozen
class BayPageView(BayView):
    """A bay on a page of its own; `cures`: the rows of what cures in it."""

    cures: list[RowView]


@frozen
class WallView(View):
    """The yard at a moment.

    Attributes:
        rows: trouble first. ribbons: of each layup, by its id; all over one stretch of time.
        cures: how many layups cure. next_layers: by the plans, where nothing cures.
        begun: whether the yard has anything at all yet.
    """

    rows: list[RowView]
    ribbons: Mapping[int, RibbonView]
    cures: int
    lots: LotsToSeeTo
    short: list[BuyView]
    bays: list[BayView]
    next_layers: list[NextLayerView]
    begun: bool


def wall(now: int) -> WallView:
    """The yard at a moment."""
    watched = watch.watch_open(now)
    found = rows(show_laid(watched), unlaid.pots(now))
    short = shopping(now).items
    return WallView(
        rows=found,
        ribbons={each.row.id: show_axis(each, now) for each in watched},
        cures=len(watched),
        lots=lots_to_see_to(now),
        short=short,
        bays=_bays(watched, now),
        next_layers=[] if found else next_layers(now, short),
        begun=products.any_known(),
    )


def bays_now(now: int) -> list[BayView]:
    """Every bay's air at a moment."""
    return _bays_with(now)[0]


def bay_page(row: Bay, now: int) -> BayPageView:
    """One bay at a moment, with what cures in it."""
    found, watched = _bays_with(now)
    (here,) = (bay for bay in found if bay.air.code == row.code)
    return BayPageView(
        **vars(here),
        cures=rows(show_laid([each for each in watched if each.bay.id == row.id]), []),
    )


def _bays_with(now: int) -> tuple[list[BayView], list[Watched]]:
    """Every bay's air at a moment, and what cures."""
    watched = watch.watch_open(now)
    return _bays(watched, now), watched


def _bays(watched: Sequence[Watched], now: int) -> list[BayView]:
    codes = {row.code: row.id for row in bays.all_bays()}
    read = bays.latest_readings(list(codes.values()))
    shown = show_air(now)
    return [_bay(each, read.get(codes[each.code]), watched) for each in shown]


def _bay(shown: AirView, read: bays.Reading | None, watched: Sequence[Watched]) -> BayView:
    fresh = read is not None and shown.basis == "measured"
    floors = [
        float(each.layer.sheet.cure_min)
        for each in watched
        if each.bay.code == shown.code
        and each.layer.sheet.cure_min is not None
        and "sandable" not in each.signs
    ]
    return BayView(
        air=shown,
        humidity=conversions.percent(read.humidity_ppm) if read is not None and fresh else None,
        under=max((floor for floor in floors if shown.temperature < floor), default=None),
        silent=_silent(shown),
    )


def _silent(air: AirView) -> float | None:
    """By its probe's own pauses; a bay that hands alone read, once its last reading is old."""
    if air.probe is not None:
        return air.probe.at if air.probe.state == "silent" else None
    return air.read.at if air.basis != "measured" and air.read is not None else None


def layup_page(row: Layup, now: int) -> LayupPageView:
    """One layup, whole."""
    watched = watch.watch(row, now)
    return LayupPageView(
        **vars(_strip(watched, now)),
        structural=row.job.structural,
        cards=show_batches(watched.record.pots),
        air_now=show_air_of(watched.bay, now),
        doubted=watched.doubted,
        left_out=[each.id for each in watched.seen if each not in watched.believed],
    )


def _strip(watched: Watched, now: int) -> StripView:
    (laid,) = show_laid([watched])
    return StripView(**vars(laid), ribbon=show_ribbon(watched, now))
