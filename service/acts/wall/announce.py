"""Announce what turns about layups, as it does: once each, so that a bell can ring.

What was told is put down as it is told, so that whoever comes back is told the rest, whichever
server of the store it asks. Something that was told and then moved is not told again.
"""

from __future__ import annotations

from typing import Any

from ...core.cure.turns import turns
from ...store.cure import layups, reached
from ...store.cure.reached import Due, Reached
from ...store.engine.database import reading, write
from ...store.engine.revisions import Revision, revision
from ...store.yard.hands import Hand
from ..cure import watch
from ..cure.watch import Watched

MOST_AT_ONCE = 200


class Lookout:
    """What is to come, worked out again when something was recorded that it may rest on."""

    def __init__(self) -> None:
        self._revision: Revision | None = None
        self._ahead: list[Due] = []

    def tell(self, *, now: int, hand: Hand) -> None:
        """Put down what has turned by `now` (epoch s). `hand`: who is told.

        Raises: Busy, StoreFull.
        """
        with reading():
            self._look(now)
        due = [each for each in self._ahead if each.at <= now]
        if due:
            write(lambda: reached.tell(due, now=now, hand=hand), known=True)
            self._ahead = [each for each in self._ahead if each.at > now]

    def _look(self, now: int) -> None:
        current = revision()
        if current != self._revision:
            watched = watch.watch_all(layups.open_layups(), now)
            self._ahead = reached.untold(due for one in watched for due in _news(one))
            self._revision = current


def told_after(last: int) -> list[dict[str, Any]]:
    """What was told after the one with that id, in order; the most that is given at once."""
    with reading():
        return [_show(row) for row in reached.after(last, MOST_AT_ONCE)]


def last_told() -> int:
    """The id of what was told last; 0 where nothing was."""
    return reached.newest()


def _news(watched: Watched) -> list[Due]:
    """What turns about a layup; what had when it was recorded is no news, but trouble still is."""
    row = watched.row
    return [
        Due(row.id, turn.name, turn.at)
        for turn in turns(watched.found, watched.cold_from, watched.trouble_since)
        if turn.at >= row.recorded_at or turn.name in ("heat", "probe")
    ]


def _show(row: Reached) -> dict[str, Any]:
    return {
        "id": row.id,
        "milestone": row.name,
        "at": row.at,
        "layup": row.layup.id,
        "title": row.layup.title,
        "job": row.layup.job.number,
    }
