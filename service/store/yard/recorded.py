"""Who recorded a row: whether it was a certain hand, and the rows of a hand."""

from __future__ import annotations

from typing import Protocol

from ..engine.rows import Value
from . import tokens
from .hands import Hand


class Recorded(Protocol):
    """A row that says who recorded it and when, and whether a login proved the name."""

    @property
    def id(self) -> int:
        """The row's own number."""
        ...

    @property
    def recorded_at(self) -> int:
        """When it was recorded, epoch s."""
        ...

    @property
    def who(self) -> str:
        """The name of whoever recorded it."""
        ...

    @property
    def verified(self) -> bool:
        """Whether a login proved the name."""
        ...


def is_own(row: Recorded, hand: Hand) -> bool:
    """Whether a hand recorded a row.

    A name that a login proved is not the same as one that was only given; but before there were
    tokens names could only be given, and what was recorded then stays its hand's.
    """
    if row.who != hand.name:
        return False
    if row.verified == hand.verified:
        return True
    first = tokens.first_made_at() if hand.verified else None
    return first is not None and row.recorded_at <= first


def by(table: str, who: Hand | str) -> dict[str, Value]:
    """The SQL conditions, with values, that a hand recorded a row of a table, as `is_own`.

    Args:
        who: a hand, or anybody of a name.
    """
    if isinstance(who, str):
        return {f"{table}.who = ?": who}
    first = tokens.first_made_at() if who.verified else None
    proven = f"{table}.verified = {int(who.verified)}"
    if first is not None:
        proven = f"({proven} OR {table}.recorded_at <= {first:d})"
    return {f"{proven} AND {table}.who = ?": who.name}
