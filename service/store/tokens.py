"""Tokens as they are kept: by the hashes of their secrets, standing until they are ended."""

from __future__ import annotations

from peewee import fn

from .hands import Hand, Role
from .tables import Token, TokenEnd


def any_made() -> bool:
    """Whether a token was ever made; one that was revoked counts."""
    return bool(Token.select().exists())


def add(name: str, role: Role, secret_hash: str, page_hash: str, *, now: int, hand: Hand) -> Token:
    """Keep a token of a person's. `now`: epoch seconds; `hand`: who made it."""
    return Token.create(
        name=name, role=role, secret_hash=secret_hash, page_hash=page_hash, **hand.signed(now)
    )


def standing_by_secret(secret_hash: str) -> Token | None:
    """The token whose secret has that hash, unless it was revoked."""
    return _standing(Token.secret_hash == secret_hash)


def standing_by_page(page_hash: str) -> Token | None:
    """The token whose page pass has that hash, unless it was revoked."""
    return _standing(Token.page_hash == page_hash)


def end_of(token_id: int) -> TokenEnd | None:
    """How a token was revoked; None while it stands."""
    return TokenEnd.get_or_none(TokenEnd.token == token_id)


def end(token: Token, reason: str | None, *, now: int, hand: Hand) -> TokenEnd:
    """Revoke a token. `now`: epoch seconds."""
    return TokenEnd.create(token=token, reason=reason, **hand.signed(now))


def newest(after: int | None, limit: int) -> list[Token]:
    """Tokens, revoked ones too, the newest first, after the one with that id."""
    rows = Token.select().order_by(Token.id.desc()).limit(limit)
    return list(rows if after is None else rows.where(Token.id < after))


def _standing(found: object) -> Token | None:
    ended = TokenEnd.select().where(TokenEnd.token == Token.id)
    return Token.select().where(found, ~fn.EXISTS(ended)).first()
