"""Answers with an ETag of what in them does not move with the clock.

The moment and the air of the bays move with each look, so an ETag of the whole would never hit. It
is weak (RFC 9110, 8.8.1): with it, whoever shows an answer knows that every word, hour and state
in it still holds, and that only what moves may be newer.
"""

from __future__ import annotations

import hashlib
from typing import Any

from flask import Response, current_app, json, request

Shown = dict[str, Any]
"""An answer, or a part of one, as it is shown: plain values by name."""


def answered(shown: Shown, moving: dict[str, Any]) -> Response:
    """An answer with its ETag; 304 without a body, where the request names that ETag.

    Args:
        shown: the answer; it begins with the names in `moving`.
        moving: the names of what moves with the clock → what counts of it all the same.
    """
    rest = json.dumps({name: value for name, value in shown.items() if name not in moving})
    tag = tag_of(json.dumps(moving), rest)
    if (same := unchanged(tag)) is not None:
        return same
    moves = json.dumps({name: shown[name] for name in moving})
    text = f"{moves[:-1]},{rest[1:]}\n"  # so that the long part is written once
    return tagged(current_app.response_class(text, mimetype="application/json"), tag)


def tag_of(*parts: str) -> str:
    """A hash of some texts, each of them apart."""
    told = hashlib.sha256()
    for part in parts:
        told.update(f"{len(part)} ".encode() + part.encode())
    return told.hexdigest()[:32]


def unchanged(tag: str) -> Response | None:
    """The answer without a body, where the request names this ETag in If-None-Match."""
    if not request.if_none_match.contains_weak(tag):
        return None
    return tagged(current_app.response_class(status=304), tag)


def tagged(response: Response, tag: str) -> Response:
    """An answer with its ETag."""
    response.set_etag(tag, weak=True)
    return response
