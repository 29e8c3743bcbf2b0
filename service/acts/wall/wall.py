"""Show the wall: the whole yard at a glance, trouble at the top."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from ...core.amounts.views import View
from ...store import bays, products
from ...store.cure import layups
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
from .now import AirView, LotsToSeeTo, lots_to_see_to, show_air
from .ribbon import RibbonView, show_axis, show_ribbon
from .rows import RowView, rows, show_laid


@dataclass(frozen=True)
class StripView(LayupView):
    """A layup with its ribbon."""

    ribbon: RibbonView


@dataclass(frozen=True)
class LayupPageView(StripView):
    """A layup on a page of its own: with its pots, and the air of its bay now."""

    structural: Structural
    cards: list[BatchView]
    air_now: AirView


@dataclass(frozen=True)
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


@dataclass(frozen=True)
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
    watched = watch.watch_all(layups.open_layups(), now)
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


def _bays(watched: Sequence[Watched], now: int) -> list[BayView]:
    codes = {row.code: row.id for row in bays.all_bays()}
    read = bays.latest_readings(list(codes.values()))
    return [_bay(air, read.get(codes[air.code]), watched) for air in show_air(now)]


def _bay(air: AirView, read: bays.Reading | None, watched: Sequence[Watched]) -> BayView:
    fresh = read is not None and air.basis == "measured"
    floors = [
        float(each.layer.sheet.cure_min)
        for each in watched
        if each.bay.code == air.code
        and each.layer.sheet.cure_min is not None
        and "sandable" not in each.signs
    ]
    return BayView(
        air=air,
        humidity=conversions.percent(read.humidity_ppm) if read is not None and fresh else None,
        under=max((floor for floor in floors if air.temperature < floor), default=None),
        silent=_silent(air),
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
        air_now=next(bay for bay in show_air(now) if bay.code == watched.bay.code),
    )


def _strip(watched: Watched, now: int) -> StripView:
    (laid,) = show_laid([watched])
    return StripView(**vars(laid), ribbon=show_ribbon(watched, now))
