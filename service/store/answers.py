"""First answers kept by their idempotency key, so that a retry changes nothing twice."""

from __future__ import annotations

from typing import NamedTuple

from . import tables
from .engine.database import db
from .engine.rows import Reader, insert


class Answer(NamedTuple):
    """The first answer to a request with an idempotency key."""

    body_hash: str
    status: int
    body: str
    location: str | None
    etag: str | None


_ANSWERS = Reader(Answer, tables.Answer)


def find(scope: str, key: str) -> Answer | None:
    """The answer kept under a key, or None.

    Args:
        scope: whose key it is: token, method and path.
    """
    return _ANSWERS.first("WHERE answer.scope = ? AND answer.key = ?", scope, key)


def keep(
    scope: str,
    key: str,
    *,
    body_hash: str,
    status: int,
    body: str,
    location: str | None,
    etag: str | None,
    now: int,
) -> None:
    """Keep an answer, in the transaction of the act that it answers.

    Args:
        body_hash: of the request, so that another body under the same key is seen.
        status, body, location, etag: the answer. now: epoch seconds.
    """
    insert(
        tables.Answer, scope=scope, key=key, body_hash=body_hash, status=status, body=body,
        location=location, etag=etag, made_at=now,
    )  # fmt: skip


def forget_before(moment: int) -> int:
    """Drop the answers kept before a moment in epoch seconds; how many they were."""
    sql = f"DELETE FROM answer WHERE made_at < {db.param}"
    return int(db.execute_sql(sql, (moment,)).rowcount)
