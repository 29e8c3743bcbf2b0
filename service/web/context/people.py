"""Who is asking, and what that person may do.

Once a token was made, everybody has to show one: a program as `Authorization: Bearer`, a
browser on pages by the pass that `/enter` gave it for a token (see `entrance`). Before that
the service answers only its own machine (see `guards`), so whoever asks is the one person
there, who may do everything, by the name that the request gives, which nothing proves.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any
from urllib.parse import unquote

from flask import current_app, request

from ...acts.yard import tokens
from ...core.errors import Invalid
from ...store.yard.hands import NAMES_ARE, Hand, is_name
from ...store.yard.tokens import Standing
from ..problems import NotAuthenticated

HEADER = "Cureyard-Hand"
COOKIE = "cureyard"
ON_THE_STORE = "cureyard.on_the_store"
"""Set in a request's environment by a program that has the store itself, so that whoever keeps
the store can make the first token. Nothing that is sent over a network can set it."""
BEARER = re.compile(r"Bearer +([\x21-\x7e]{1,512})", re.IGNORECASE)


@dataclass(frozen=True)
class Person:
    """Who asks.

    Attributes:
        hand: the name that is recorded beside what is done, and the role.
        scope: what tells this person's idempotency keys from another's.
    """

    hand: Hand
    scope: str


def has_login() -> bool:
    """Whether everybody has to show a token; what came through a proxy always has to."""
    return _house().behind_proxy or tokens.any_made()


def is_keeper() -> bool:
    """Whether the one who asks has the store itself in hand, and so needs no leave for it."""
    return bool(request.environ.get(ON_THE_STORE))


def by_bearer() -> Person:
    """The person whose program asks.

    Raises:
        NotAuthenticated: a token is needed, and there is none, or none that is known.
        SlowDown: too many wrong ones came from that address.
        Invalid: the header with the name is not a name.
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
    """The person whose secret it is; where nobody has to log in, whoever is at the machine.

    Raises: as `by_bearer`.
    """
    row = tokens.recognised(secret)
    if row is not None:
        return _known(row)
    if not has_login():
        return _whoever_is_here()
    _house().failures.count(request.remote_addr or "")
    raise _unknown("That token is not known here, or was revoked.")


def by_page_pass() -> Person | None:
    """The person whose browser asks for a page; None where that is nobody known.

    A pass that is no longer good is no guess at one, so it is not counted as a failure.
    """
    row = tokens.recognised_page(request.cookies.get(COOKIE, ""))
    if row is not None:
        return _known(row)
    return None if has_login() else _whoever_is_here()


def _known(token: Standing) -> Person:
    _given_name()  # the token's own counts, but what is no name is refused from anybody
    return Person(Hand(token.name, verified=True, role=token.role), scope=f"token {token.id}")


def _whoever_is_here() -> Person:
    name = _given_name() or _house().settings.hand
    return Person(Hand(name, verified=False, role="admin"), scope="")


def _unknown(detail: str) -> NotAuthenticated:
    return NotAuthenticated(
        detail,
        advice="An admin gives you one. A program sends it as 'Authorization: Bearer …'.",
    )


def _given_name() -> str | None:
    """The name that the request gives itself; None where it gives none."""
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


def _house() -> Any:
    return current_app.extensions["cureyard"]
