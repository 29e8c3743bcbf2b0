"""Signs: the state of a layup now, as words that hold independently of each other.

They are no ladder: filler may be sanded within the hour, tacky resin never.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from . import recoat
from .forecast import PotForecast
from .layer import Layer
from .milestones import Milestone, on_part
from .touch import Touch

Sign = Literal[
    "wet", "gelling", "gelled", "late", "suspect", "recoat_open", "recoat_touch", "recoat_past",
    "sandable", "tacky", "cold_stalled", "handling_cure", "unsettled", "finished", "not_laid",
    "skinned", "cured_through",
]  # fmt: skip

TROUBLE: frozenset[Sign] = frozenset({"late", "suspect", "cold_stalled", "unsettled"})
"""Signs under which no milestone is promised; they stay until a record settles them."""
_UNSOUND: tuple[tuple[Sign, str], ...] = (
    ("suspect", "is suspect: it had not gelled at twice its latest time"),
    ("late", "is late to gel"),
    ("cold_stalled", "is stalled cold"),
    ("unsettled", "was covered or left while it was not sound, and nobody said what became of it"),
    ("wet", "is wet"),
    ("gelling", "may not have gelled yet"),
)


def signs(
    layer: Layer,
    found: dict[str, Milestone],
    stalled: float | None,
    touch: Touch,
    now: float,
    pots: Sequence[PotForecast],
) -> tuple[Sign, ...]:
    """The signs of a layup at `now` (epoch s).

    Args:
        found: its milestones as corrected by hands, see `touch.by_hand`.
        stalled: when it had been cold for too long, unless a check ended that; else None.
        pots: the forecast of each of its pots.
    """
    done = touch.finished is not None and touch.finished <= now
    if done or touch.scraped_off is not None:
        return ("finished",)
    shown = _gel_signs(pots, on_part(found["gel"], found["film"]), touch, now, stalled)
    if stalled is not None and stalled <= now:
        shown = [sign for sign in shown if sign not in ("wet", "gelling")] + ["cold_stalled"]
    if touch.ended is not None and not touch.is_set:
        shown.append("unsettled")
    if TROUBLE.isdisjoint(shown):
        shown += _surface_signs(found, touch, now, shown)
    elif touch.sandable is not None:
        shown.append("sandable")
    return tuple(shown)


def _surface_signs(
    found: dict[str, Milestone], touch: Touch, now: float, gel: Sequence[Sign]
) -> list[Sign]:
    shown: list[Sign] = []
    stand = recoat.stand(found, now)
    if stand == "open":
        shown.append("recoat_open")
    elif stand == "touch":
        shown.append("recoat_touch")
    elif stand == "past":
        shown.append("recoat_past")
    if touch.sandable is not None or found["sandable"].reached(now):
        shown.append("sandable")
    elif found["sandable"].why == "tacky-surface" and "gelled" in gel:
        shown.append("tacky")
    if found["full_cure"].reached(now):
        shown.append("handling_cure")
    return shown


def _gel_signs(
    pots: Sequence[PotForecast], gel: Milestone, touch: Touch, now: float, stalled: float | None
) -> list[Sign]:
    # One late pot makes the whole part late: nobody said which pot the wet spot belongs to.
    # A gel that was felt in a stall does not end that: it may be stiff from the cold alone.
    stiff = stalled is not None and touch.gelled is not None and touch.gelled >= stalled
    found = {
        pot.still_late(pot.pot.wet_at) if stiff else pot.lateness(touch.not_gelled) for pot in pots
    }
    if "suspect" in found:
        return ["wet", "late", "suspect"]
    if "late" in found or touch.relapsed:
        return ["wet", "late"]
    if touch.is_set or all(pot.seen for pot in pots):
        return ["gelled"]
    if gel.at is None:
        never = gel.why == "not-on-sheet" and touch.not_gelled is None
        return [] if never else ["wet"]
    if gel.earliest is not None and now < gel.earliest:
        return ["wet"]
    return ["gelled"] if gel.reached(now) else ["gelling"]


def unsound(shown: tuple[Sign, ...], touch: Touch) -> str | None:
    """Why nothing may go on a layup with these signs, such as 'is wet'; None if it is sound."""
    found = next((words for sign, words in _UNSOUND if sign in shown), None)
    if found is None and touch.not_gelled is not None:
        return "had not gelled when a hand last felt it"
    return found
