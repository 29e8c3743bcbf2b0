"""What to do at a layup, in the few words of a row: the same on the wall, a page and a terminal.

The hour that follows the words is the one that every screen shows, see `core.amounts.hours`.
"""

from __future__ import annotations

from typing import Annotated, Literal, get_args

from ...core.amounts.hours import closing, opening
from ...core.amounts.views import Moment, Says, View
from ...core.cure.bag import BAG_OFF, BAGGED, hold_until
from ...core.cure.milestones import HOUR_S, Milestone, on_part
from ...core.cure.moisture_forecast import ByMoisture
from ...core.cure.post_cure import PostCured
from ...core.cure.recoat import green_test
from ...core.cure.signs import TROUBLE, Sign
from ...core.cure.standing import foremost, is_seen
from ...core.frozen import frozen
from .watch import Watched

FLAG_S = 20 * 60
"""A deadline this near is past before the next pot is mixed, unless somebody runs."""

Urgency = Literal["trouble", "ending", "wanted", "later", "no_hurry"]
URGENCIES: tuple[Urgency, ...] = get_args(Urgency)
"""Trouble; what ends within the hour; where a hand is wanted; the rest by the hour; no hurry."""
Near = Literal["", "hour", "minutes"]


@frozen
class DoView(View):
    """What to do: words, with the moment that follows them, if one does; and what to note then."""

    words: str
    urgency: Urgency
    at: Annotated[
        Moment | None, Says("To five minutes: late for what opens, early for what closes.")
    ] = None
    near: Annotated[Near, Says("How near a deadline is: within the hour, within 20 minutes.")] = ""
    note: Annotated[str | None, Says("What a hand notes next; null where it has nothing to.")] = (
        None
    )


def by(words: str, end: int, now: float, note: str | None = None) -> DoView:
    """A deadline; `near` says whether it is within the hour or within 20 minutes."""
    left = end - now
    near: Near = "minutes" if left <= FLAG_S else "hour" if left <= HOUR_S else ""
    return DoView(words, "ending" if near else "later", end, near, note)


def do(watched: Watched, work: float | None = None) -> DoView:
    """What to do at a layup. `work`: how long the planned next layer takes to lay, s, or None."""
    state, step = foremost(watched.signs), watched.step
    if state == "cold_stalled":
        return DoView(f"heat {watched.bay.code} now", "trouble")
    if watched.proof.left_soft and watched.closed_at is None:
        return DoView("too soft: do not load it", "trouble", note="hardness")
    if state in TROUBLE or step.action == "probe":
        return DoView("do not cover: ask a lead", "trouble")
    if step.action == "none":
        free = None if step.at is None else opening(step.at)  # a bead of a job that was signed
        return DoView("nothing more" if free is None else "load it from", "no_hurry", free)
    if _is_too_hot(watched):
        return DoView("too hot: turn it down", "trouble")
    if watched.moisture is not None:
        return _by_moisture(watched, watched.moisture)
    if step.action == "heat":
        return _heat(watched)
    if watched.bag is not None and watched.bag.is_on:
        return _held(watched)
    if _off_early(watched):
        return DoView("bag off early: see it", "wanted", note=BAGGED)
    if state == "wet":
        latest = gel_on_part(watched).latest
        return (
            DoView("leave it alone", "later", note="gelled") if latest is None else _until(latest)
        )
    if watched.touch.not_gelled is not None:
        return DoView("touch it: gelled?", "wanted", note="gelled")
    if watched.touch.abraded and watched.proof.withheld != "soft":
        return DoView("cover it today", "wanted")
    if state == "recoat_open":
        return _open(watched, work)
    if state == "recoat_touch":
        return _touch(watched)
    return _hard(watched, state)


def _by_moisture(watched: Watched, told: ByMoisture) -> DoView:
    """What cures by moisture is tooled, left to skin, kept unloaded, and cut to see."""
    found, now, step = watched.found, watched.now, watched.step
    if step.action == "heat":
        return DoView(f"keep {watched.bay.code} warmer", "trouble")
    if "cured_through" in watched.signs:
        if watched.touch.sandable is not None:
            return DoView("may be moved", "no_hurry", note="handed_over")
        return DoView("cut an edge to see", "no_hurry", note="thumbnail")
    if "skinned" not in watched.signs:
        if told.tool_by is not None and (end := closing(told.tool_by)) > now:
            return by("tool it by", end, now, note="gelled")
        if watched.touch.not_gelled is not None:
            return DoView("touch it: skinned?", "wanted", note="gelled")
        latest = found["skin"].latest
        if latest is not None:
            return DoView("leave until", "later", opening(latest), note="gelled")
    latest = found["through"].latest
    if latest is not None:
        return DoView("load it from", "later", opening(latest), note="gelled")
    if told.unread_since is not None:
        return DoView("read its humidity", "wanted", note="gelled")
    return DoView("leave it to cure", "no_hurry", note="gelled")


