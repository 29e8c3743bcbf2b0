"""Calendar feeds as they are kept: by the hash of their secret, standing until they are ended."""

from __future__ import annotations

from peewee import JOIN

from ..lookup import newest_first
from ..tables import Bay, Feed, FeedEnd, Job
from .hands import Hand


def add(job: Job | None, bay: Bay | None, secret_hash: str, *, now: int, hand: Hand) -> Feed:
    """Keep a feed. `now`: epoch seconds; `hand`: who made it."""
    return Feed.create(job=job, bay=bay, secret_hash=secret_hash, **hand.signed(now))


def standing_by_secret(secret_hash: str) -> Feed | None:
    """The feed whose secret has that hash, unless it was revoked: one select by an index."""
    ended = FeedEnd.feed == Feed.id
    standing = Feed.select(Feed).join(FeedEnd, JOIN.LEFT_OUTER, on=ended)
    return standing.where(Feed.secret_hash == secret_hash, FeedEnd.id.is_null()).first()


def end_of(feed_id: int) -> FeedEnd | None:
    """How a feed was revoked; None while it stands."""
    return FeedEnd.get_or_none(FeedEnd.feed == feed_id)


def ends_of(feed_ids: list[int]) -> dict[int, FeedEnd]:
    """How those of some feeds that were revoked were, by feed."""
    return {end.feed_id: end for end in FeedEnd.select().where(FeedEnd.feed.in_(feed_ids))}


def end(feed: Feed, reason: str | None, *, now: int, hand: Hand) -> FeedEnd:
    """Revoke a feed. `now`: epoch seconds."""
    return FeedEnd.create(feed=feed, reason=reason, **hand.signed(now))


def newest(after: int | None, limit: int) -> list[Feed]:
    """Feeds, revoked ones too, the newest first, after the one with that id."""
    return list(newest_first(Feed, after, limit))
