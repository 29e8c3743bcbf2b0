"""Observe a pot or a layup: what a hand saw outranks what was computed."""

from __future__ import annotations

import json
from math import floor
from typing import Any

from ...core.errors import AlreadyExists, Invalid, gather
from ...core.gates import barcol
from ...store.cure import layups, pots
from ...store.cure.layups import Layup
from ...store.cure.pots import Batch
from ...store.engine.database import writing
from ...store.stock import ledger
from ...store.stock.lines import draws_of_batch, is_reversed
from ...store.yard.hands import Hand
from ..cure import ending, hand_over, watch
from ..yard import finding, moments
from ..yard import permissions as leave
from . import card as pot_card

POT_KINDS = ("gelled", "not_gelled", "lost", "not_mixed")
LAYUP_KINDS = (
    "gelled", "not_gelled", "no_transfer", "thumbnail", "hardness", "solvent_wipe", "blush",
    "sanded", "covered", "handed_over", "scraped_off",
)  # fmt: skip


def observe_pot(
    pot: Batch,
    *,
    kind: str,
    now: int,
    hand: Hand,
    at: int | None = None,
    note: str | None = None,
) -> dict[str, Any]:
    """Record what was seen of a pot. 'not_mixed' puts back all that was drawn for it.

    Raises:
        Invalid: before it was mixed; not_mixed of a pot that was laid down.
        AlreadyExists: it was undone before.
    """
    with writing():
        at = _moment(at, now, pot.mixed_at, "mixed", hand)
        pots.observe(pot.id, kind, at=at, note=note, now=now, hand=hand)
        if kind == "not_mixed":
            _undo(pot, note or "not mixed", now, hand)
        for layup in layups.layups_of_batches([pot.id]):
            ending.settle(layup, at, now, hand)
        return pot_card.show_card(pot)


def observe_layup(
    row: Layup,
    *,
    kind: str,
    now: int,
    hand: Hand,
    at: int | None = None,
    value: int | None = None,
    note: str | None = None,
    readings: list[int] | None = None,
    override: dict[str, str] | None = None,
) -> dict[str, Any]:
    """Record what was seen of a layup.

    Covered, handed over or scraped off, it is watched no longer; unless it is in trouble, and was
    not scraped off: then it is until somebody says what became of it.

    Args:
        value: of a hardness, on the Barcol scale; or its readings, ten to twelve, of which
            the value is the mean without the highest and the lowest, rounded down.
        override: a `reason` to hand over what is not cured.

    Raises:
        Invalid: before it was laid down; a hardness without its value, or with both.
        UnsoundBelow: covered while it was not sound, and no lead overrides that.
        NotCured, NotAllowed: as `hand_over.check`.
    """
    with writing():
        finding.must_be_laid(row)
        began = layups.started(row, layups.batches_of(row.id))
        at = _moment(at, now, began, "laid down", hand)
        _refuse_gone(row, at)
        if kind == "handed_over":
            hand_over.check(row, at, override, now, hand)
        reason = leave.reason_of(override, hand) if kind == "covered" else None
        unsound = ending.unsound_below(row, at, "/kind") if kind == "covered" else None
        if reason is None:
            gather(unsound)
        if kind == "scraped_off":
            _take_off(row, at, now, hand)
        layups.observe(
            row.id, kind, at=at, now=now, hand=hand, value=_value(kind, value, readings), note=note,
            readings=None if readings is None else json.dumps(readings),
        )  # fmt: skip
        if unsound is not None:
            leave.overridden(
                unsound.slug, reason or "", f"layup {row.id}, {row.title}: {unsound.detail}",
                now=now, hand=hand, layup_id=row.id, job_id=row.job.id,
            )  # fmt: skip
        if kind in layups.ENDS:
            sound = kind == "scraped_off" or ending.is_sound(row, unsound, now)
            ending.end(row, at, note or kind, sound=sound, now=now, hand=hand)
            below = layups.below(row)
            if kind == "scraped_off" and below is not None:
                ending.judge_again(below, now, hand)
        ending.settle(row, at, now, hand)
        watched = watch.watch(finding.layup(row.id), now)
        shown = watch.show(watched)
        return {**shown, "warnings": [*shown["warnings"], *hand_over.doubts(watched)]}


def _refuse_gone(row: Layup, at: int) -> None:
    """What was scraped off, and not found wet since, is not there to be felt."""
    gone = watch.as_it_stood(row, at).touch.scraped_off
    if gone is not None:
        raise Invalid(
            f"Layup {row.id} was scraped off at {moments.clock(gone)}.",
            advice="If it was not scraped off, take that observation back first.",
            pointer="/kind",
        )


def _take_off(row: Layup, at: int, now: int, hand: Hand) -> None:
    """What lies on a layer comes off with it."""
    for upper in layups.laid_over(row):
        when, note = max(at, upper.applied_at), layups.came_off_with(row)
        layups.observe(upper.id, "scraped_off", at=when, note=note, now=now, hand=hand)
        ending.end(upper, when, note, sound=True, now=now, hand=hand)
        _take_off(upper, at, now, hand)


def _value(kind: str, value: int | None, readings: list[int] | None) -> int | None:
    if kind != "hardness" and readings is not None:
        raise Invalid("Only a hardness has readings.", advice="Leave them out.",
                      pointer="/readings")  # fmt: skip
    if kind == "hardness" and (value is None) == (readings is None):
        raise Invalid(
            "A hardness needs either a value or readings.",
            advice="Give 10 to 12 Barcol readings, or the one figure that they gave.",
            pointer="/value",
        )
    return value if readings is None else floor(barcol.mean(readings))


def _moment(at: int | None, now: int, began: int, word: str, hand: Hand) -> int:
    at = moments.happened(at, now, "/at", by=hand)
    if at < began:
        raise Invalid(f"That is before it was {word}.", advice="Check the time.", pointer="/at")
    return at


def _undo(pot: Batch, reason: str, now: int, hand: Hand) -> None:
    if layups.layups_of_batches([pot.id]):
        raise Invalid(
            f"Pot {pot.id} went into a layup, so it was mixed.",
            advice="If it is lost, say 'lost': what was drawn for it stays drawn.",
        )
    standing = [line for line in draws_of_batch(pot.id) if line.kind == "draw"]
    if not standing or is_reversed(standing[0].id):
        raise AlreadyExists(f"Pot {pot.id} was undone before.", advice="Nothing is left to do.")
    leave.may_undo(pot, now, hand)
    ledger.reverse(standing[0].id, reason=reason, at=now, now=now, hand=hand, whole_batch=True)
