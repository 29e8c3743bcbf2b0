"""Let a phone in by a one-time code, list phones, and remove one.

The code is 128 random bits. Whoever opens its address sees one button; pressing it makes a token
of kind `phone`, whose pass the phone's browser keeps. The page that was opened has a random key of
its own, and the pass is made of code and key: so a button that is pressed twice gives the same
phone its pass again, and another phone that saw the code gets nothing.
"""

from __future__ import annotations

import hashlib
import secrets
from typing import Literal

from ...core.amounts.views import Moment, View
from ...core.errors import AlreadyExists, Invalid, NotAllowed, NotFound
from ...core.frozen import frozen
from ...store.engine.database import reading, writing
from ...store.yard import logbook, phones
from ...store.yard import tokens as kept_tokens
from ...store.yard.hands import NAMES_ARE, Hand, is_name
from ...store.yard.phones import CodeEnd, Phone, PhoneRole
from ...store.yard.tokens import TokenEnd
from . import recognising, tokens

CODE_BYTES = 16
"""Of a code: 128 bits, so that the squares of its picture stay large."""
CODE_S = 600
"""Seconds that a code waits for its phone."""

PhoneState = Literal["waiting", "in", "missed", "out"]


@frozen
class PhoneView(View):
    """A phone, without its code."""

    id: int
    name: str
    role: PhoneRole
    state: PhoneState
    until: Moment
    made_at: Moment
    made_by: str
    token_id: int | None
    came_in_at: Moment | None
    used_at: Moment | None
    ended_at: Moment | None
    ended_by: str | None
    reason: str | None


@frozen
class NewPhoneView(PhoneView):
    """A phone just added, with the address that lets it in, which is never shown again."""

    address: str
    fingerprint: str | None


def add_phone(
    *, name: str, role: PhoneRole, maker_id: int | None, now: int, hand: Hand
) -> tuple[PhoneView, str]:
    """Make a code for a phone.

    Args:
        maker_id: the token of whoever asks; the code ends with it. None on the store itself.

    Returns:
        The phone, and its code, which is never shown again.

    Raises: Invalid: that is not a name. NotAllowed: there is no token yet. AlreadyExists: a phone
    of that name is in, or waits.
    """
    if not is_name(name):
        raise Invalid("That is not a name.", advice=NAMES_ARE, pointer="/name")
    name, code = name.strip(), recognising.MARK + secrets.token_urlsafe(CODE_BYTES)
    with writing():
        if not kept_tokens.any_made():
            raise NotAllowed(
                "Nobody has a token yet, and a phone does not make tokens.",
                advice="First make one with the role 'admin', on the store itself.",
            )
        for there in phones.newest(name, None, 1):
            if _show([there], now)[0].state in ("waiting", "in"):
                raise AlreadyExists(
                    f"A phone of the name {name} is in, or waits.",
                    advice="Remove it first, or give this one another name.",
                    pointer="/name",
                )
        row = phones.add(name, role, recognising.hashed(code), maker_id, now=now, hand=hand)
        logbook.record("phone added", _about(row), now=now, hand=hand)
        return _show([row], now)[0], code


def list_phones(name: str | None, after: int | None, limit: int, now: int) -> list[PhoneView]:
    """Phones, those that are out too, the newest first, after the one with that id.

    Args:
        name: of those that are wanted; None wants all.
    """
    with reading():
        return _show(phones.newest(name, after, limit), now)


