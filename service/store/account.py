"""What a store amounts to: its version, how many movements it has, and whether they hold."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from .database import reading
from .proofs import prove
from .tables import Movement
from .versions import schema_version


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
        return Account(schema_version(db), Movement.select().count(), found)
