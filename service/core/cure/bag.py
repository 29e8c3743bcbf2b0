"""A layer under a vacuum bag: since when, until when to hold it, and what came off too soon.

The vacuum holds the plies down and the air out until the resin is hard enough to do so itself.
Pressures are in Pa below the air.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from ..amounts.quantities import ZERO_C
from ..amounts.sentences import heat, pressure
from ..frozen import frozen
from ..words import Text, say
from .leaks import LEAST_VACUUM_PA
from .milestones import Milestone

BAGGED, BAG_OFF = "bagged", "bag_off"
USUAL_AIR_PA = 101_325
"""The air's own pressure where nobody told it: that of the standard atmosphere at sea level."""
LEAST_OVER_STYRENE_PA = 10_000
THIN = say(
    "Under {} absolute styrene may boil out of the resin as it warms, and leave voids: its vapour "
    "has {} at {} and {} at {} (from memory). Pull less vacuum.",
    pressure(LEAST_OVER_STYRENE_PA),
    pressure(2_000), heat(ZERO_C + 40, 0), pressure(5_300), heat(ZERO_C + 60, 0),
)  # fmt: skip
WEAK = say(
    "The bag holds less than {} below the air, the least of a tight one (TM 1-1500-204-23-11, "
    "vacuum integrity test): look for the leak along the tape, at pleats and fittings.",
    pressure(LEAST_VACUUM_PA),
)
WITH_STYRENE = frozenset({"polyester", "vinyl_ester"})


class Said(NamedTuple):
    """A hand's word on a layup: its kind, its moment (epoch s), and the vacuum, if it was read.

    `air` is the air's own pressure, Pa, where that was told.
    """

    kind: str
    at: float
    vacuum: int | None = None
    air: int | None = None


@frozen
class Bag:
    """A vacuum bag on a layer: since when, its vacuum as last read, and when it came off.

    `before` are the moments at which bags came off before it.
    """

    since: float
    vacuum: int | None = None
    air: int | None = None
    off: float | None = None
    before: tuple[float, ...] = ()

    @property
    def is_on(self) -> bool:
        """Whether it was not taken off."""
        return self.off is None

    def cautions(self, chemistry: str | None) -> list[Text]:
        """What so deep a vacuum does to a resin of that chemistry; that it is too little."""
        if not self.is_on or self.vacuum is None:
            return []
        if self.vacuum < LEAST_VACUUM_PA:
            return [WEAK]
        left = (self.air or USUAL_AIR_PA) - self.vacuum
        return [THIN] if chemistry in WITH_STYRENE and left < LEAST_OVER_STYRENE_PA else []


def bag_of(words: Iterable[Said]) -> Bag | None:
    """The last bag of a layup by its hands' words, in the order of time; None if it had none."""
    bag: Bag | None = None
    for word in words:
        if word.kind == BAGGED:
            on = bag is not None and bag.is_on
            since = bag.since if bag is not None and on else word.at
            known = bag if on and word.vacuum is None else word
            before = () if bag is None else (*bag.before, *([] if bag.off is None else [bag.off]))
            vacuum, air = (known.vacuum, known.air) if known else (None, None)
            bag = Bag(since, vacuum, air, before=before)
        elif word.kind == BAG_OFF and bag is not None and bag.is_on:
            bag = Bag(bag.since, bag.vacuum, bag.air, word.at, bag.before)
    return bag


def hold_until(found: Mapping[str, Milestone]) -> float | None:
    """Until when to hold the vacuum, epoch s: until it is surely hard, None if no hour is sure.

    What has no such time on its sheet is held until it can be trimmed.
    """
    hard = found["sandable"]
    if hard.at is None and hard.why == "not-on-sheet":
        return found["trim"].latest
    return hard.latest
