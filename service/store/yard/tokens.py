"""Tokens as they are kept: by the hashes of their secrets, standing until they are ended.

Who asks is looked up for every request, in one select that needs no transaction of its own.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from ..engine.database import db
from ..engine.faults import translated
from ..engine.queries import among, rows_of
from ..lookup import newest_first
from ..tables import Token, TokenEnd
from .hands import Hand, Role

_STANDING = """
    SELECT token.id, token.name, token.role
    FROM token LEFT JOIN token_end ON token_end.token_id = token.id
    WHERE token.{column} = {mark} AND token_end.id IS NULL
"""


class Standing(NamedTuple):
    """Whom a token that was not revoked is of."""

    id: int
    name: str
    role: Role


def any_made() -> bool:
    """Whether a token was ever made; one that was revoked counts."""
    with translated():
        return db.execute_sql("SELECT 1 FROM token LIMIT 1").fetchone() is not None


def first_made_at() -> int | None:
    """When the first token was made, epoch s; None where none was: names could only be given."""
    found = Token.select(Token.recorded_at).order_by(Token.id).limit(1).scalar()
    return None if found is None else int(found)


def add(name: str, role: Role, secret_hash: str, page_hash: str, *, now: int, hand: Hand) -> Token:
    """Keep a token of a person's. `now`: epoch seconds; `hand`: who made it."""
    return Token.create(
        name=name, role=role, secret_hash=secret_hash, page_hash=page_hash, **hand.signed(now)
    )


def standing_by_secret(secret_hash: str) -> Standing | None:
    """Whose secret has that hash, unless the token was revoked."""
    return _standing("secret_hash", secret_hash)


def standing_by_page(page_hash: str) -> Standing | None:
    """Whose page pass has that hash, unless the token was revoked."""
    return _standing("page_hash", page_hash)


def end_of(token_id: int) -> TokenEnd | None:
    """How a token was revoked; None while it stands."""
    return TokenEnd.get_or_none(TokenEnd.token == token_id)


def ends_of(token_ids: Iterable[int]) -> dict[int, TokenEnd]:
    """How those of some tokens that were revoked were, by token."""
    rows = rows_of(TokenEnd.select().where(among(TokenEnd.token, token_ids)))
    return {row.token_id: row for row in rows}


def end(token: Token, reason: str | None, *, now: int, hand: Hand) -> TokenEnd:
    """Revoke a token. `now`: epoch seconds."""
    return TokenEnd.create(token=token, reason=reason, **hand.signed(now))


def newest(after: int | None, limit: int) -> list[Token]:
    """Tokens, revoked ones too, the newest first, after the one with that id."""
    return list(newest_first(Token, after, limit))


def _standing(column: str, hash_: str) -> Standing | None:
    sql = _STANDING.format(column=column, mark=db.param)
    with translated():
        row = db.execute_sql(sql, (hash_,)).fetchone()
    return None if row is None else Standing(*row)
