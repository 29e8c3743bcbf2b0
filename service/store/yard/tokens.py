"""Tokens as they are kept: by the hashes of their secrets, standing until they are ended.

Who asks is looked up for every request, in one select that needs no transaction of its own.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple

from .. import tables
from ..engine.columns import LARGEST
from ..engine.faults import translated
from ..engine.rows import Reader, exists, insert, query, scalar
from .hands import Hand, Role

Kind = Literal["person", "phone"]

_STANDING = """
    SELECT token.id, token.name, token.role, token.bay_id, token.kind,
        COALESCE(token_use.used_at, token.recorded_at)
    FROM token LEFT JOIN token_end ON token_end.token_id = token.id
    LEFT JOIN token_use ON token_use.token_id = token.id
    WHERE token.{column} = ? AND token_end.id IS NULL
"""

_NOTE_USE = """
    INSERT INTO token_use (token_id, used_at) VALUES (?, ?)
    ON CONFLICT (token_id) DO UPDATE SET used_at = excluded.used_at RETURNING id
"""


class Token(NamedTuple):
    """What a person or a sensor is known by; only hashes of what is sent are kept.

    `bay_id` is of a sensor: the one bay that it speaks of.
    """

    id: int
    name: str
    role: Role
    bay_id: int | None
    kind: Kind
    recorded_at: int
    who: str
    verified: bool


class TokenEnd(NamedTuple):
    """A token revoked."""

    token_id: int
    reason: str | None
    recorded_at: int
    who: str
    verified: bool


class Standing(NamedTuple):
    """Whom a token that was not revoked is of; `used_at`: last shown, as far as it was noted."""

    id: int
    name: str
    role: Role
    bay_id: int | None
    kind: Kind
    used_at: int


_TOKENS = Reader(Token, tables.Token)
_ENDS = Reader(TokenEnd, tables.TokenEnd)

find_token = _TOKENS.by_id


def any_made() -> bool:
    """Whether a token was ever made; one that was revoked counts."""
    with translated():
        return exists("SELECT 1 FROM token")


def first_made_at() -> int | None:
    """When the first token was made, epoch s; None where none was: names could only be given."""
    found: int | None = scalar("SELECT recorded_at FROM token ORDER BY id LIMIT 1")
    return found


def add(
    name: str, role: Role, secret_hash: str, page_hash: str, *, now: int, hand: Hand,
    kind: Kind = "person", bay_id: int | None = None,
) -> Token:  # fmt: skip
    """Keep a token of a person's or a sensor's. `now`: epoch seconds; `hand`: who made it."""
    made = insert(
        tables.Token, name=name, role=role, secret_hash=secret_hash, page_hash=page_hash,
        kind=kind, bay_id=bay_id, **hand.signed(now),
    )  # fmt: skip
    return _TOKENS.of_id(made)


def standing_by_secret(secret_hash: str) -> Standing | None:
    """Whose secret has that hash, unless the token was revoked."""
    return _standing("secret_hash", secret_hash)


def standing_by_page(page_hash: str) -> Standing | None:
    """Whose page pass has that hash, unless the token was revoked."""
    return _standing("page_hash", page_hash)


def end_of(token_id: int) -> TokenEnd | None:
    """How a token was revoked; None while it stands."""
    return ends_of([token_id]).get(token_id)


def ends_of(token_ids: Iterable[int]) -> dict[int, TokenEnd]:
    """How those of some tokens that were revoked were, by token."""
    rows = _ENDS.all("WHERE token_end.token_id IN (?*)", list(token_ids))
    return {row.token_id: row for row in rows}


def end(token_id: int, reason: str | None, *, now: int, hand: Hand) -> None:
    """Revoke a token. `now`: epoch seconds."""
    insert(tables.TokenEnd, token_id=token_id, reason=reason, **hand.signed(now))


def note_use(token_id: int, now: int) -> None:
    """Note that a token's pass was shown. `now`: epoch seconds."""
    query(_NOTE_USE, token_id, now)


def used_at(token_ids: Iterable[int]) -> dict[int, int]:
    """When the passes of some tokens were last shown, by token; only of those that were."""
    sql = "SELECT token_id, used_at FROM token_use WHERE token_id IN (?*)"
    return dict(query(sql, list(token_ids)))


def newest(after: int | None, limit: int) -> list[Token]:
    """Tokens, revoked ones too, the newest first, after the one with that id."""
    rest = "WHERE token.id < ? ORDER BY token.id DESC LIMIT ?"
    return _TOKENS.all(rest, LARGEST if after is None else after, limit)


def _standing(column: str, hash_: str) -> Standing | None:
    with translated():
        rows = query(_STANDING.format(column=column), hash_)
    return Standing(*rows[0]) if rows else None
