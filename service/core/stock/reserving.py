"""Needs against stock: what a job has still to take, and which lots are kept for it.

A need reserves a quantity of a product; lots are assigned anew whenever somebody looks,
first expired first out, to the job that needs them soonest first. So nothing is ever
reserved that is not there: `free = on hand - reserved` is never below zero.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from .remainder import allowance


@dataclass(frozen=True)
class Stocked:
    """A lot with its last day (None: no date) and what is on hand, in stock units."""

    id: int
    last_day: date | None
    on_hand: int


@dataclass(frozen=True)
class Want:
    """What one need has still to take.

    Attributes:
        need, job: ids. parts: amounts, in stock units; each comes from one lot where `whole`.
        by: the day of use; None when nobody said. until: the last day of use, where it is
            used on several.
    """

    need: int
    job: int
    parts: tuple[int, ...]
    whole: bool = False
    by: date | None = None
    until: date | None = None

    @property
    def amount(self) -> int:
        """All its parts together."""
        return sum(self.parts)

    def short(self, kept: int) -> int:
        """What it lacks of its amount where so much is kept for it; nothing, for rounding."""
        lacking = self.amount - kept
        return lacking if lacking > allowance(self.amount) else 0


@dataclass(frozen=True)
class Kept:
    """So much of a lot kept for a need."""

    need: int
    job: int
    lot: int
    amount: int


def still_wanted(steps: Iterable[tuple[int, int]]) -> int:
    """What is left of a job's needs of one product after what it drew.

    Args:
        steps: in order, (amount of a need, net drawn from then until the next need). What
            was drawn beyond the needs of its time fills no later need; what is brought
            back is wanted again.
    """
    said = left = 0
    for amount, drawn in steps:
        said += amount
        left = min(said, max(0, left + amount - drawn))
    return left


def cut_down(pieces: Sequence[int], drawn: int) -> tuple[int, ...]:
    """The pieces still to be cut after so much length was drawn, the longest first.

    Whole pieces that fit in what was drawn are done; a remainder shortens the longest left.
    """
    left: list[int] = []
    for piece in sorted(pieces, reverse=True):
        if piece <= drawn:
            drawn -= piece
        else:
            left.append(piece)
    if left and drawn:
        left[0] -= drawn
    return tuple(sorted(left, reverse=True))


def usable(lot: Stocked, want: Want, today: date) -> bool:
    """Whether a lot is in date today and on the last day that it is wanted."""
    last = want.until or want.by or today
    return lot.last_day is None or lot.last_day >= max(today, last)


def assign(wants: Sequence[Want], lots: Sequence[Stocked], today: date) -> list[Kept]:
    """Keep lots for needs: the soonest need first, from the lot that expires first.

    Args:
        lots: those that may be drawn at all; a held one is not among them.

    Returns:
        Never more of a lot than is on hand, nor more for a need than it wants.
    """
    left = {lot.id: lot.on_hand for lot in lots}
    kept: list[Kept] = []
    for want in sorted(wants, key=lambda want: (want.by or date.max, want.need)):
        good = [lot for lot in lots if usable(lot, want, today)]
        for part in want.parts:
            for lot, amount in _taken(part, good, left, want.whole):
                left[lot] -= amount
                kept.append(Kept(want.need, want.job, lot, amount))
    return kept


def _taken(
    part: int, lots: Sequence[Stocked], left: dict[int, int], whole: bool
) -> list[tuple[int, int]]:
    """(lot, amount) for one part, as far as it goes; all or nothing where it is one piece."""
    turn = sorted(lots, key=lambda lot: (lot.last_day or date.max, left[lot.id], lot.id))
    if whole:
        return [(lot.id, part) for lot in turn if left[lot.id] >= part][:1]
    taken = []
    for lot in turn:
        amount = min(part, left[lot.id])
        if amount > 0:
            taken.append((lot.id, amount))
            part -= amount
    return taken
