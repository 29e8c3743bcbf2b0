"""The score of promises: how often a stage came outside the band that was told of it.

A hand sees that a stage has come, or has not come yet; so a promise that is kept may be late or
early unseen, and a look long after tells nothing. What was seen outside the band, was outside.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from ..frozen import frozen

Outcome = Literal["kept", "early", "late"]


@frozen
class Promise:
    """A stage as it was told: moments in epoch s, `latest` None where it might never come.

    Attributes:
        since: when its time began.
    """

    stage: str
    since: float
    earliest: float
    at: float
    latest: float | None


@frozen
class Tally:
    """So many promises that a look tells of, and those of them that came early and late."""

    counted: int
    early: int
    late: int

    @property
    def outside(self) -> int:
        """How many came outside their band."""
        return self.early + self.late

    def expected(self, sure: float) -> float:
        """How many should have, where each edge leaves `sure` on its other side."""
        return 2 * (1 - sure) * self.counted

    def words(self, sure: float) -> str | None:
        """A word to a yard whose promises fail more often than they should; else None."""
        expected = self.expected(sure)
        if self.outside <= max(expected, 1):
            return None
        return (
            f"Of the last {self.counted} promises that a look tells of, {self.outside} fell "
            f"outside; expected {expected:.0f}: make the yard's sureness greater, or find out why."
        )


def outcome(promise: Promise, not_yet: float | None, there: float | None) -> Outcome | None:
    """How a promise came out; None where the looks don't tell.

    Args:
        not_yet: when a hand last found that it had not come. there: when one first found that it
            had. Epoch s, or None.
    """
    if there is not None and there < promise.earliest:
        return "early"
    if promise.latest is None:
        return None
    if not_yet is not None and not_yet > promise.latest:
        return "late"
    return "kept" if there is not None and there <= promise.latest else None


def tally(outcomes: Sequence[Outcome]) -> Tally:
    """The outcomes counted."""
    return Tally(len(outcomes), outcomes.count("early"), outcomes.count("late"))
