"""The logbook: what people decided beside the rules, or did to the store. It is only added to."""

from __future__ import annotations

from typing import Literal, NamedTuple

from .. import tables
from ..engine.columns import LARGEST
from ..engine.rows import Reader, insert
from .hands import Hand

Kind = Literal[
    "overridden",
    "left open",
    "held",
    "released",
    "extended",
    "lot dated",
    "count accepted",
    "token made",
    "token revoked",
    "phone added",
    "phone came in",
    "phone removed",
    "calendar feed made",
    "calendar feed revoked",
    "restored",
    "tokens carried over",
    "yard changed",
    "job reopened",
    "job signed",
    "signature voided",
]


class Entry(NamedTuple):
    """What was decided beside the rules, or done to the store."""

    id: int
    kind: str
    about: str
    reason: str | None
    recorded_at: int
    who: str
    verified: bool


_ENTRIES = Reader(Entry, tables.LogbookEntry)


def record(kind: Kind, about: str, *, now: int, hand: Hand, reason: str | None = None) -> None:
    """Write an entry, in the transaction of what it tells of.

    Args:
        about: names the thing as a person would, such as 'lot LAM-PE/B-2207'.
        now: epoch seconds.
    """
    insert(tables.LogbookEntry, kind=kind, about=about, reason=reason, **hand.signed(now))


def entries(after: int | None, limit: int) -> list[Entry]:
    """Entries, the newest first, after the one with that id."""
    rest = "WHERE logbook.id < ? ORDER BY logbook.id DESC LIMIT ?"
    return _ENTRIES.all(rest, LARGEST if after is None else after, limit)
