"""A request that is sent again is done once: the idempotency key.

The key, a hash of the body and the answer are kept in the act's own transaction. So a retry gets
the first answer, and so does a twin at the same moment, which waits for it; a refusal changed
nothing, and its retry is judged anew.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from typing import Any

from flask import Response, current_app, g, request

from ...core.errors import IdempotencyConflict, Invalid
from ...store import answers
from ...store.engine.database import write
from ..context.request import now, person

HEADER = "Idempotency-Key"
KEPT_S = 30 * 24 * 3600
"""Seconds that an answer is kept for retries."""

_KEY = re.compile(r"[\x21-\x7e]{1,200}")


def once(act: Callable[[], Response]) -> Response:
    """Do an act in one transaction, or give the answer that it gave before.

    Args:
        act: changes the store and makes the answer; an exception undoes everything.

    Raises:
        Invalid: the header holds no key.
        IdempotencyConflict: the key came before with another body.
        Busy: others were writing for too long.
        Unsure: the store broke off; the act may have been done.
    """
    key = _key()
    if key is None:
        return write(act)
    return once_for(key, g.get("body_hash") or _hash(request.get_data()), act)


def body_is(told: str) -> None:
    """Say what the body holds, of a request whose body was read as a stream and is gone."""
    g.body_hash = _hash(told.encode())


def _hash(body: bytes) -> str:
    return hashlib.sha256(body).hexdigest()


def once_for(key: str, body_hash: str, act: Callable[[], Response]) -> Response:
    """As `once`, for a key that came in another way than in the header.

    Args:
        body_hash: of what came with the key.
    """
    return write(lambda: _once(key, body_hash, act), known=True)


def _once(key: str, body_hash: str, act: Callable[[], Response]) -> Response:
    scope = f"{person().scope} {request.method} {request.path}"
    kept = answers.find(scope, key)
    if kept is not None:
        return _again(kept, body_hash)
    response = act()
    _keep(scope, key, body_hash, response)
    return response


def _key() -> str | None:
    key = request.headers.get(HEADER)
    if key is not None and _KEY.fullmatch(key) is None:
        raise Invalid(f"{HEADER} is not a key.", advice="Use 1 to 200 visible ASCII characters.")
    return key


def _again(kept: Any, body_hash: str) -> Response:
    if kept.body_hash != body_hash:
        raise IdempotencyConflict(
            "That idempotency key came before with another body.",
            advice="Make a new key for a new request.",
        )
    response = current_app.response_class(
        kept.body, status=kept.status, mimetype="application/json"
    )
    response.headers.extend(
        {n: v for n, v in (("Location", kept.location), ("ETag", kept.etag)) if v is not None}
    )
    return response


def _keep(scope: str, key: str, body_hash: str, response: Response) -> None:
    answers.forget_before(now() - KEPT_S)
    answers.keep(
        scope,
        key,
        body_hash=body_hash,
        status=response.status_code,
        body=response.get_data(as_text=True),
        location=response.headers.get("Location"),
        etag=response.headers.get("ETag"),
        now=now(),
    )
