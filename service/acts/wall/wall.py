"""The wall: the whole yard at a glance, what a hand must see to first at the top."""

from __future__ import annotations

from typing import Any, Literal

from ...store import products
from ...store.cure import layups
from ...store.cure.layups import Layup
from ..cure import watch
from ..cure.watch import Watched
from ..jobs import shopping
from ..pots import card, unlaid
from . import now as what_now
from . import ribbon

LAST_MINUTES_S = 20 * 60
"""A window this near its end is past before the next pot is mixed, unless somebody runs."""

Shuts = Literal["", "soon", "minutes"]


def wall(now: int) -> dict[str, Any]:
    """The yard at a moment.

    Returns:
        As `what_now.what_now`, but `layups` by urgency, each with its `action`, its `ribbon` and
        how near its window `shuts`; and what is `short`, as `shopping.shopping` has it. `begun`
        says whether the yard has anything at all yet.
    """
    watched = watch.watch_all(layups.open_layups(), now)
    bays = {bay["code"]: bay for bay in what_now.bays_now(now)}
    told = [_strip(each, now) for each in watched]
    return {
        "layups": sorted(told, key=lambda layup: what_now.urgency(layup["action"])),
        "pots": unlaid.pots(now),
        "lots": what_now.lots(now),
        "short": shopping.shopping(now).items,
        "bays": bays,
        "begun": products.any_known(),
    }


def layup_sheet(row: Layup, now: int) -> dict[str, Any]:
    """One layup on a sheet of its own: its strip, its job, and the pots that went into it."""
    watched = watch.watch(row, now)
    return {
        **_strip(watched, now),
        "structural": row.job.structural,
        "cards": card.show_batches(watched.record.pots),
        "air_now": next(b for b in what_now.bays_now(now) if b["code"] == watched.bay.code),
    }


def _strip(watched: Watched, now: int) -> dict[str, Any]:
    action = what_now.action(watched, now)
    return {**ribbon.ribbon(watched, now), "action": action, "shuts": _shuts(action, now)}


def _shuts(action: dict[str, Any], now: int) -> Shuts:
    if not action["closing"]:
        return ""
    return "minutes" if action["at"] - now <= LAST_MINUTES_S else "soon"
