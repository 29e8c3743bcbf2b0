"""Reserving: the needs of jobs, and the lots that are kept for them.

A need reserves a quantity of a product. Lots are assigned again at every look: first expired, first
out, and the job that needs them soonest comes first. So nothing is reserved that is not there, and
`free = on hand - reserved` is never below zero.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from ..frozen import frozen
from .remainder import allowance


@frozen
class Stocked:
    """A lot with its last day (None: no date) and its amount on hand, in stock units."""

    id: int
    last_day: date | None
    on_hand: int


@frozen
class Want:
    """The open amount of one need.

    Attributes:
        need, job: ids. parts: amounts in stock units; if `whole`, each comes from one lot.
        by: the day of use, or None if nobody gave it. until: the last day of use, if there are
            several.
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
        """The amount that it lacks if `kept` is kept for it; a rounding error counts as nothing."""
        lacking = self.amount - kept
        return lacking if lacking > allowance(self.amount) else 0


@frozen
class Kept:
    """An amount of a lot that is kept for a need, in stock units."""

    need: int
    job: int
    lot: int
    amount: int


def still_wanted(steps: Iterable[tuple[int, int]]) -> int:
    """The rest of a job's needs of one product after its draws.

    Stock drawn beyond the needs of its time does not count for a later need. Stock that is
    brought back is needed again.

    Args:
        steps: in order, (amount of a need, net amount drawn from then until the next need).
    """
    needed = left = 0
    for amount, drawn in steps:
        needed += amount
        left = min(needed, max(0, left + amount - drawn))
    return left


def cut_down(pieces: Sequence[int], drawn: int) -> tuple[int, ...]:
    """The pieces still to be cut after a length was drawn, longest first.

    Whole pieces that fit in the drawn length are done; the remainder shortens the longest piece
    that is left.
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
    """Whether a lot is in date today and on the last day of use."""
    last = want.until or want.by or today
    return lot.last_day is None or lot.last_day >= max(today, last)


def assign(wants: Sequence[Want], lots: Sequence[Stocked], today: date) -> list[Kept]:
    """Keep lots for needs: the soonest need first, from the lot that expires first.

    Args:
        lots: those that may be drawn, so no held ones.

    Returns:
        Never more of a lot than is on hand, nor more for a need than its amount.
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
    """(lot, amount) for one part, as far as stock goes; all or nothing if it is one piece."""
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
