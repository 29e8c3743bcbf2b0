"""A pot that goes under a vacuum bag: it must stay workable until the pump has pulled the bag down.

Resin that gels before that holds its air and its excess: the bag can press nothing out of it.
"""

from __future__ import annotations

from math import ceil, floor

from ..frozen import frozen
from .pot import Dose


@frozen
class Bagging:
    """How long the work takes once a pot is stirred: to lay it, to bag it, to pump down; s."""

    laying: float
    bagging: float
    pumping: float

    @property
    def total(self) -> float:
        """All of it, s."""
        return self.laying + self.bagging + self.pumping


def too_short(dose: Dose, work: Bagging) -> str | None:
    """Why a pot is too short for its bag, in words; None where it lasts, even at worst."""
    if dose.working_time >= work.total:
        return None
    parts = (("laying", work.laying), ("bagging", work.bagging), ("pumping down", work.pumping))
    named = [f"{name} {_minutes(time)}" for name, time in parts]
    return (
        f"At worst the pot can be spread for {floor(dose.working_time / 60)} min once it is "
        f"stirred, but the bag takes {_minutes(work.total)}: {', '.join(named)}."
    )


def _minutes(seconds: float) -> str:
    return f"{ceil(round(seconds / 60, 6))} min"
