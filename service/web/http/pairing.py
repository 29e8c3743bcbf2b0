"""The page that a phone's code opens: one button, and who presses it is in.

Looking at the page changes nothing, so a messenger that previews the address does not use the code
up. The press has no pass yet: `guards` lets no other site send it, and the code itself counts. Its
answer leads on within the site, so that the browser sends along the cookie that it just got.
"""

from __future__ import annotations

import secrets

from flask import Flask, Response, make_response, redirect, render_template, request

from ...acts.yard import phones, recognising
from ...core.errors import NotFound, Refusal
from ..context import people
from ..context.house import house
from ..context.request import now
from ..problems import TABLE
from . import entrance

KEY_BYTES = 16
"""Of the page's own key: 128 random bits."""


def add(app: Flask) -> None:
    """Add the page's address to an application."""
    app.add_url_rule("/pair/<code>", "pair", show, methods=["GET"])
    app.add_url_rule("/pair/<code>", "paired", let_in, methods=["POST"])


def show(code: str) -> Response | str:
    """The button, and whom it makes of the phone."""
    phone = phones.waiting(code, now())
    if phone is None:
        return _refused()
    return render_template("pair.html", phone=phone, key=secrets.token_urlsafe(KEY_BYTES))


def let_in(code: str) -> Response:
    """Give the phone its pass."""
    pass_ = phones.let_in(code, request.form.get("key", ""), now())
    if pass_ is None:
        return _refused()
    response = make_response(redirect("/", 303))
    entrance.give_pass(response, pass_, recognising.PHONE_KEPT_S)
    return response


def _refused() -> Response:
    """Say that the code is of no use, and count it as a wrong token."""
    refusal: Refusal = NotFound(
        "That code is not known here, was used, or is older than ten minutes.",
        advice="Ask an admin for a new one.",
    )
    try:
        house().failures.count(request.remote_addr or "")
    except Refusal as slow_down:
        refusal = slow_down
    known = people.by_page_pass()
    page = render_template("pair.html", phone=None, refusal=refusal, hand=known and known.hand)
    response = make_response(page, TABLE[refusal.slug].status)
    if "retry_after_s" in refusal.fields:
        response.headers["Retry-After"] = str(refusal.fields["retry_after_s"])
    return response
