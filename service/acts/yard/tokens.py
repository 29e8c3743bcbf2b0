"""Make, list and revoke tokens; whose token it is that somebody shows, `recognising` tells."""

from __future__ import annotations

from typing import Annotated

from ...core.amounts.views import Code, Moment, Says, View
from ...core.errors import AlreadyExists, Invalid, NotFound
from ...core.frozen import frozen
from ...store import bays
from ...store.engine.database import reading, writing
from ...store.yard import logbook, tokens
from ...store.yard.hands import NAMES_ARE, Hand, Role, is_name
from ...store.yard.tokens import Kind, Token, TokenEnd
from . import finding
from .recognising import hashed, new_secret, page_pass


@frozen
class TokenView(View):
    """A token, without its secret."""

    id: int
    name: str
    role: Role
    bay: Annotated[Code | None, Says("The bay of a sensor; null for a person.")]
    kind: Kind
    made_at: Moment
    made_by: str
    revoked_at: Moment | None
    revoked_by: str | None
    reason: str | None


@frozen
class NewTokenView(TokenView):
    """A token just made, with the secret that is never shown again."""

    token: str


def add_token(
    *, name: str, role: Role, now: int, hand: Hand, bay: str | None = None
) -> NewTokenView:
    """Make a token for a person, or for the sensor of a bay.

    Raises:
        Invalid: that is not a name; a sensor without a bay, or a person with one; a sensor's token
            as the first of all, which would shut everybody out.
        UnknownReference: there is no such bay.
    """
    if not is_name(name):
        raise Invalid("That is not a name.", advice=NAMES_ARE, pointer="/name")
    secret = new_secret()
    with writing():
        bay_id = _bay_of(role, bay)
        hashes = hashed(secret), hashed(page_pass(secret))
        row = tokens.add(name.strip(), role, *hashes, now=now, hand=hand, bay_id=bay_id)
        logbook.record("token made", _about(row), now=now, hand=hand)
        return NewTokenView(**vars(_show(row, None)), token=secret)


def _bay_of(role: Role, bay: str | None) -> int | None:
    """The id of the bay that a sensor speaks of; None for a person."""
    if (role == "sensor") != (bay is not None):
        raise Invalid(
            "A sensor speaks of one bay, and a person of none.",
            advice="Give 'bay' with the role sensor alone.",
            pointer="/bay",
        )
    if bay is None:
        return None
    if not tokens.any_made():
        raise Invalid(
            "Once there is a token, everybody shows one.",
            advice="Make an admin's first.",
            pointer="/role",
        )
    return finding.bay(bay, "/bay").id


def revoke_token(token_id: int, *, now: int, hand: Hand, reason: str | None = None) -> TokenView:
    """Revoke a token: from now on it lets nobody in. It stays on record.

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
        return _show(row, tokens.end_of(row.id))


def list_tokens(after: int | None, limit: int) -> list[TokenView]:
    """Tokens, revoked ones too, the newest first, after the one with that id."""
    with reading():
        rows = tokens.newest(after, limit)
        ends = tokens.ends_of(row.id for row in rows)
        return [_show(row, ends.get(row.id)) for row in rows]


def _show(row: Token, ended: TokenEnd | None) -> TokenView:
    return TokenView(
        id=row.id,
        name=row.name,
        role=row.role,
        bay=None if row.bay_id is None else bays.bay(row.bay_id).code,
        kind=row.kind,
        made_at=row.recorded_at,
        made_by=row.who,
        revoked_at=ended.recorded_at if ended else None,
        revoked_by=ended.who if ended else None,
        reason=ended.reason if ended else None,
    )


def _about(row: Token) -> str:
    return f"token {row.id} of {row.name} ({row.role})"
