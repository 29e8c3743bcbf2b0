"""What a store amounts to: its version, how many movements it has, and whether they hold."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from peewee import DatabaseError

from ...core.frozen import frozen
from ..engine.database import reading
from ..engine.faults import of_the_moment
from ..engine.versions import schema_version
from ..tables import Movement
from ..yard import heads
from .proofs import prove

_Told = TypeVar("_Told")


@frozen
class Account:
    """A store's books at one moment.

    Attributes:
        version: of its tables. movements: how many lines its ledger has.
        findings: what breaks a proof, a sentence each; none when the books hold.
        head: of its chain of seals; None where it can't be read, or nothing was written yet.
    """

    version: int
    movements: int
    findings: tuple[str, ...]
    head: str | None


def account(db: Any) -> Account:
    """Count and prove one snapshot of the store in use."""
    with reading():
        found = tuple(finding for proof in prove(db) for finding in proof.findings)
        movements = told(db, lambda: int(Movement.select().count())) or 0
        return Account(schema_version(db), movements, found, told(db, heads.head))


def told(db: Any, ask: Callable[[], _Told]) -> _Told | None:
    """What a table says; None where it can't be read, which the proofs say."""
    try:
        with db.atomic():
            return ask()
    except DatabaseError as error:
        if of_the_moment(error):
            raise
        return None
