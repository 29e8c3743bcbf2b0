"""Make, list and revoke calendar feeds.

A phone's calendar sends no token, so a feed has a secret in its address. The secret shows times
and titles, and is good for nothing else. It is made and kept as a token's: see `tokens`.
"""

from __future__ import annotations

from ...core.amounts.views import Code, Moment, View
from ...core.errors import AlreadyExists, NotFound
from ...core.frozen import frozen
from ...store.engine.database import reading, writing
from ...store.yard import feeds, logbook
from ...store.yard.feeds import Feed, FeedEnd
from ...store.yard.hands import Hand
from . import finding, recognising


@frozen
class FeedView(View):
    """A feed, without its address."""

    id: int
    job: Code | None
    bay: Code | None
    made_at: Moment
    made_by: str
    revoked_at: Moment | None
    revoked_by: str | None
    reason: str | None


def add_feed(
    *, now: int, hand: Hand, job: str | None = None, bay: str | None = None
) -> tuple[FeedView, str]:
    """Make a feed of a job, of a bay, of what a job has in a bay, or of the whole yard.

    Returns:
        The feed, and its secret, which is never shown again.

    Raises: UnknownReference.
    """
    with writing():
        work = None if job is None else finding.job(job, "/job")
        its_bay = None if bay is None else finding.bay(bay, "/bay")
        secret = recognising.new_secret()
        row = feeds.add(
            work and work.id, its_bay and its_bay.id, recognising.hashed(secret), now=now, hand=hand
        )
        logbook.record("calendar feed made", _about(row), now=now, hand=hand)
        return _show(row, None), secret


def revoke_feed(feed_id: int, *, now: int, hand: Hand, reason: str | None = None) -> FeedView:
    """Revoke a feed: from now on its address shows nothing. It stays on record.

    Raises: NotFound. NotAllowed: somebody else made it. AlreadyExists: it was revoked before.
    """
    with writing():
        row = feeds.find_feed(feed_id)
        if row is None:
            raise NotFound(f"There is no feed {feed_id}.", advice="List the feeds.")
        if (row.who, row.verified) != (hand.name, hand.verified):
            hand.must_be("lead", "To revoke a feed that somebody else made")
        if feeds.end_of(row.id) is not None:
            raise AlreadyExists(
                f"Feed {feed_id} was revoked before.", advice="Nothing is left to do."
            )
        ended = feeds.end(row.id, reason, now=now, hand=hand)
        logbook.record("calendar feed revoked", _about(row), reason=reason, now=now, hand=hand)
        return _show(row, ended)


def list_feeds(after: int | None, limit: int) -> list[FeedView]:
    """Feeds, revoked ones too, the newest first, after the one with that id."""
    with reading():
        rows = feeds.newest(after, limit)
        ends = feeds.ends_of([row.id for row in rows])
        return [_show(row, ends.get(row.id)) for row in rows]


def recognised(secret: str) -> Feed | None:
    """The feed whose secret that is, unless it was revoked."""
    return feeds.standing_by_secret(recognising.hashed(secret))


def _show(row: Feed, ended: FeedEnd | None) -> FeedView:
    return FeedView(
        id=row.id,
        job=row.job.number if row.job else None,
        bay=row.bay.code if row.bay else None,
        made_at=row.recorded_at,
        made_by=row.who,
        revoked_at=ended.recorded_at if ended else None,
        revoked_by=ended.who if ended else None,
        reason=ended.reason if ended else None,
    )


def _about(row: Feed) -> str:
    of = [f"job {row.job.number}"] if row.job else []
    of += [f"bay {row.bay.code}"] if row.bay else []
    return f"feed {row.id} of {', '.join(of) or 'the yard'}"
