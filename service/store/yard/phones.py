"""Phones as they are kept: a one-time code by its hash, and how it ended.

A code that became a token is a phone that is in, until that token is revoked.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple, get_args

from .. import tables
from ..engine.columns import LARGEST
from ..engine.rows import Reader, insert, matching
from .hands import Hand

PhoneRole = Literal["viewer", "hand", "lead"]
PHONE_ROLES: tuple[PhoneRole, ...] = get_args(PhoneRole)
"""A phone is easily lost, so none makes tokens."""


class Phone(NamedTuple):
    """A phone that may come in by a code; `maker_id` is the token of who made it, if it has one."""

    id: int
    name: str
    role: PhoneRole
    code_hash: str
    maker_id: int | None
    recorded_at: int
    who: str
    verified: bool


class CodeEnd(NamedTuple):
    """A code that became a token or, without one, was withdrawn."""

    phone_id: int
    token_id: int | None
    reason: str | None
    recorded_at: int
    who: str
    verified: bool


_PHONES = Reader(Phone, tables.Phone)
_ENDS = Reader(CodeEnd, tables.PhoneCodeEnd)

find_phone = _PHONES.by_id


def add(
    name: str, role: PhoneRole, code_hash: str, maker_id: int | None, *, now: int, hand: Hand
) -> Phone:
    """Keep a phone's code. `now`: epoch seconds; `hand`: who made it."""
    made = insert(
        tables.Phone, name=name, role=role, code_hash=code_hash, maker_id=maker_id,
        **hand.signed(now),
    )  # fmt: skip
    return _PHONES.of_id(made)


def by_code(code_hash: str) -> Phone | None:
    """The phone whose code has that hash, used or not."""
    return _PHONES.first("WHERE phone.code_hash = ?", code_hash)


def newest(name: str | None, after: int | None, limit: int) -> list[Phone]:
    """Phones, those that are out too, the newest first, after the one with that id."""
    where, values = matching(
        {"phone.id < ?": LARGEST if after is None else after, "phone.name = ?": name}
    )
    return _PHONES.all(f"{where} ORDER BY phone.id DESC LIMIT ?", *values, limit)


def end_code(
    phone_id: int, token_id: int | None, reason: str | None, *, now: int, hand: Hand
) -> None:
    """End a code: with the token that it became, or without one. `now`: epoch seconds."""
    insert(
        tables.PhoneCodeEnd, phone_id=phone_id, token_id=token_id, reason=reason,
        **hand.signed(now),
    )  # fmt: skip


def code_ends_of(phone_ids: Iterable[int]) -> dict[int, CodeEnd]:
    """How the codes of some phones ended, by phone; only of those that did."""
    rows = _ENDS.all("WHERE phone_code_end.phone_id IN (?*)", list(phone_ids))
    return {row.phone_id: row for row in rows}
