"""Announce each milestone of a layup once, as it is reached, so that a bell can ring.

Each announcement is recorded, so that a receiver that comes back gets the rest from any server of
the store. A milestone that was announced and then moved is not announced again.
"""

from __future__ import annotations

from ...core.amounts.views import Code, Moment, RowId, View
from ...core.frozen import frozen
from ...store.cure import reached
from ...store.cure.reached import Due, Reached
from ...store.engine.database import reading, write
from ...store.engine.revisions import Revision, revision
from ...store.engine.turns import Turn
from ...store.yard.hands import Hand
from ..cure import watch
from ..cure.watch import Watched

MOST_AT_ONCE = 200


@frozen
class ReachedView(View):
    """The data of an event: the milestone, when it was reached, and the layup."""

    id: RowId
    milestone: str
    at: Moment
    layup: int
    title: str
    job: Code


class Lookout:
    """The milestones to come, worked out again when something that they rest on was recorded."""

    def __init__(self) -> None:
        self._revision: Revision | None = None
        self._ahead: list[Due] = []

    def tell(self, *, now: int, hand: Hand) -> None:
        """Record the milestones that were reached by `now` (epoch s), as told to a hand.

        Raises: Busy, StoreFull.
        """
        with reading():
            self._look(now)
        due = [each for each in self._ahead if each.at <= now]
        if due:
            write(lambda: reached.tell(due, now=now, hand=hand), known=True, turn=Turn.CLOCK)
            self._ahead = [each for each in self._ahead if each.at > now]

    def _look(self, now: int) -> None:
        current = revision()
        if current != self._revision:
            watched = watch.watch_open(now)
            self._ahead = reached.untold(due for one in watched for due in _news(one))
            self._revision = current


def told_after(last: int) -> list[ReachedView]:
    """Announcements after the one with that id, in order; at most `MOST_AT_ONCE`."""
    with reading():
        return [_show(row) for row in reached.after(last, MOST_AT_ONCE)]


def last_told() -> int:
    """The id of the last announcement; 0 where there is none."""
    return reached.newest()


def _news(watched: Watched) -> list[Due]:
    """The milestones of a layup that are news: all but those reached before it was recorded.

    Trouble is news in any case.
    """
    row = watched.row
    return [
        Due(row.id, turn.name, turn.at)
        for turn in watched.turns
        if turn.at >= row.recorded_at or turn.name in ("heat", "probe")
    ]


def _show(row: Reached) -> ReachedView:
    layup = row.layup
    return ReachedView(row.id, row.name, row.at, layup.id, layup.title, layup.job.number)
