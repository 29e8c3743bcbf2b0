"""Who is asking, and what that person may do.

Once a token exists, everybody has to show one: a program as `Authorization: Bearer`, a browser
by the pass that `/enter` gives for a token (see `entrance`). Before that the service answers only
its own machine (see `guards`). Whoever asks there may do everything, and is recorded under the
name that the request gives, which nothing proves.
"""

from __future__ import annotations

import re
from urllib.parse import unquote

from flask import request
from werkzeug.http import parse_cookie

from ...acts.yard import recognising
from ...core.errors import Invalid
from ...core.frozen import frozen
from ...store.yard.hands import NAMES_ARE, Hand, is_name
from ...store.yard.tokens import Standing
from ..problems import NotAuthenticated
from .house import house
from .settings import wall_clock

HEADER = "Cureyard-Hand"
COOKIE = "cureyard"
ON_THE_STORE = "cureyard.on_the_store"
"""Set in a request's environment by a program that opens the store itself, so that its owner
can make the first token. Nothing that is sent over a network can set it."""
BEARER = re.compile(r"Bearer +([\x21-\x7e]{1,512})", re.IGNORECASE)


@frozen
class Person:
    """Who asks.

    Attributes:
        hand: the name that is recorded beside what is done, and the role.
        scope: keeps this person's idempotency keys apart from another's.
        row: the token that was shown; None where nobody has to show one.
    """

    hand: Hand
    scope: str
    row: Standing | None = None


def has_login() -> bool:
    """Whether everybody has to show a token; where other machines are served, always."""
    return house().is_networked or recognising.any_made()


def is_keeper() -> bool:
    """Whether whoever asks has the store itself, and so needs no permission."""
    return bool(request.environ.get(ON_THE_STORE))


def is_known(authorization: str, cookies: str) -> bool:
    """Whether a request's headers show a token or a pass that is good; outside of any request."""
    given = BEARER.fullmatch(authorization.strip())
    if given is not None:
        return recognising.recognised(given[1]) is not None
    kept = parse_cookie(cookies).get(COOKIE, "")
    return bool(kept) and recognising.recognised_page(kept, wall_clock()) is not None


def by_bearer() -> Person:
    """The person whose program asks.

    Raises:
        NotAuthenticated: a token is needed, and there is none, or none that is known.
        SlowDown: too many wrong tokens came from that address.
        Invalid: the header does not hold a name.
    """
    if is_keeper():
        return _whoever_is_here()
    given = BEARER.fullmatch(request.headers.get("Authorization", "").strip())
    if given is not None:
        return by_secret(given[1])
    if has_login():
        raise _unknown("This needs a token.")
    return _whoever_is_here()


def by_secret(secret: str) -> Person:
    """The person whose secret it is; while nobody has to log in, whoever is at the machine.

    Raises: as `by_bearer`.
    """
    row = recognising.recognised(secret)
    if row is not None:
        return _known(row)
    if not has_login():
        return _whoever_is_here()
    house().failures.count(request.remote_addr or "")
    raise _unknown("That token is not known here, or was revoked.")


def by_page_pass() -> Person | None:
    """The person whose browser asks for a page; None if nobody known.

    A pass that has expired is not a guess, so it is not counted as a wrong token.
    """
    row = recognising.recognised_page(request.cookies.get(COOKIE, ""), house().clock())
    if row is not None:
        return _known(row)
    return None if has_login() else _whoever_is_here()


def by_bearer_or_pass() -> Person:
    """The person who asks for what a page also asks for, where a page can send no header.

    Raises: as `by_bearer`; NotAuthenticated: the browser's pass is not known, or was revoked.
    """
    if "Authorization" in request.headers or COOKIE not in request.cookies:
        return by_bearer()
    known = by_page_pass()
    if known is None:
        raise _unknown("This browser's pass has ended.")
    return known


def _known(token: Standing) -> Person:
    _given_name()  # the token's name counts, but a header that holds no name is refused
    hand = Hand(token.name, verified=True, role=token.role, bay_id=token.bay_id)
    return Person(hand, scope=f"token {token.id}", row=token)


def _whoever_is_here() -> Person:
    name = _given_name() or house().settings.hand
    return Person(Hand(name, verified=False, role="admin"), scope="")


def _unknown(detail: str) -> NotAuthenticated:
    return NotAuthenticated(
        detail,
        advice="An admin gives you one. A program sends it as 'Authorization: Bearer …'.",
    )


def _given_name() -> str | None:
    """The name in the request's header; None if it has none."""
    given = request.headers.get(HEADER)
    if given is None:
        return None
    try:
        name = unquote(given, errors="strict").strip()
    except UnicodeDecodeError:
        name = ""
    if not is_name(name):
        raise Invalid(f"{HEADER} is not a name.", advice=f"{NAMES_ARE} Percent-encode as UTF-8.")
    return name
