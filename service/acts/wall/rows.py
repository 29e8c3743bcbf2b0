"""The rows of the wall: of each layup and pot one state, one thing to do, and its place.

Trouble comes first; then what ends within the hour; then where a hand is wanted; then the rest by
the hour; last what has no hurry.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ...core.amounts.views import View
from ...core.cure.milestones import HOUR_S
from ...core.cure.recoat import green_test
from ...core.cure.signs import TROUBLE, Sign
from ...core.cure.touch import HARD, SET
from ..cure.milestone_views import MilestoneEarly
from ..cure.show import LayupView, SeenView
from ..pots.unlaid import UnlaidPotView
from .hours import closing, opening

FLAG_S = 20 * 60
"""A deadline this near is past before the next pot is mixed, unless somebody runs."""

IN_TROUBLE, ENDING, WANTED, REST, NO_HURRY = range(1, 6)
"""The groups of rows, in their order."""
Near = Literal["", "hour", "minutes"]

_STATES: tuple[Sign, ...] = (
    "unsettled", "suspect", "cold_stalled", "late", "finished", "not_laid", "wet",
    "recoat_open", "recoat_touch", "handling_cure", "sandable",
)  # fmt: skip
"""States in the order in which one goes before another."""


@dataclass(frozen=True)
class Do(View):
    """What to do: words, with the hour (epoch s, as shown) that follows them, if one does.

    Attributes:
        near: how near the hour is, where it is a deadline.
    """

    words: str
    group: int
    at: int | None = None
    near: Near = ""


@dataclass(frozen=True)
class RowView(View):
    """A row of the wall: a layup, or a pot that was not laid up.

    Attributes:
        state: the sign that counts most, or 'pot'. seen: whether a hand saw it so.
        look: the last look that found it there, and the last that found it not there; epoch s.
    """

    state: Sign | Literal["pot"]
    seen: bool
    do: Do
    looked: float | None
    missed: float | None
    layup: LayupView | None = None
    pot: UnlaidPotView | None = None


def of_layup(layup: LayupView, now: int, work: float | None) -> RowView:
    """The row of a layup. `work`: how long the planned next layer takes to lay, s, or None."""
    state, looks = main_state(layup), _standing(layup)
    there = [look.at for look in looks if look.kind in SET]
    wet = [look.at for look in layup.observations if look.kind == "not_gelled"]
    return RowView(
        state=state,
        seen=_is_seen(layup, state, looks),
        do=_do(layup, state, looks, now, work),
        looked=max(there, default=None),
        missed=max(wet, default=None),
        layup=layup,
    )


def of_pot(pot: UnlaidPotView, now: int) -> RowView:
    """The row of a pot that was not laid up."""
    end = closing(pot.work_until, now)
    if end > now:
        do = _by("spread by", end, now)
    elif pot.gel_at_latest is None or now < pot.gel_at_latest:
        do = Do("spread no more", WANTED)
    else:
        do = Do("note: laid or lost?", WANTED)
    return RowView("pot", seen=True, do=do, looked=None, missed=None, pot=pot)


def place(row: RowView) -> tuple[int, float, float, int]:
    """The key that sorts rows."""
    trouble = _STATES.index(row.state) if row.state in _STATES else len(_STATES)
    rank = trouble if row.do.group == IN_TROUBLE else 0
    hour = float("inf") if row.do.at is None else float(row.do.at)
    return row.do.group, rank, hour, (row.layup or row.pot).id  # type: ignore[union-attr]


def main_state(layup: LayupView) -> Sign:
    """The one state to show of a layup: the sign that counts most; wet until it surely gelled."""
    for sign in _STATES:
        if sign in layup.state:
            return sign
    if "recoat_past" in layup.state:
        return "tacky" if "tacky" in layup.state else "recoat_past"
    return "gelled" if "gelled" in layup.state else "wet"


def gel_on_part(layup: LayupView) -> MilestoneEarly:
    """The gel on the part: in a film, if its cure sheet has a time for one."""
    found = layup.milestones
    return found.gel if found.film.why == "not-on-sheet" else found.film


def _standing(layup: LayupView) -> list[SeenView]:
    """The looks that still hold: 'not gelled' cancels every earlier one."""
    looks = sorted(layup.observations, key=lambda look: (look.at, look.id))
    wet = [number for number, look in enumerate(looks) if look.kind == "not_gelled"]
    return looks[wet[-1] :] if wet else looks


def _is_seen(layup: LayupView, state: Sign, looks: list[SeenView]) -> bool:
    kinds = {look.kind for look in looks}
    if state in TROUBLE:
        return True
    if state == "wet":
        return "not_gelled" in kinds
    if state == "recoat_open":
        return not kinds.isdisjoint(("no_transfer", "green"))
    if state == "sandable":
        return not kinds.isdisjoint((*HARD, "sanded"))
    if state == "handling_cure":
        cured = layup.milestones.full_cure.latest or float("inf")
        return any(look.kind in HARD and look.at >= cured for look in looks)
    return not kinds.isdisjoint(SET)


def _do(layup: LayupView, state: Sign, looks: list[SeenView], now: int, work: float | None) -> Do:
    if state == "cold_stalled":
        return Do(f"heat {layup.bay} now", IN_TROUBLE)
    if state in TROUBLE or layup.next.action == "probe":
        return Do("ask a lead now", IN_TROUBLE)
    if layup.next.action == "none":
        return Do("nothing more", NO_HURRY)
    if layup.next.action == "heat":
        return _heat(layup, now)
    if state == "wet":
        latest = gel_on_part(layup).latest
        return Do("leave it alone", REST) if latest is None else _until(latest, now)
    if looks and looks[-1].kind == "not_gelled":
        return Do("touch it: gelled?", WANTED)
    if _is_abraded(looks):
        return Do("cover it today", WANTED)
    if state == "recoat_open":
        return _open(layup, now, work)
    if state == "recoat_touch":
        return _touch(layup, now)
    return _hard(layup, state, looks, now)


def _heat(layup: LayupView, now: int) -> Do:
    """It goes too cold before it is hard: the bay is warm by then."""
    at = layup.next.at
    end = now if at is None else closing(at, now)
    return (
        Do(f"heat {layup.bay} now", WANTED) if end <= now else _by(f"heat {layup.bay} by", end, now)
    )


def _until(latest: float, now: int) -> Do:
    return Do("leave until", REST, opening(latest, now))


def _is_abraded(looks: list[SeenView]) -> bool:
    faces = [look.kind for look in looks if look.kind in ("sanded", "blush")]
    return bool(faces) and faces[-1] == "sanded"


def _open(layup: LayupView, now: int, work: float | None) -> Do:
    """The next layer must be spread by the end: begun by then, where its work's time is known."""
    if layup.window is None:
        return _touch(layup, now)
    end = closing(layup.window.closes, now)
    start = end if work is None else closing(layup.window.closes - work, now)
    if work is not None and start > now:
        return _by("start by", start, now)
    if end > now:
        return _by("lift in by" if layup.kind == "pour" else "layer down by", end, now)
    return _after(layup)


