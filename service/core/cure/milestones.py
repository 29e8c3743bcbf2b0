"""Milestones: a layer's moments on the way to cure, each with its band and its basis."""

from __future__ import annotations

from dataclasses import replace

from ..bays.temperature import Basis
from ..frozen import frozen

HOUR_S = 3600
TRIM_AFTER_S = 30 * 60
"""Rubbery enough for the knife about 30 min after it sets (Practical Action, Technical Brief:
Fibreglass Boats, KnO 100378)."""
NAMES = ("gel", "film", "trim", "recoat_opens", "recoat_closes", "sandable", "full_cure")
"""`gel` is that of a cup; `film` is the sheet's own gel time of a thin film."""


@frozen
class Milestone:
    """A likely moment (epoch s) with its band; or None and the reason why there is none.

    Attributes:
        latest: None where it may never get there.
        computed: the clock's own moment where a hand's word outranks it.
        why: the reason, such as 'not-on-sheet'. note: what the moment rests on, where that is
            not the clock alone.
        sure: of a window's opening or closing, from or until when it is surely open; epoch s.
    """

    at: float | None
    earliest: float | None = None
    latest: float | None = None
    basis: Basis | str | None = None
    why: str | None = None
    computed: float | None = None
    note: str | None = None
    sure: float | None = None

    def not_before(self, moment: float) -> Milestone:
        """The same, but nowhere before a moment, epoch s."""

        def later(edge: float | None) -> float | None:
            return None if edge is None else max(edge, moment)

        return replace(
            self,
            at=later(self.at),
            earliest=later(self.earliest),
            latest=later(self.latest),
            sure=later(self.sure),
        )

    def reached(self, now: float) -> bool:
        """Whether it is surely reached at `now` (epoch s), by the late edge of its band."""
        return self.latest is not None and now >= self.latest


NOT_ON_SHEET = Milestone(None, why="not-on-sheet")


def on_part(gel: Milestone, film: Milestone) -> Milestone:
    """The gel on the part: that of a film where the sheet times one, else that of a cup."""
    return gel if film.why == "not-on-sheet" else film
