"""Take back what is not stock: a layup that was not laid, what was noted of it, a reading.

What is taken back stays on record, with who took it back, when and why; from then on it counts
no longer. A hand takes back its own within a day, a lead anybody's.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from ...core.errors import AlreadyExists, Invalid, NotFound
from ...store import bays
from ...store.bays import Bay
from ...store.cure import layups, pots
from ...store.cure.layups import Layup, LayupObservation
from ...store.cure.pots import Batch
from ...store.engine.database import writing
from ...store.yard import withdrawals
from ...store.yard.hands import Hand
from ..cure import ending, watch
from ..yard import finding
from ..yard import permissions as leave
from . import card as pot_card


def take_back_layup(row: Layup, *, reason: str, now: int, hand: Hand) -> dict[str, Any]:
    """Say that a layup was not laid: its pots were not laid up by it, and what it covered is
    watched again.

    Raises:
        AlreadyExists: it was taken back before. NotAllowed: as `leave.may_undo`.
        Invalid: something lies over it, or hands saw it.
    """
    with writing():
        _refuse_twice("layup", row.id, f"Layup {row.id}")
        leave.may_undo(row, now, hand)
        _refuse_built_on(row)
        withdrawals.withdraw("layup", row.id, reason, now=now, hand=hand)
        ending.end(row, now, reason, sound=True, now=now, hand=hand)
        below = layups.below(row)
        if below is not None:
            ending.judge_again(below, now, hand)
        return watch.show(watch.watch(finding.layup(row.id), now))


def take_back_seen(
    row: Layup, observation: int, *, reason: str, now: int, hand: Hand
) -> dict[str, Any]:
    """Take back what was noted of a layup. What it ended goes on.

    Raises: NotFound: nothing such was noted of it. AlreadyExists, NotAllowed.
    """
    with writing():
        seen = layups.find_observation(observation)
        if seen is None or seen.layup_id != row.id:
            raise _not_noted(observation, f"layup {row.id}")
        _refuse_twice("layup_observation", seen.id, f"Observation {observation}")
        leave.may_undo(seen, now, hand)
        _refuse_signed_off(row, seen)
        _refuse_came_off(row, seen)
        _unsay(row, seen, reason, now, hand)
        below = layups.below(row)
        if seen.kind == "scraped_off" and below is not None:
            ending.judge_again(below, now, hand)
        return watch.show(watch.watch(finding.layup(row.id), now))


def take_back_pot_seen(
    pot: Batch, observation: int, *, reason: str, now: int, hand: Hand
) -> dict[str, Any]:
    """Take back what was noted of a pot.

    Raises:
        NotFound: nothing such was noted of it. AlreadyExists, NotAllowed.
        Invalid: it was 'not mixed', and its stock went back.
    """
    with writing():
        seen = pots.find_observation(observation)
        if seen is None or seen.batch_id != pot.id:
            raise _not_noted(observation, f"pot {pot.id}")
        _refuse_twice("batch_observation", seen.id, f"Observation {observation}")
        if seen.kind == "not_mixed":
            raise Invalid(
                f"What was drawn for pot {pot.id} went back into stock.",
                advice="If it was mixed after all, mix it again here: that draws it again.",
            )
        leave.may_undo(seen, now, hand)
        withdrawals.withdraw("batch_observation", seen.id, reason, now=now, hand=hand)
        for layup in layups.layups_of_batches([pot.id]):
            ending.judge_again(layup, now, hand)
        return pot_card.show_card(pot)


def take_back_reading(
    place: Bay,
    reading: int,
    *,
    reason: str,
    now: int,
    hand: Hand,
    whole_entry: bool = False,
) -> dict[str, int]:
    """Take back a reading of a bay. A correction that is taken back lets the earlier one stand.

    Args:
        whole_entry: with all that was entered with it, such as a logger's file.

    Returns:
        How many readings were taken back.

    Raises:
        NotFound: the bay has none with that id. AlreadyExists, NotAllowed.
        Invalid: it was corrected since.
    """
    with writing():
        row = bays.find_reading(reading)
        if row is None or row.bay_id != place.id:
            raise NotFound(
                f"{place.code} has no reading {reading}.", advice="List the bay's readings."
            )
        _refuse_twice("reading", row.id, f"Reading {reading}")
        leave.may_undo(row, now, hand)
        if not bays.is_in_force(row.id):
            raise Invalid(
                f"Reading {reading} was corrected since.",
                advice="Take the correction back first, or correct it again.",
            )
        rows = bays.entered_with(row) if whole_entry else [row]
        for each in rows:
            withdrawals.withdraw("reading", each.id, reason, now=now, hand=hand)
        return {"taken_back": len(rows)}


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
            advice="If those observations are of another layup, take them back first.",
        )


def _unsay(row: Layup, seen: LayupObservation, reason: str, now: int, hand: Hand) -> None:
    """Take back what was noted, and what came off with it; what that ended goes on."""
    withdrawals.withdraw("layup_observation", seen.id, reason, now=now, hand=hand)
    if seen.kind == "scraped_off":
        for upper in layups.uppers_of(row):
            for each in layups.observations_of(upper.id):
                if each.note == layups.came_off_with(row):
                    _unsay(upper, each, reason, now, hand)
    ending.judge_again(row, now, hand)


def _refuse_came_off(row: Layup, seen: LayupObservation) -> None:
    below = layups.below(row)
    if below is not None and seen.note == layups.came_off_with(below):
        raise Invalid(
            f"Layup {row.id} was scraped off with layup {below.id}, on which it lay.",
            advice=f"Take back that layup {below.id} was scraped off, and this goes with it.",
            layup=below.id,
        )


def _refuse_signed_off(row: Layup, seen: LayupObservation) -> None:
    """What a part was handed over on stays as long as the handing over does."""
    over = [each for each in layups.observations_of(row.id) if each.kind == "handed_over"]
    if over and seen.kind != "handed_over":
        raise Invalid(
            f"Layup {row.id} was handed over because of that observation.",
            advice="First take back that it was handed over, then this.",
        )


def _refuse_twice(table: withdrawals.Table, row_id: int, name: str) -> None:
    if withdrawals.of_row(table, row_id) is not None:
        raise AlreadyExists(f"{name} was taken back before.", advice="Nothing is left to do.")


def _not_noted(observation: int, of: str) -> NotFound:
    return NotFound(f"There is no observation {observation} of {of}.", advice=f"Show {of}.")


def _words(kinds: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(kind.replace("_", " ") for kind in kinds))
