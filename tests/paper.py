"""A lot's page in a paper book: what the ledger must agree with, kept as a person would."""

from __future__ import annotations

from dataclasses import dataclass, field

from cureyard_service.core import errors


@dataclass
class Line:
    """A line of a page: how much, when it counts from, and if it stands.

    Attributes:
        moment: when it happened; of a count, when it was counted.
        id: its number in the store, where it has one. job: that drew it or brought it back.
        source: the lot that it was brought back of, where that became a lot of its own.
        pot: that it was drawn for.
    """

    kind: str
    amount: int
    moment: int
    stands: bool = True
    id: int = 0
    job: str | None = None
    source: int | None = None
    pot: int | None = None


@dataclass
class Page:
    """A lot's page."""

    lines: list[Line] = field(default_factory=list)

    def at(self, moment: int) -> int:
        """What was there at a moment."""
        return sum(line.amount for line in self.lines if line.stands and line.moment <= moment)

    @property
    def on_hand(self) -> int:
        """What is there."""
        return sum(line.amount for line in self.lines if line.stands)

    @property
    def drawn(self) -> int:
        """What was drawn and did not come back to this page."""
        kinds = ("draw", "return")
        return -sum(line.amount for line in self.lines if line.stands and line.kind in kinds)

    def counted_from(self, moment: int, after: int = 0) -> bool:
        """Whether a count of that moment or later stands among the lines from a place on."""
        return any(
            line.kind == "count" and line.stands and line.moment >= moment
            for line in self.lines[after:]
        )

    def refusal_of_reversing(
        self, number: int, drawn: int | None = None
    ) -> type[errors.Refusal] | None:
        """Why a line can't be struck out, or None.

        Args:
            drawn: by the line's job, and not brought back; without it, what the page says.
        """
        line = self.lines[number]
        drawn = self.drawn if drawn is None else drawn
        if line.kind == "reversal":
            return errors.Invalid
        if not line.stands:
            return errors.AlreadyExists
        if self.counted_from(line.moment, number + 1):
            return errors.CountedSince
        if line.kind == "receipt" and any(o.stands for o in self.lines if o is not line):
            return errors.ShortStock
        if line.kind == "draw" and drawn < -line.amount:
            return errors.ShortStock
        return errors.ShortStock if line.amount > self.on_hand else None

    def strike(self, number: int, mirror: int = 0) -> None:
        """Strike a line out; the stroke is a line too, and counts for nothing."""
        line = self.lines[number]
        line.stands = False
        self.lines.append(Line("reversal", -line.amount, line.moment, stands=False, id=mirror))
