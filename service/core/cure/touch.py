"""Touch: what hands found on a layup, in the order of time; the latest word counts.

'Not gelled' cancels every earlier word that the layup had set, and any later word that it has set
cancels 'not gelled'. A hand's word outranks the clock, but it never moves the closing of a window.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import NamedTuple

from ..frozen import frozen
from ..products.cure_sheet import Surface
from .found import HARD, SET
from .milestones import TRIM_AFTER_S, Milestone

HARD_FROM = 20.0
"""A Barcol reading below this does not show that it is hard: half of what a polyester hull needs
(common practice, no source)."""


class Word(NamedTuple):
    """A hand's finding: its kind, its moment (epoch s), and the figure of a hardness (Barcol)."""

    kind: str
    at: float
    value: int | None = None


@frozen
class Touch:
    """The findings on a layup that still hold; epoch s, None where nobody said so.

    Attributes:
        not_gelled: when it was last found wet; None once a later word says that it has set.
        relapsed: whether it was called set before it was found wet.
        gelled: the first word since then, of any kind, that it has set.
        no_transfer: when a glove first came away clean: the next layer may go on.
        green: when solvent last made it tacky, or a nail last marked it: it still bonds.
        hard: when a hardness, a thumbnail or a solvent wipe first found it hard.
        checks: all the times of such a check.
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
    green: float | None = None
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
        found = (self.gelled, self.no_transfer, self.green, self.hard, self.wiped, self.sanded)
        return any(at is not None for at in found)

    @property
    def last_set(self) -> float | None:
        """The last moment at which a hand found more of it set than before."""
        found = (self.gelled, self.no_transfer, self.green, self.wiped, self.sanded, *self.checks)
        return max((at for at in found if at is not None), default=None)

    @property
    def felt(self) -> bool:
        """Whether a hand found that it can be covered: no transfer, or green."""
        return self.no_transfer is not None or self.green is not None

    @property
    def abraded(self) -> bool:
        """Whether it was sanded, and no blush was seen since."""
        return self.sanded is not None and self.blush is None

    def shut(self, surface: Surface) -> float | None:
        """When a hand found that it no longer bonds, if nobody found it green since.

        Solvent that leaves it hard shows it, and on an epoxy a nail that leaves no mark.
        """
        found = self.wiped if surface != "amine_blush" else _last_of(self.wiped, self.hard)
        return None if found is None or (self.green is not None and self.green > found) else found

    @property
    def sandable(self) -> float | None:
        """When a hand first found that it can be sanded: hard, or sanded already."""
        return min((at for at in (self.hard, self.sanded) if at is not None), default=None)


def touch_of(words: Iterable[Word], hard_from: float = HARD_FROM) -> Touch:
    """The findings that still hold.

    Args:
        words: in the order of time. hard_from: the least Barcol reading that counts; below it the
            layer may be soft or wet, so the reading says nothing.
    """
    touch = Touch()
    for word in words:
        if word.kind != "hardness" or word.value is None or word.value >= hard_from:
            touch = _after(touch, word)
    return touch


def _after(touch: Touch, word: Word) -> Touch:
    kind, at = word.kind, word.at
    if kind == "not_gelled":
        was_set = touch.is_set or touch.relapsed or touch.scraped_off is not None
        return Touch(not_gelled=at, relapsed=was_set)
    if kind == "scraped_off":
        return Touch(scraped_off=at)
    if kind == "blush":
        return replace(touch, blush=at)
    return _set(touch, kind, at) if kind in SET else touch


def _set(touch: Touch, kind: str, at: float) -> Touch:
    touch = replace(touch, not_gelled=None, relapsed=False, gelled=_first(touch.gelled, at))
    if kind == "no_transfer":
        return replace(touch, no_transfer=_first(touch.no_transfer, at))
    if kind == "green":
        return replace(touch, green=at)
    if kind == "sanded":
        return replace(touch, sanded=at, blush=None)
    if kind not in HARD:
        return touch
    wiped = at if kind == "solvent_wipe" else touch.wiped
    checks = (*touch.checks, at)
    return replace(touch, hard=_first(touch.hard, at), checks=checks, wiped=wiped)


def _last_of(*moments: float | None) -> float | None:
    return max((at for at in moments if at is not None), default=None)


def _first(known: float | None, at: float) -> float:
    return at if known is None else known


def by_hand(found: Mapping[str, Milestone], touch: Touch) -> dict[str, Milestone]:
    """The milestones, corrected by hands: reached at the latest when a hand found it so.

    Nothing is promised of a layup that stalled in the cold, whatever a hand says.
    """
    from . import recoat  # late: whoever finds a layup in the store reads words alone

    corrected = dict(found)
    gel = "gel" if found["film"].why == "not-on-sheet" else "film"
    corrected[gel] = _at_most(found[gel], touch.gelled)
    trimmed = None if touch.gelled is None else touch.gelled + TRIM_AFTER_S
    corrected["trim"] = _at_most(found["trim"], trimmed)
    if recoat.opens_by_glove(found):
        corrected["recoat_opens"] = _from(found["recoat_opens"], touch.no_transfer)
    corrected["sandable"] = _from(found["sandable"], touch.sandable)
    return corrected


def _at_most(milestone: Milestone, seen: float | None) -> Milestone:
    """A milestone that was reached at some time before a hand saw so."""
    if seen is None or milestone.at is None or milestone.reached(seen):
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
    if seen is None or milestone.why == "cold-stalled" or milestone.reached(seen):
        return milestone
    return Milestone(seen, seen, seen, "observed", computed=milestone.at, sure=seen)
