"""What a store amounts to: its version, how many movements it has, and whether they hold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from peewee import DatabaseError

from ..engine.database import reading
from ..engine.faults import of_the_moment
from ..engine.versions import schema_version
from ..tables import Movement
from .proofs import prove


@dataclass(frozen=True)
class Account:
    """A store's books at one moment.

    Attributes:
        version: of its tables. movements: how many lines its ledger has.
        findings: what breaks a proof, a sentence each; none when the books hold.
    """

    version: int
    movements: int
    findings: tuple[str, ...]


def account(db: Any) -> Account:
    """Count and prove one snapshot of the store in use."""
    with reading():
        found = tuple(finding for proof in prove(db) for finding in proof.findings)
        return Account(schema_version(db), _movements(db), found)


def _movements(db: Any) -> int:
    """How many there are; none where the ledger can't be read, which the proofs say."""
    try:
        with db.atomic():
            return int(Movement.select().count())
    except DatabaseError as error:
        if of_the_moment(error):
            raise
        return 0
