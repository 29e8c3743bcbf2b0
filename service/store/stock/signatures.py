"""Signatures under jobs. The database itself refuses what is written to a job while one stands."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from .. import tables
from ..engine.rows import Reader, insert
from ..yard.hands import Hand


class Signature(NamedTuple):
    """A lead's signature under a job.

    `left_open` is JSON, `[[item, what it is, reason], …]`; `head` is the head of the seals then, or
    None.
    """

    id: int
    job_id: int
    authority: str | None
    profile: str
    left_open: str
    head: str | None
    recorded_at: int
    who: str
    verified: bool


class SignatureEnd(NamedTuple):
    """A signature that was voided, and why."""

    signature_id: int
    reason: str
    recorded_at: int
    who: str
    verified: bool


_SIGNATURES = Reader(Signature, tables.Signature)
_ENDS = Reader(SignatureEnd, tables.SignatureEnd)


def add(
    job_id: int,
    *,
    authority: str | None,
    profile: str,
    left_open: str,
    head: str | None,
    now: int,
    hand: Hand,
) -> None:
    """Sign a job: from here on the database refuses what is written to it."""
    insert(
        tables.Signature, job_id=job_id, authority=authority, profile=profile,
        left_open=left_open, head=head, **hand.signed(now),
    )  # fmt: skip


def void(signature_id: int, *, reason: str, now: int, hand: Hand) -> None:
    """Void a signature; it stays on record."""
    insert(tables.SignatureEnd, signature_id=signature_id, reason=reason, **hand.signed(now))


def of_jobs(ids: Iterable[int]) -> dict[int, list[tuple[Signature, SignatureEnd | None]]]:
    """Job id → its signatures, the oldest first, each with how it was voided or None."""
    found: dict[int, list[tuple[Signature, SignatureEnd | None]]] = {each: [] for each in ids}
    if not found:
        return found
    rows = _SIGNATURES.all("WHERE signature.job_id IN (?*) ORDER BY signature.id", list(found))
    ended = [row.id for row in rows]
    rest = "WHERE signature_end.signature_id IN (?*)"
    ends = {end.signature_id: end for end in _ENDS.all(rest, ended)} if ended else {}
    for row in rows:
        found[row.job_id].append((row, ends.get(row.id)))
    return found


def standing(job_id: int) -> Signature | None:
    """The signature of a job that stands, or None."""
    return next((row for row, end in of_jobs([job_id])[job_id] if end is None), None)
