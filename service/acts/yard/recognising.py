"""Find the person or the sensor whose token it is, and what is kept instead of its secret.

A secret is 256 random bits, which nobody can guess, so a slow hash would protect nothing more:
SHA-256 is enough, and a person is found by the hash in one look-up. The time of that look-up
reveals nothing about a secret, since nobody can choose how a hash begins.
"""

from __future__ import annotations

import hashlib
import secrets

from ...store.engine.database import writing
from ...store.engine.turns import Turn
from ...store.yard import tokens

BYTES = 32
"""Of a secret: 256 bits, from the system's own source."""
MARK = "cureyard_"
"""The beginning of every secret, so that one in a file or a log can be found."""
PHONE_KEPT_S = 90 * 24 * 3600
"""Seconds that a phone stays in after its last use: a hand on leave finds it in, and a phone that
was forgotten in a drawer is out. A phone that is used stays in."""
NOTED_S = 300
"""A use is noted once in so many seconds: so true is 'last used', and looking seldom writes."""


def recognised(secret: str) -> tokens.Standing | None:
    """The person whose secret that is; None if there is none, or the token was revoked."""
    return tokens.standing_by_secret(hashed(secret))


def recognised_page(pass_: str, now: int) -> tokens.Standing | None:
    """As `recognised`, by the pass that a browser keeps; a phone is out that was not used long."""
    row = tokens.standing_by_page(hashed(pass_))
    if row is not None and row.kind == "phone" and is_forgotten(row.used_at, now):
        return None
    return row


def is_forgotten(used_at: int, now: int) -> bool:
    """Whether a phone that was last used then is out."""
    return now > used_at + PHONE_KEPT_S


def note_use(row: tokens.Standing, now: int) -> bool:
    """Note that a phone is used, unless that was noted of late; whether it was noted now."""
    if row.kind != "phone" or now < row.used_at + NOTED_S:
        return False
    with writing(Turn.BESIDE):
        tokens.note_use(row.id, now)
    return True


def any_made() -> bool:
    """Whether a token was ever made: from then on everybody has to log in."""
    return tokens.any_made()


def page_pass(secret: str) -> str:
    """The pass that a browser keeps instead of a token: it opens pages, and hides the secret.

    It is another hash than the stored one, so that neither the browser's copy nor the store's
    can be used as a token.
    """
    return hashlib.sha256(f"page {secret}".encode()).hexdigest()


def new_secret() -> str:
    """A new secret."""
    return MARK + secrets.token_urlsafe(BYTES)


def hashed(secret: str) -> str:
    """The hash that is stored instead of a secret."""
    return hashlib.sha256(secret.encode()).hexdigest()
