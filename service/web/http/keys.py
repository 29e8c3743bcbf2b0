"""A request that is sent again is done once: the idempotency key.

The key, a hash of the body and the answer are kept in the act's own transaction. So a retry gets
the first answer, and so does a twin at the same moment, which waits for it; a refusal changed
nothing, and its retry is judged anew.

An answer is kept as it was first shown, and so given again: in its first units, whatever the retry
asks for. Its sentences say amounts in those units too, and only the act itself, which is not done
again, could word them anew; each amount says its unit, so none is misread.

A secret is kept nowhere in clear. The retry of a request that made one hears that it was made.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable
from typing import Any

from flask import Response, current_app, g, request

from ...core.errors import AlreadyExists, IdempotencyConflict, Invalid
from ...store import answers
from ...store.engine.database import reading, write
from ...store.engine.turns import Turn
from ..context.request import now, person

HEADER = "Idempotency-Key"
KEPT_S = 30 * 24 * 3600
"""Seconds that an answer is kept for retries."""

_KEY = re.compile(r"[\x21-\x7e]{1,200}")


def once(
    act: Callable[[], Response], *, shown_once: str | None = None, turn: Turn = Turn.ALONE
) -> Response:
    """Do an act in one transaction, or give the answer that it gave before.

    Args:
        act: changes the store and makes the answer; an exception undoes everything.
        shown_once: the field of the answer that is a secret, if one is.
        turn: how it has the yard.

    Raises:
        Invalid: the header holds no key.
        IdempotencyConflict: the key came before with another body.
        AlreadyExists: the act was done before, and its answer had a secret.
        Busy: others were writing for too long.
        Unsure: the store broke off; the act may have been done.
    """
    key = _key()
    if key is None:
        return write(act, turn=turn)
    body_hash = g.get("body_hash") or _hash(request.get_data())
    return once_for(key, body_hash, act, shown_once=shown_once, turn=turn)


def body_is(told: str) -> None:
    """Say what the body holds, of a request whose body was read as a stream and is gone."""
    g.body_hash = _hash(told.encode())


def _hash(body: bytes) -> str:
    return hashlib.sha256(body).hexdigest()


def once_for(
    key: str,
    body_hash: str,
    act: Callable[[], Response],
    *,
    shown_once: str | None = None,
    turn: Turn = Turn.ALONE,
) -> Response:
    """As `once`, for a key that came in another way than in the header.

    Args:
        body_hash: of what came with the key.
    """
    scope = _scope()
    return write(
        lambda: _once(scope, key, body_hash, act, shown_once),
        known=True,
        turn=turn,
        key=f"{scope} {key}",
    )


def first_of(key: str) -> tuple[str, str]:
    """Where the first request with a key led, and the body of its answer; empty if none came."""
    with reading():
        kept = answers.find(_scope(), key)
    return ("", "") if kept is None else (kept.location or "", kept.body)


def _scope() -> str:
    return f"{person().scope} {request.method} {request.path}"


def _once(
    scope: str, key: str, body_hash: str, act: Callable[[], Response], shown_once: str | None
) -> Response:
    kept = answers.find(scope, key)
    if kept is not None:
        return _again(kept, body_hash, shown_once)
    response = act()
    body = response.get_data(as_text=True) if shown_once is None else _without(shown_once, response)
    _keep(scope, key, body_hash, response, body)
    return response


def _without(shown_once: str, response: Response) -> str:
    """The answer's JSON, with null for the field that is a secret."""
    return json.dumps(json.loads(response.get_data()) | {shown_once: None})


def _key() -> str | None:
    key = request.headers.get(HEADER)
    if key is not None and _KEY.fullmatch(key) is None:
        raise Invalid(f"{HEADER} is not a key.", advice="Use 1 to 200 visible ASCII characters.")
    return key


def _again(kept: Any, body_hash: str, shown_once: str | None) -> Response:
    if kept.body_hash != body_hash:
        raise IdempotencyConflict(
            "That idempotency key came before with another body.",
            advice="Make a new key for a new request.",
        )
    if shown_once is not None:
        made = json.loads(kept.body)["id"]
        raise AlreadyExists(
            f"Number {made} was made by this request, and its secret was shown then alone.",
            advice=f"If that answer is lost, revoke number {made}, and make another by a new key.",
        )
    response = current_app.response_class(
        kept.body, status=kept.status, mimetype="application/json"
    )
    response.headers.extend(
        {n: v for n, v in (("Location", kept.location), ("ETag", kept.etag)) if v is not None}
    )
    return response


def _keep(scope: str, key: str, body_hash: str, response: Response, body: str) -> None:
    answers.forget_before(now() - KEPT_S)
    answers.keep(
        scope,
        key,
        body_hash=body_hash,
        status=response.status_code,
        body=body,
        location=response.headers.get("Location"),
        etag=response.headers.get("ETag"),
        now=now(),
    )
