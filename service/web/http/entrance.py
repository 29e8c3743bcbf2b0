"""The entrance: a person gives a browser a token once, and it gets a pass to the pages.

The pass is a cookie. No script reads it, and no other site's page can send it. It shows pages and
sends their forms (see `forms`); of the interface under `/v1` it opens the stream of milestones
alone, with which a page can send no header. The token itself is not kept in the browser, and is
never part of an address.
"""

from __future__ import annotations

from contextlib import suppress
from typing import Any
from urllib.parse import quote

from flask import Flask, Response, g, make_response, redirect, render_template, request, url_for

from ...acts.yard import recognising, tokens
from ...core.errors import AlreadyExists, Busy, NotAllowed, Refusal, StoreFull
from ...store.yard.hands import Hand
from ..context import people
from ..context.house import house
from ..context.request import now
from ..problems import TABLE, NotAuthenticated, SlowDown

KEPT_S = 30 * 24 * 3600
"""Seconds that a browser keeps its pass, unless the token is revoked or the person leaves."""


def add(app: Flask) -> None:
    """Add the entrance's addresses to an application."""
    app.add_url_rule("/enter", "enter", ask, methods=["GET"])
    app.add_url_rule("/enter", "let_in", let_in, methods=["POST"])
    app.add_url_rule("/leave", "leave", leave, methods=["POST"])
    app.after_request(_renewed)


def way_in() -> Response:
    """A redirect to the entrance, and from there back to the page that was asked for."""
    return _go(f"{url_for('enter')}?to={quote(request.path)}")


def ask() -> Response | str:
    """Ask for a token; a person who is known already sees the name, and may leave."""
    known = people.by_page_pass()
    if known is not None and not known.hand.verified:
        return _go("/")  # nobody has to log in
    phone = known is not None and known.row is not None and known.row.kind == "phone"
    return render_template("enter.html", hand=known and known.hand, phone=phone, refusal=None)


def let_in() -> Response:
    """Give a browser its pass for the token in the form."""
    secret = request.form.get("token", "").strip()
    try:
        person = people.by_secret(secret)
        person.hand.must_be("viewer", "To look at pages")
    except (NotAuthenticated, NotAllowed, SlowDown) as refusal:
        return _refused(refusal)
    response = _go(_path(request.args.get("to", "/")))
    if person.hand.verified:
        give_pass(response, recognising.page_pass(secret), KEPT_S)
    return response


def give_pass(response: Response, pass_: str, kept_s: int) -> None:
    """Have the browser keep a pass for so many seconds."""
    response.set_cookie(people.COOKIE, pass_, max_age=kept_s, **_how_kept())


def leave() -> Response:
    """Take a browser's pass away. A phone's own token ends too, so a copy is worthless."""
    known = people.by_page_pass()
    if known is not None and known.row is not None and known.row.kind == "phone":
        _end(known.row.id, known.hand)
    response = _go(url_for("enter"))
    response.headers["Clear-Site-Data"] = '"cache"'  # pages with forms are kept for the way back
    response.delete_cookie(people.COOKIE, **_how_kept())
    return response


def _end(token_id: int, hand: Hand) -> None:
    with suppress(AlreadyExists):  # it left twice at once
        tokens.revoke_token(token_id, now=now(), hand=hand, reason="the phone left")


def _how_kept() -> dict[str, Any]:
    """No script reads it, no other site sends it; where TLS is, it never goes without."""
    secure = request.is_secure or house().behind_proxy
    return {"httponly": True, "samesite": "Strict", "secure": secure}


def _renewed(response: Response) -> Response:
    """Have a phone that is in use keep its pass for as long again; no look fails for that."""
    person: people.Person | None = g.get("person")
    row = None if person is None else person.row
    pass_ = request.cookies.get(people.COOKIE)
    if row is None or row.kind != "phone" or pass_ is None or response.status_code >= 400:
        return response
    with suppress(Busy, StoreFull):
        if recognising.note_use(row, now()):
            give_pass(response, pass_, recognising.PHONE_KEPT_S)
    return response


def _refused(refusal: Refusal) -> Response:
    page = render_template("enter.html", hand=None, refusal=refusal)
    response = make_response(page, TABLE[refusal.slug].status)
    if "retry_after_s" in refusal.fields:
        response.headers["Retry-After"] = str(refusal.fields["retry_after_s"])
    return response


def _path(text: str) -> str:
    """A path of this service; the first page, if `text` leads anywhere else."""
    return text if text[:1] == "/" and text[1:2] not in ("/", "\\") and text.isprintable() else "/"


def _go(address: str) -> Response:
    return make_response(redirect(address, 303))
