"""Take back a layup that was not laid, or an observation of one.

It stays on record, with who took it back, when and why, and counts no longer. A hand takes back
its own entries within a day, a lead anybody's.
"""

from __future__ import annotations

from collections.abc import Iterable

from ...core.errors import Invalid, NotFound, Refusal
from ...store.cure import layups
from ...store.cure.layups import Layup, LayupObservation
from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.yard import withdrawals
from ...store.yard.hands import Hand
from ..yard import finding, permissions
from . import ending, watch
from .show import LayupView, show_layup


def take_back_layup(row: Layup, *, reason: str, now: int, hand: Hand) -> LayupView:
    """Record that a layup was not laid: its pots are free, and the layer below is watched again.

    Raises:
        AlreadyExists: it was taken back before. NotAllowed: as `permissions.may_undo`.
        Invalid: something lies over it, or hands saw it.
    """
    with writing(Turn.CLOCK):
        finding.refuse_signed(row.job)
        withdrawals.refuse_twice("layup", row.id, f"Layup {row.id}")
        permissions.may_undo(row, now, hand)
        _refuse_built_on(row)
        withdrawals.withdraw("layup", row.id, reason, now=now, hand=hand)
        ending.end(row, now, reason, sound=True, now=now, hand=hand)
        below = layups.below(row)
        if below is not None:
            ending.judge_again(below, now, hand)
        return show_layup(watch.watch(finding.layup(row.id), now))


def take_back_seen(row: Layup, observation: int, *, reason: str, now: int, hand: Hand) -> LayupView:
    """Take back an observation of a layup. A watch that it ended goes on.

    Raises: NotFound: the layup has no such observation. AlreadyExists, NotAllowed.
    """
    with writing(Turn.CLOCK):
        finding.refuse_signed(row.job)
        seen = layups.find_observation(observation)
        if seen is None or seen.layup_id != row.id:
            raise not_noted(observation, f"layup {row.id}")
        withdrawals.refuse_twice("layup_observation", seen.id, f"Observation {observation}")
        permissions.may_undo(seen, now, hand)
        _refuse_signed_off(row, seen)
        _refuse_came_off(row, seen)
        _withdraw(row, seen, reason, now, hand)
        below = layups.below(row)
        if seen.kind == "scraped_off" and below is not None:
            ending.judge_again(below, now, hand)
        return show_layup(watch.watch(finding.layup(row.id), now))


def last_of(row: Layup, now: int, hand: Hand) -> int | None:
    """The id of the last word on a layup, where a hand may take it back now; else None."""
    last = max(layups.observations_of(row.id), key=lambda seen: seen.id, default=None)
    if last is None or not hand.is_at_least("hand"):
        return None
    try:
        permissions.may_undo(last, now, hand)
        _refuse_signed_off(row, last)
        _refuse_came_off(row, last)
    except Refusal:
        return None
    return last.id


def not_noted(number: int, of: str, what: str = "observation") -> NotFound:
    """The refusal to take back an observation, or what else is named, that a thing has not."""
    return NotFound(f"There is no {what} {number} of {of}.", advice=f"Show {of}.")


def _refuse_built_on(row: Layup) -> None:
    uppers = layups.laid_over(row)
    if uppers:
        raise Invalid(
            f"Layup {uppers[0].id} lies over layup {row.id}.",
            advice=f"If that was not laid either, take back layup {uppers[0].id} first.",
            layup=uppers[0].id,
        )
    seen = layups.observations_of(row.id)
    if seen:
        raise Invalid(
            f"Layup {row.id} was observed since: {_words(each.kind for each in seen)}.",
            advice="If that was another layup, take those observations back first.",
        )


def _withdraw(row: Layup, seen: LayupObservation, reason: str, now: int, hand: Hand) -> None:
    """Withdraw an observation, and those of layers that came off with this one."""
    withdrawals.withdraw("layup_observation", seen.id, reason, now=now, hand=hand)
    if seen.kind == "scraped_off":
        for upper in layups.uppers_of(row):
            for each in layups.observations_of(upper.id):
                if each.note == layups.came_off_with(row):
                    _withdraw(upper, each, reason, now, hand)
    ending.judge_again(row, now, hand)


def _refuse_came_off(row: Layup, seen: LayupObservation) -> None:
    below = layups.below(row)
    if below is not None and seen.note == layups.came_off_with(below):
        raise Invalid(
            f"Layup {row.id} came off with layup {below.id} below it.",
            advice=f"Take back that layup {below.id} was scraped off: that takes this back too.",
            layup=below.id,
        )


def _refuse_signed_off(row: Layup, seen: LayupObservation) -> None:
    """Refuse to take back the ground on which a part was handed over."""
    if seen.kind != "handed_over":
        refuse_handed_over(row)


def refuse_handed_over(row: Layup) -> None:
    """Refuse to take anything back of a part that was handed over on its ground.

    Raises: Invalid.
    """
    if any(each.kind == "handed_over" for each in layups.observations_of(row.id)):
        raise Invalid(
            f"Layup {row.id} was handed over on the ground of its observations.",
            advice="First take back that it was handed over, then this.",
        )


def _words(kinds: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(kind.replace("_", " ") for kind in kinds))