def _held(watched: Watched) -> DoView:
    """Under a bag: until when to hold the vacuum, and then to take it off."""
    if watched.hold is None:
        return DoView("hold vacuum", "later", note=BAG_OFF)
    end = opening(watched.hold)
    if end > watched.now:
        return DoView("vacuum until", "later", end, note=BAG_OFF)
    shuts = None if watched.window is None else closing(watched.window[1])
    if shuts is not None and shuts > watched.now:
        told = by("bag off, layer by", shuts, watched.now, BAG_OFF)
        if told.near:
            return told
    return DoView("take the bag off", "wanted", note=BAG_OFF)


def _off_early(watched: Watched) -> bool:
    """Whether a bag came off before the layup is hard, and that is still to come."""
    due = hold_until(watched.found)
    return bool(watched.off_too_soon) and (due is None or watched.now < due)


def _is_too_hot(watched: Watched) -> bool:
    """Whether it was last read over the band of its post-cure."""
    return watched.post_cure is not None and watched.post_cure.heat(watched.now) == "hot"


def _heated(watched: Watched, heat: PostCured) -> DoView:
    """In its post-cure: until when to hold the heat, if that goes on."""
    ends = heat.ends(watched.now)
    if heat.heat(watched.now) == "unread":
        return DoView("read its probes", "wanted")
    if ends is None:
        return DoView("post-cure: heat it on", "wanted")
    return DoView("heat until", "later", opening(ends))


def gel_on_part(watched: Watched) -> Milestone:
    """The gel on the part: in a film, if its cure sheet has a time for one."""
    return on_part(watched.found["gel"], watched.found["film"])


def seen_by_hand(watched: Watched, sign: Sign) -> bool:
    """Whether a hand has found it so; else its sign is a forecast."""
    return is_seen(sign, watched.touch, watched.found["full_cure"].latest)


def _heat(watched: Watched) -> DoView:
    """It goes too cold before it is hard: the bay is warm by then."""
    at, now = watched.step.at, watched.now
    end = now if at is None else closing(at)
    if end <= now:
        return DoView(f"heat {watched.bay.code} now", "trouble")
    return by(f"heat {watched.bay.code} by", int(end), now)


def _until(latest: float) -> DoView:
    return DoView("leave until", "later", opening(latest), note="gelled")


def _open(watched: Watched, work: float | None) -> DoView:
    """The next layer must be spread by the end: begun by then, where its work's time is known."""
    if watched.window is None:
        return _touch(watched)
    end, now = closing(watched.window[1]), watched.now
    start = end if work is None else closing(watched.window[1] - work)
    note = None if watched.touch.felt else "no_transfer"
    if work is not None and start > now:
        return by("start by", start, now, note)
    if end > now:
        return by("lift in by" if watched.row.kind == "pour" else "layer down by", end, now, note)
    return _after(watched)


def _touch(watched: Watched) -> DoView:
    """Before the sure window a glove may find it open; after it, solvent or a nail finds out."""
    if watched.window is None:  # it may be too soon or too late
        return DoView(f"glove and {_late_test(watched)}", "wanted", note="no_transfer")
    if watched.now < watched.window[0]:
        return DoView("glove, or from", "wanted", opening(watched.window[0]), note="no_transfer")
    return _after(watched)


def _after(watched: Watched) -> DoView:
    """After the sure end no hour is written: nobody should wait for one."""
    return DoView(f"{_late_test(watched)} test first", "wanted", note="green")


def _late_test(watched: Watched) -> str:
    face = "plain" if watched.layer.cover != "none" else watched.layer.surface
    return "acetone" if "acetone" in green_test(face) else "nail"


def _hard(watched: Watched, state: Sign) -> DoView:
    """A gelled layup outside its recoat window."""
    seen, heat = seen_by_hand(watched, state), watched.post_cure
    if watched.proof.withheld == "soft":
        return DoView("too soft: ask a lead", "wanted", note="hardness")
    if heat is not None and heat.measured and heat.done_at is None:
        return _heated(watched, heat)
    if watched.proof.withheld == "heat" and watched.cured_by_clock:
        words = "measure its hardness" if watched.proof.measured else "post-cure it"
        return DoView(words, "wanted", note="hardness" if watched.proof.measured else None)
    if state == "handling_cure":
        if (seen or watched.proof.measured) and watched.proof.lacks:
            return DoView("measure its hardness", "wanted", note="hardness")
        if seen:
            return DoView("may be moved", "no_hurry", note="handed_over")
        return DoView("lead signs, then lift", "no_hurry", note="thumbnail")
    if state == "sandable":
        if seen:
            return DoView("sand any time", "no_hurry", note="sanded")
        return DoView("try the paper", "no_hurry", note="thumbnail")
    if state == "tacky":
        return DoView("strip, then grind", "no_hurry", note="sanded")
    if state == "gelled" and not seen:
        return DoView("touch it: gelled?", "wanted", note="gelled")
    if state == "gelled" and watched.window is not None:
        words = "next lift from" if watched.row.kind == "pour" else "next layer from"
        return DoView(words, "later", opening(watched.window[0]), note="no_transfer")
    if state == "gelled" and watched.touch_window is not None:
        return DoView(
            "touch it from", "later", opening(watched.touch_window[0]), note="no_transfer"
        )
    hard = watched.found["sandable"].latest
    if hard is None:
        return DoView("leave it to cure", "no_hurry", note="thumbnail")
    return DoView("grind from", "no_hurry", opening(hard), note="sanded")
