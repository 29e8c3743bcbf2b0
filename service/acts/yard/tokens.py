"""Tokens: who may ask and in what role. Made, shown once, known again by their hash, revoked.

A secret is 256 random bits, so there is nothing to guess and nothing that a slow hash would
slow down: SHA-256 is enough, and who asks is found by the hash in one look-up. How long that
takes tells nothing of a secret, since nobody can choose what a hash begins with.
"""

from __future__ import annotations

import hashlib
import secrets
from typing import Any

from ...core.errors import AlreadyExists, Invalid, NotFound
from ...store.engine.database import reading, writing
from ...store.yard import logbook, tokens
from ...store.yard.hands import NAMES_ARE, Hand, Role, is_name
from ...store.yard.tokens import Token, TokenEnd

BYTES = 32
"""Of a secret: 256 bits, from the system's own source."""
MARK = "cureyard_"
"""What a secret begins with, so that one that strayed into a file or a log is found."""


def add_token(*, name: str, role: Role, now: int, hand: Hand) -> dict[str, Any]:
    """Make a token for a person.

    Returns:
        The token as `show_token` gives it, with its `token`: the secret, never shown again.

    Raises: Invalid: that is not a name.
    """
    if not is_name(name):
        raise Invalid("That is not a name.", advice=NAMES_ARE, pointer="/name")
    secret = new_secret()
    with writing():
        hashes = hashed(secret), hashed(page_pass(secret))
        row = tokens.add(name.strip(), role, *hashes, now=now, hand=hand)
        logbook.record("token made", _about(row), now=now, hand=hand)
        return {**show_token(row), "token": secret}


def revoke_token(
    token_id: int, *, now: int, hand: Hand, reason: str | None = None
) -> dict[str, Any]:
    """Revoke a token: from now on nobody is known by it. It stays on record.

    Raises: NotFound. AlreadyExists: it was revoked before.
    """
    with writing():
        row = tokens.find_token(token_id)
        if row is None:
            raise NotFound(f"There is no token {token_id}.", advice="List the tokens.")
        if tokens.end_of(row.id) is not None:
            raise AlreadyExists(
                f"Token {token_id} was revoked before.", advice="Nothing is left to do."
            )
        tokens.end(row.id, reason, now=now, hand=hand)
        logbook.record("token revoked", _about(row), reason=reason, now=now, hand=hand)
        return show_token(row)


def list_tokens(after: int | None, limit: int) -> list[dict[str, Any]]:
    """Tokens, revoked ones too, the newest first, after the one with that id."""
    with reading():
        rows = tokens.newest(after, limit)
        ends = tokens.ends_of(row.id for row in rows)
        return [_show(row, ends.get(row.id)) for row in rows]


def show_token(row: Token) -> dict[str, Any]:
    """A token, of which nobody can make the secret again."""
    return _show(row, tokens.end_of(row.id))


def _show(row: Token, ended: TokenEnd | None) -> dict[str, Any]:
    return {
        "id": row.id,
        "name": row.name,
        "role": row.role,
        "made_at": row.recorded_at,
        "made_by": row.who,
        "revoked_at": ended and ended.recorded_at,
        "revoked_by": ended and ended.who,
        "reason": ended and ended.reason,
    }


def recognised(secret: str) -> tokens.Standing | None:
    """Whose secret that is, unless the token was revoked."""
    return tokens.standing_by_secret(hashed(secret))


def recognised_page(pass_: str) -> tokens.Standing | None:
    """Whose browser's pass that is, unless the token was revoked."""
    return tokens.standing_by_page(hashed(pass_))


def any_made() -> bool:
    """Whether anybody has to log in: once a token was made, for ever."""
    return tokens.any_made()


def page_pass(secret: str) -> str:
    """What a browser keeps in a token's place: it shows pages, and does not give the secret away.

    A hash under another name than the one that is stored, so that neither the browser's nor
    the store's copy serves as a token.
    """
    return hashlib.sha256(f"page {secret}".encode()).hexdigest()


def new_secret() -> str:
    """A secret that nobody was told yet."""
    return MARK + secrets.token_urlsafe(BYTES)


def hashed(secret: str) -> str:
    """What is kept in a secret's place."""
    return hashlib.sha256(secret.encode()).hexdigest()


def _about(row: Token) -> str:
    return f"token {row.id} of {row.name} ({row.role})"
