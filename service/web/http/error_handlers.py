"""Answer every error with a problem document: a refusal, HTTP's own errors, an unforeseen fault.

A browser that asks for a page gets a page of the yard that says the same in words.
"""

from __future__ import annotations

import json
import logging

from flask import Response, render_template, request
from werkzeug.exceptions import HTTPException, MethodNotAllowed

from ...core.errors import NotFound, Refusal
from ...store.engine.faults import StoreUnusable
from .. import problems
from ..context.reader import in_readers_units
from ..context.redacted import redacted
from ..context.request import house, request_id
from ..problems import Fault, MediaType, Method, NotReady, TooLarge, Unreadable

log = logging.getLogger("cureyard")

PAGE = "text/html"

RETRY_AFTER_S = 1
"""Seconds after which a request that met a busy store is worth sending again."""


def refused(refusal: Refusal) -> Response:
    """The answer to a request that was refused."""
    response = _page(refusal) if _by_a_browser() else _document(refusal)
    response.headers.extend(_headers(refusal, response.status_code))
    return response


def _by_a_browser() -> bool:
    """Whether a browser asks for a page; the interface itself always answers programs."""
    wanted = request.accept_mimetypes.best_match([problems.MEDIA_TYPE, PAGE])
    return wanted == PAGE and not request.path.startswith("/v1/")


def _document(refusal: Refusal) -> Response:
    body = problems.document(refusal, house().settings.address or request.host_url)
    text = json.dumps(body, ensure_ascii=False, default=in_readers_units)
    return Response(text, status=body["status"], content_type=problems.MEDIA_TYPE)


def _page(refusal: Refusal) -> Response:
    """The refusal in words; it asks the store for nothing, which may be what failed."""
    problem = problems.TABLE[refusal.slug]
    changed = problems.changed(refusal)
    text = render_template("refused.html", refusal=refusal, problem=problem, changed=changed)
    return Response(text, status=problem.status, mimetype=PAGE)


def _headers(refusal: Refusal, status: int) -> dict[str, str]:
    """What HTTP wants said of a status beside the document (RFC 9110: 10.2.3, 11.6.1)."""
    if status == 401:
        return {"WWW-Authenticate": 'Bearer realm="cureyard"'}
    if status in (429, 503):
        return {"Retry-After": str(refusal.fields.get("retry_after_s", RETRY_AFTER_S))}
    return {}


def unusable(error: StoreUnusable) -> Response:
    """The answer while the store can't be used at all."""
    log.error("The store can't be used: %s", error)
    return refused(NotReady(error.detail, advice=error.advice))


def fault(error: Exception) -> Response:
    """The answer to what nobody foresaw: an id that stands in the log, and no internals."""
    log.error("Fault %s at %s %r", request_id(), request.method, request.path, exc_info=error)
    return refused(
        Fault(
            f"The service failed; its log has it as {request_id()}.",
            advice="Try again. If it fails again, tell whoever looks after the service.",
            id=request_id(),
        )
    )


def http(error: HTTPException) -> Response:
    """The answer to what HTTP itself refuses, such as an unknown address."""
    if error.code is None or error.code >= 500:
        return fault(error)
    response = refused(_refusal(error))
    if isinstance(error, MethodNotAllowed) and error.valid_methods:
        response.headers["Allow"] = ", ".join(sorted(error.valid_methods))
    return response


def _refusal(error: HTTPException) -> Refusal:
    if error.code == 404:
        return NotFound(
            f"There is nothing at {redacted(request.path)[:200]!r}.",
            advice="Addresses are listed at /docs.",
        )
    if isinstance(error, MethodNotAllowed):
        known = ", ".join(sorted(error.valid_methods or ()))
        return Method(
            f"That address does not take {request.method[:20]}.", advice=f"It takes {known}."
        )
    if error.code == 413:
        return TooLarge("The body is too large.", advice="Send it in parts; a picture, smaller.")
    if error.code == 415:
        return MediaType("The address does not take that kind of body.", advice="Send JSON.")
    return Unreadable("The request can't be read.", advice="Check it and send it again.")
