"""Read the logbook: decisions beside the rules, by whom, when and why."""

from __future__ import annotations

from ...core.amounts.views import Moment, View
from ...core.frozen import frozen
from ...store.yard import heads, logbook


@frozen
class EntryView(View):
    """An entry: what was decided, about what, by whom and why."""

    id: int
    kind: str
    about: str
    reason: str | None
    at: Moment
    who: str
    verified: bool


def head() -> str | None:
    """The head of the chain of seals."""
    return heads.head()


def read_logbook(after: int | None, limit: int) -> list[EntryView]:
    """Entries, the newest first, after the one with that id."""
    return [
        EntryView(row.id, row.kind, row.about, row.reason, row.recorded_at, row.who, row.verified)
        for row in logbook.entries(after, limit)
    ]
