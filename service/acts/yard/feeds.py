"""Calendar feeds: made, their address shown once, known again by its hash, revoked.

A phone's calendar shows no token, so a feed's own secret stands in its address, shows times and
titles, and nothing else can be done with it. It is made and kept as a token is: see `tokens`.
"""

from __future__ import annotations

from typing import Any

from ...core.errors import AlreadyExists, NotFound
from ...store.engine.database import reading, writing
from ...store.yard import feeds, logbook
from ...store.yard.feeds import Feed, FeedEnd
from ...store.yard.hands import Hand
from . import finding, tokens


def add_feed(
    *, now: int, hand: Hand, job: str | None = None, bay: str | None = None
) -> dict[str, Any]:
    """Make a feed of a job, of a bay, of what a job has in a bay, or of the whole yard.

    Returns:
        The feed as `list_feeds` gives it, with its `secret`, never shown again.

    Raises: UnknownReference.
    """
    with writing():
        work = None if job is None else finding.job(job, "/job")
        place = None if bay is None else finding.bay(bay, "/bay")
        secret = tokens.new_secret()
        row = feeds.add(
            work and work.id, place and place.id, tokens.hashed(secret), now=now, hand=hand
        )
        logbook.record("calendar feed made", _about(row), now=now, hand=hand)
        return {**_show(row, None), "secret": secret}


def revoke_feed(feed_id: int, *, now: int, hand: Hand, reason: str | None = None) -> dict[str, Any]:
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


def list_feeds(after: int | None, limit: int) -> list[dict[str, Any]]:
    """Feeds, revoked ones too, the newest first, after the one with that id."""
    with reading():
        rows = feeds.newest(after, limit)
        ends = feeds.ends_of([row.id for row in rows])
        return [_show(row, ends.get(row.id)) for row in rows]


def recognised(secret: str) -> Feed | None:
    """The feed whose secret that is, unless it was revoked."""
    return feeds.standing_by_secret(tokens.hashed(secret))


def _show(row: Feed, ended: FeedEnd | None) -> dict[str, Any]:
    return {
        "id": row.id,
        "job": row.job and row.job.number,
        "bay": row.bay and row.bay.code,
        "made_at": row.recorded_at,
        "made_by": row.who,
        "revoked_at": ended and ended.recorded_at,
        "revoked_by": ended and ended.who,
        "reason": ended and ended.reason,
    }


def _about(row: Feed) -> str:
    of = [f"job {row.job.number}"] if row.job else []
    of += [f"bay {row.bay.code}"] if row.bay else []
    return f"feed {row.id} of {', '.join(of) or 'the yard'}"
