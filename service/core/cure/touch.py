"""What hands said of a layup, in the order of time: the latest word counts.

'Not gelled' voids every earlier word that it had set, and any later word that it has set voids
'not gelled'. A hand's word outranks the clock; it never moves the closing of a window.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

from .milestones import TRIM_AFTER_S, Milestone

HARD = ("thumbnail", "hardness", "solvent_wipe")
"""A nail leaves no mark; a Barcol figure; wiped with solvent and found hard."""
HARD_FROM = 20.0
"""Barcol, half of what a polyester hull is held to: a reading under it finds nothing hard (common
practice, no source)."""
SET = ("gelled", "no_transfer", "sanded", *HARD)
"""Words of a layup that has gelled at least."""


class Word(NamedTuple):
    """What a hand said: kind, moment (epoch s), and the figure of a hardness."""

    kind: str
    at: float
    value: int | None = None


@dataclass(frozen=True)
class Touch:
    """What stands of hands' words of a layup, epoch s; None where nobody said so.

    Attributes:
        not_gelled: when it was last found still wet; None once a later word says it has set.
        relapsed: whether it was called set before it was found wet.
        gelled: the first word since then that it has set, of whatever kind.
        no_transfer: when a glove first came away clean: the next layer may go on.
        hard: when a hardness, a thumbnail or a solvent wipe first found it hard. checks: all such.
        wiped, sanded: when it was last wiped with solvent, sanded.
        blush: when blush was last seen on it, if it was not sanded since.
        scraped_off: when it was taken off again.
        ended: when it was covered, handed over or left with its job while it was not sound.
        finished: when the watch on it ended.
    """

    not_gelled: float | None = None
    relapsed: bool = False
    gelled: float | None = None
    no_transfer: float | None = None
    hard: float | None = None
    checks: tuple[float, ...] = ()
    wiped: float | None = None
    sanded: float | None = None
    blush: float | None = None
    scraped_off: float | None = None
    ended: float | None = None
    finished: float | None = None

    @property
    def is_set(self) -> bool:
        """Whether a hand found it gelled, or further."""
        found = (self.gelled, self.no_transfer, self.hard, self.wiped, self.sanded)
        return any(at is not None for at in found)

    @property
    def abraded(self) -> bool:
        """Whether it was sanded, and no blush was seen since."""
        return self.sanded is not None and self.blush is None

    @property
    def sandable(self) -> float | None:
        """When a hand first found that it can be sanded: hard, or sanded already."""
        return min((at for at in (self.hard, self.sanded) if at is not None), default=None)


def touch_of(words: Iterable[Word], hard_from: float = HARD_FROM) -> Touch:
    """What stands of words, given in the order of time.

    Args:
        hard_from: Barcol under which a reading says nothing: it may be of a soft, wet layer.
    """
    stands = Touch()
    for word in words:
        if word.kind != "hardness" or word.value is None or word.value >= hard_from:
            stands = _after(stands, word)
    return stands


def _after(stands: Touch, word: Word) -> Touch:
    kind, at = word.kind, word.at
    if kind == "not_gelled":
        was_set = stands.is_set or stands.relapsed or stands.scraped_off is not None
        return Touch(not_gelled=at, relapsed=was_set)
    if kind == "scraped_off":
        return Touch(scraped_off=at)
    if kind == "blush":
        return replace(stands, blush=at)
    return _set(stands, kind, at) if kind in SET else stands


def _set(stands: Touch, kind: str, at: float) -> Touch:
    stands = replace(
        stands, not_gelled=None, relapsed=False, gelled=_first(stands.gelled, at)
    )  # fmt: skip
    if kind == "no_transfer":
        return replace(stands, no_transfer=_first(stands.no_transfer, at))
    if kind == "sanded":
        return replace(stands, sanded=at, blush=None)
    if kind not in HARD:
        return stands
    wiped = at if kind == "solvent_wipe" else stands.wiped
    return replace(
        stands, hard=_first(stands.hard, at), checks=(*stands.checks, at), wiped=wiped
    )  # fmt: skip


def _first(known: float | None, at: float) -> float:
    return at if known is None else known


def by_hand(found: Mapping[str, Milestone], touch: Touch) -> dict[str, Milestone]:
    """Milestones as hands' words leave them: what was reached sooner than forecast, was.

    Wax has no window, whatever a glove says; and of what is stalled cold nothing is promised.
    """
    told = dict(found)
    gel = "gel" if found["film"].why == "not-on-sheet" else "film"
    told[gel] = _at_most(found[gel], touch.gelled)
    trimmed = None if touch.gelled is None else touch.gelled + TRIM_AFTER_S
    told["trim"] = _at_most(found["trim"], trimmed)
    if found["recoat_opens"].why != "waxed-surface":
        told["recoat_opens"] = _from(found["recoat_opens"], touch.no_transfer)
    told["sandable"] = _from(found["sandable"], touch.sandable)
    return told


def _at_most(milestone: Milestone, seen: float | None) -> Milestone:
    """A milestone that was reached at some time before a hand saw so."""
    if seen is None or milestone.at is None or _known_by(milestone, seen):
        return milestone
    at, earliest = milestone.at, milestone.earliest
    return Milestone(
        min(at, seen),
        seen if earliest is None else min(earliest, seen),
        seen,
        "observed",
        computed=at,
    )


def _from(milestone: Milestone, seen: float | None) -> Milestone:
    """A milestone that a hand saw reached before the clock was sure of it."""
    if seen is None or milestone.why == "cold-stalled" or _known_by(milestone, seen):
        return milestone
    return Milestone(seen, seen, seen, "observed", computed=milestone.at)


def _known_by(milestone: Milestone, seen: float) -> bool:
    return milestone.latest is not None and milestone.latest <= seen
