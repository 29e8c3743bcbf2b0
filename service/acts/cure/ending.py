"""End the watch on a layup. One that is not sound is still watched, and stays in every list."""

from __future__ import annotations

from ...core.errors import UnsoundBelow
from ...store.cure import earlier, layups
from ...store.cure.layups import Layup
from ...store.yard.hands import Hand
from ..yard import finding
from . import watch

ADVICE = (
    "Wait, heat it or scrape it off, as it needs, and note what a hand finds: gelled, no_transfer, "
    "a hardness, scraped_off. A lead may override with a reason."
)


LATE = frozenset({"late", "suspect"})
"""Signs that a cover does not hide."""


def unsound_below(below: Layup, at: int, pointer: str) -> UnsoundBelow | None:
    """Why nothing may go on a layup at a moment (epoch s), or None.

    A layup that was found wet after that moment was wet at it too.
    """
    stood = watch.as_it_stood(below, at)
    why = stood.unsound
    if why is None and any(
        o.kind == "not_gelled" and o.at > at for o in layups.observations_of(below.id)
    ):
        why = "was found not gelled after that"
    if why is None and stood.moisture is not None and not stood.found["through"].reached(at):
        why = "is not known to be cured through: covered, it gets no more moisture from the air"
    if why is None:
        return None
    return UnsoundBelow(
        f"Layup {below.id}, {below.title}, {why}.",
        advice=ADVICE,
        pointer=pointer,
        layup=below.id,
        state=list(stood.signs),
    )


def is_sound(row: Layup, unsound: UnsoundBelow | None, now: int) -> bool:
    """Whether a layup was sound when it ended, and is in no trouble now.

    Args:
        unsound: the answer of `unsound_below` for the moment at which it was covered.
    """
    return unsound is None and not watch.watch(row, now).in_trouble


def end(row: Layup, at: int, reason: str | None, *, sound: bool, now: int, hand: Hand) -> None:
    """Record that a layup was covered, handed over or left; if it is sound, its watch ends."""
    row = finding.layup(row.id)
    closed_at = at if row.closed_at is None else row.closed_at
    changes: dict[str, object] = {}
    if row.ended_at is None:
        changes |= {"ended_at": at, "closed_reason": reason}
    if row.closed_at != (closed_at if sound else None):
        changes["closed_at"] = closed_at if sound else None
    if changes:
        earlier.change(row, now=now, hand=hand, **changes)


def settle(row: Layup, at: int, now: int, hand: Hand) -> None:
    """End or begin the watch on a layup that had ended, after a new observation of it.

    Args:
        at: when that was made, epoch s.
    """
    row = finding.layup(row.id)
    if row.ended_at is None:
        return
    if row.closed_at is None:
        if not watch.watch(row, now).in_trouble:
            end(row, max(at, row.ended_at), None, sound=True, now=now, hand=hand)
        return
    stood = watch.as_it_stood(row, now)
    soft = stood.proof.left_soft
    if soft or stood.touch.not_gelled is not None or LATE & set(stood.signs):
        end(row, row.ended_at, None, sound=False, now=now, hand=hand)


def judge_again(row: Layup, now: int, hand: Hand) -> None:
    """End a layup by the records that are left, or let it go on: something was taken back."""
    row = finding.layup(row.id)
    ended_at, why = layups.end_of(row) or (None, None)
    if ended_at is None and row.ended_at is None:
        return
    ends = {"ended_at": ended_at, "closed_at": None, "closed_reason": why}
    earlier.change(row, now=now, hand=hand, **ends)
    if ended_at is None:
        return
    stood = watch.as_it_stood(row, ended_at)
    sound = stood.unsound is None if layups.is_covered(row) else not stood.in_trouble
    end(row, ended_at, why, sound=sound, now=now, hand=hand)
    settle(row, ended_at, now, hand)