def _touch(layup: LayupView, now: int) -> Do:
    """Before the sure window a glove may find it open; after it, solvent or a nail finds out."""
    if layup.window is None:  # it may be too soon or too late
        return Do(f"glove and {_late_test(layup)}", WANTED)
    if now < layup.window.opens:
        return Do("glove, or from", WANTED, opening(layup.window.opens, now))
    return _after(layup)


def _after(layup: LayupView) -> Do:
    """After the sure end no hour is written: nobody should wait for one."""
    return Do(f"{_late_test(layup)} test first", WANTED)


def _late_test(layup: LayupView) -> str:
    face = "plain" if layup.cover != "none" else layup.surface
    return "acetone" if "acetone" in green_test(face) else "nail"


def _hard(layup: LayupView, state: Sign, looks: list[SeenView], now: int) -> Do:
    """What has gelled and is not open: soft still, or past its window."""
    seen = _is_seen(layup, state, looks)
    if state == "handling_cure":
        return Do("may be moved" if seen else "lead signs, then lift", NO_HURRY)
    if state == "sandable":
        return Do("sand any time" if seen else "try the paper", NO_HURRY)
    if state == "tacky":
        return Do("strip, then grind", NO_HURRY)
    if state == "gelled" and not seen:
        return Do("touch it: gelled?", WANTED)
    if state == "gelled" and layup.window is not None:
        words = "next lift from" if layup.kind == "pour" else "next layer from"
        return Do(words, REST, opening(layup.window.opens, now))
    if state == "gelled" and layup.touch_window is not None:
        return Do("touch it from", REST, opening(layup.touch_window.opens, now))
    hard = layup.milestones.sandable.latest
    return (
        Do("leave it to cure", NO_HURRY)
        if hard is None
        else Do("grind from", NO_HURRY, opening(hard, now))
    )


def _by(words: str, end: int, now: int) -> Do:
    """A deadline: boxed within the hour, a flag in its last minutes."""
    left = end - now
    near: Near = "minutes" if left <= FLAG_S else "hour" if left <= HOUR_S else ""
    return Do(words, ENDING if near else REST, end, near)