def remove_phone(phone_id: int, *, now: int, hand: Hand, reason: str | None = None) -> PhoneView:
    """Withdraw a phone's code, or revoke its token: from now on it is out. It stays on record.

    Raises: NotFound. AlreadyExists: it is out already.
    """
    with writing():
        row = phones.find_phone(phone_id)
        if row is None:
            raise NotFound(f"There is no phone {phone_id}.", advice="List the phones.")
        shown = _show([row], now)[0]
        if shown.state == "waiting":
            phones.end_code(row.id, None, reason, now=now, hand=hand)
            logbook.record("phone removed", _about(row), reason=reason, now=now, hand=hand)
        elif shown.state == "in" and shown.token_id is not None:
            tokens.revoke_token(shown.token_id, now=now, hand=hand, reason=reason)
        else:
            raise AlreadyExists(
                f"Phone {phone_id} is out already.", advice="Nothing is left to do."
            )
        return _show([row], now)[0]


def waiting(code: str, now: int) -> PhoneView | None:
    """The phone that a code would let in; None if no code is so, or it waits no longer."""
    with reading():
        row = phones.by_code(recognising.hashed(code))
        shown = None if row is None else _show([row], now)[0]
    return shown if shown is not None and shown.state == "waiting" else None


def let_in(code: str, key: str, now: int) -> str | None:
    """Let a phone in: its code becomes a token.

    Args:
        key: the random text of the page whose button was pressed.

    Returns:
        The pass that its browser keeps, the same for the same page; None if the code lets nobody
        in, or let another in.
    """
    secret = recognising.MARK + hashlib.sha256(f"phone {code} {key}".encode()).hexdigest()
    with writing():
        row = phones.by_code(recognising.hashed(code))
        if row is None:
            return None
        state = _show([row], now)[0].state
        if state == "in" and now <= row.recorded_at + CODE_S and recognising.recognised(secret):
            return recognising.page_pass(secret)
        if state != "waiting":
            return None
        phone = Hand(row.name, verified=True, role=row.role)
        hashes = recognising.hashed(secret), recognising.hashed(recognising.page_pass(secret))
        token = kept_tokens.add(row.name, row.role, *hashes, now=now, hand=phone, kind="phone")
        phones.end_code(row.id, token.id, None, now=now, hand=phone)
        logbook.record("phone came in", _about(row), now=now, hand=phone)
        return recognising.page_pass(secret)


def _show(rows: list[Phone], now: int) -> list[PhoneView]:
    """Phones as they stand; few selects, however many they are."""
    codes = phones.code_ends_of(row.id for row in rows)
    mine = [end.token_id for end in codes.values() if end.token_id is not None]
    makers = {row.maker_id for row in rows if row.maker_id is not None}
    ends, used = kept_tokens.ends_of({*mine, *makers}), kept_tokens.used_at(mine)
    return [_one(row, codes.get(row.id), ends, used, now) for row in rows]


def _one(
    row: Phone, code: CodeEnd | None, ends: dict[int, TokenEnd], used: dict[int, int], now: int
) -> PhoneView:
    token = code.token_id if code else None
    end: CodeEnd | TokenEnd | None = code if token is None else ends.get(token)
    came_in_at = code.recorded_at if code and token else None
    used_at = came_in_at and used.get(token or 0, came_in_at)
    return PhoneView(
        id=row.id,
        name=row.name,
        role=row.role,
        state=_state(row, code, end, used_at, now, row.maker_id in ends),
        until=row.recorded_at + CODE_S,
        made_at=row.recorded_at,
        made_by=row.who,
        token_id=token,
        came_in_at=came_in_at,
        used_at=used_at,
        ended_at=end.recorded_at if end else None,
        ended_by=end.who if end else None,
        reason=end.reason if end else None,
    )


def _state(
    row: Phone,
    code: CodeEnd | None,
    end: CodeEnd | TokenEnd | None,
    used_at: int | None,
    now: int,
    maker_is_out: bool,
) -> PhoneState:
    if end is not None:
        return "out"
    if code is None:
        late = maker_is_out or now > row.recorded_at + CODE_S
        return "missed" if late else "waiting"
    return "in" if used_at is not None and not recognising.is_forgotten(used_at, now) else "out"


def _about(row: Phone) -> str:
    return f"phone {row.id} of {row.name} ({row.role})"
