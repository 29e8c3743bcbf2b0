"""The logbook: what people decided beside the rules, or did to the store. It is only added to."""

from __future__ import annotations

from typing import Literal

from ..lookup import newest_first
from ..tables import LogbookEntry
from .hands import Hand

Kind = Literal[
    "overridden",
    "held",
    "released",
    "extended",
    "lot dated",
    "count accepted",
    "token made",
    "token revoked",
    "calendar feed made",
    "calendar feed revoked",
    "restored",
    "tokens carried over",
    "yard changed",
    "job reopened",
]


def record(kind: Kind, about: str, *, now: int, hand: Hand, reason: str | None = None) -> None:
    """Write an entry, in the transaction of what it tells of.

    Args:
        about: names the thing as a person would, such as 'lot LAM-PE/B-2207'.
        now: epoch seconds.
    """
    LogbookEntry.create(kind=kind, about=about, reason=reason, **hand.signed(now))


def entries(after: int | None, limit: int) -> list[LogbookEntry]:
    """Entries, the newest first, after the one with that id."""
    return list(newest_first(LogbookEntry, after, limit))
