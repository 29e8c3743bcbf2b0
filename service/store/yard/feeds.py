"""Calendar feeds as they are kept: by the hash of their secret, standing until they are ended."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from .. import tables
from ..engine.columns import LARGEST
from ..engine.rows import Reader, insert
from .hands import Hand
from .overrides import JobNumber


class BayCode(NamedTuple):
    """A bay, by its code alone."""

    id: int
    code: str


class Feed(NamedTuple):
    """A calendar's own secret address; of a job, a bay, or all."""

    id: int
    recorded_at: int
    who: str
    verified: bool
    job: JobNumber | None
    bay: BayCode | None


class FeedEnd(NamedTuple):
    """A feed revoked."""

    feed_id: int
    reason: str | None
    recorded_at: int
    who: str
    verified: bool


_FEEDS = Reader(Feed, tables.Feed)
_ENDS = Reader(FeedEnd, tables.FeedEnd)

find_feed = _FEEDS.by_id


def add(job_id: int | None, bay_id: int | None, secret_hash: str, *, now: int, hand: Hand) -> Feed:
    """Keep a feed. `now`: epoch seconds; `hand`: who made it."""
    made = insert(
        tables.Feed, job_id=job_id, bay_id=bay_id, secret_hash=secret_hash, **hand.signed(now)
    )
    return _FEEDS.of_id(made)


def standing_by_secret(secret_hash: str) -> Feed | None:
    """The feed whose secret has that hash, unless it was revoked: one select by an index."""
    rest = """
        WHERE feed.secret_hash = ?
        AND NOT EXISTS (SELECT 1 FROM feed_end WHERE feed_end.feed_id = feed.id)
    """
    return _FEEDS.first(rest, secret_hash)


def end_of(feed_id: int) -> FeedEnd | None:
    """How a feed was revoked; None while it stands."""
    return ends_of([feed_id]).get(feed_id)


def ends_of(feed_ids: Iterable[int]) -> dict[int, FeedEnd]:
    """How those of some feeds that were revoked were, by feed."""
    rows = _ENDS.all("WHERE feed_end.feed_id IN (?*)", list(feed_ids))
    return {row.feed_id: row for row in rows}


def end(feed_id: int, reason: str | None, *, now: int, hand: Hand) -> FeedEnd:
    """Revoke a feed. `now`: epoch seconds."""
    return _ENDS.of_id(insert(tables.FeedEnd, feed_id=feed_id, reason=reason, **hand.signed(now)))


def newest(after: int | None, limit: int) -> list[Feed]:
    """Feeds, revoked ones too, the newest first, after the one with that id."""
    rest = "WHERE feed.id < ? ORDER BY feed.id DESC LIMIT ?"
    return _FEEDS.all(rest, LARGEST if after is None else after, limit)
