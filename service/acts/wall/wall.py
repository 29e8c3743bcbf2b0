"""Show the wall: the whole yard at a glance, the most urgent layup at the top."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from ...core.amounts.views import View
from ...store import products
from ...store.cure import layups
from ...store.cure.layups import Layup
from ...store.stock.jobs import Structural
from ..cure import watch
from ..cure.show import LayupView, show_layup
from ..cure.watch import Watched
from ..jobs.shopping import BuyView, shopping
from ..pots import unlaid
from ..pots.card import BatchView, show_batches
from ..pots.unlaid import UnlaidPotView
from .now import ActionView, AirView, LotsToSeeTo, lots_to_see_to, show_action, show_air, urgency
from .ribbon import RibbonView, show_ribbon

LAST_MINUTES_S = 20 * 60
"""A window this near its end is past before the next pot is mixed, unless somebody runs."""

Shuts = Literal["", "soon", "minutes"]


@dataclass(frozen=True)
class StripView(LayupView):
    """A layup with its next action, its ribbon, and how near its window is to shutting."""

    ribbon: RibbonView
    action: ActionView
    shuts: Shuts


@dataclass(frozen=True)
class LayupPageView(StripView):
    """A layup on a page of its own: with its pots, and the air of its bay now."""

    structural: Structural
    cards: list[BatchView]
    air_now: AirView


@dataclass(frozen=True)
class WallView(View):
    """The yard at a moment.

    Attributes:
        layups: by urgency. bays: by code. begun: whether the yard has anything at all yet.
    """

    layups: list[StripView]
    pots: list[UnlaidPotView]
    lots: LotsToSeeTo
    short: list[BuyView]
    bays: Mapping[str, AirView]
    begun: bool


def wall(now: int) -> WallView:
    """The yard at a moment."""
    strips = [_strip(each, now) for each in watch.watch_all(layups.open_layups(), now)]
    return WallView(
        layups=sorted(strips, key=lambda strip: urgency(strip.action)),
        pots=unlaid.pots(now),
        lots=lots_to_see_to(now),
        short=shopping(now).items,
        bays={bay.code: bay for bay in show_air(now)},
        begun=products.any_known(),
    )


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
    action = show_action(watched, now)
    return StripView(
        **vars(show_layup(watched)),
        ribbon=show_ribbon(watched, now),
        action=action,
        shuts=_shuts(action, now),
    )


def _shuts(action: ActionView, now: int) -> Shuts:
    if not action.closing or action.at is None:
        return ""
    return "minutes" if action.at - now <= LAST_MINUTES_S else "soon"
