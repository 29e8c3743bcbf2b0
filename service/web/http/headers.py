"""Headers that every answer carries."""

from __future__ import annotations

from flask import Response

from ..context.request import request_id

PAGES = "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
DATA = "default-src 'none'; frame-ancestors 'none'"


def add(response: Response) -> Response:
    """Let nothing be guessed, framed or kept, and give the request's id."""
    page = response.mimetype == "text/html"
    response.headers["Content-Security-Policy"] = PAGES if page else DATA
    response.headers["X-Content-Type-Options"] = "nosniff"
    response.headers["Referrer-Policy"] = "same-origin"
    response.headers["Cache-Control"] = "no-store"
    response.headers["Request-Id"] = request_id()
    return response
