"""Find what a request names, or refuse in words a person can use.

A thing named in a request's body refuses with `UnknownReference` and where it stands; the
thing that an address names, with `NotFound`. Which of the two it is, is the `pointer`:
empty for the address.
"""

from __future__ import annotations

from typing import Any

from ...core.amounts import near_names as near
from ...core.errors import Invalid, JobClosed, NotFound, Refusal, UnknownReference
from ...store import bays, lookup, tables
from ...store.stock import jobs
from ...store.stock import lots as shelf
from ...store.yard import withdrawals


def product(code: str, pointer: str = "") -> tables.Product:
    """The product with a code, without regard to case."""
    row = shelf.find_product(code)
    if row is not None:
        return row
    advice = _meant(code, tables.Product, "code") or "Add it, or check its code."
    return _refuse(f"There is no product {code}.", advice, pointer)


def bay(code: str, pointer: str = "") -> tables.Bay:
    """The bay with a code, without regard to case."""
    row = bays.find_bay(code)
    if row is not None:
        return row
    advice = _meant(code, tables.Bay, "code") or "Add it, or check its code."
    return _refuse(f"There is no bay {code}.", advice, pointer)


def lot(number: int, pointer: str = "") -> tables.Lot:
    """The lot with an id."""
    row = shelf.find_lot(number)
    return row or _refuse(f"There is no lot {number}.", "List the lots to find its id.", pointer)


def job(number: str, pointer: str = "") -> tables.Job:
    """The job with a number, without regard to case."""
    row = jobs.find_job(number)
    if row is not None:
        return row
    advice = _meant(number, tables.Job, "number") or "Open it, or check its number."
    return _refuse(f"There is no job {number}.", advice, pointer)


def open_job(number: str, pointer: str) -> tables.Job:
    """The job with a number, which must still be open."""
    row = job(number, pointer)
    if row.closed_at is not None:
        raise JobClosed(
            f"Job {row.number} is closed.", advice="Book it to an open job.", pointer=pointer
        )
    return row


def movement(number: int) -> tables.Movement:
    """The line of the ledger with an id."""
    row = lookup.by_id(tables.Movement, number)
    return row or _refuse(f"There is no movement {number}.", "List the movements.", "")


def batch(number: int, pointer: str = "") -> tables.Batch:
    """The batch with an id."""
    row = lookup.by_id(tables.Batch, number)
    return row or _refuse(f"There is no batch {number}.", "List the batches.", pointer)


def laid(number: int, pointer: str) -> tables.Layup:
    """The layup with an id, which must have been laid.

    Raises: as `must_be_laid`.
    """
    row = layup(number, pointer)
    must_be_laid(row, pointer)
    return row


def must_be_laid(row: tables.Layup, pointer: str = "") -> None:
    """Refuse a layup that was taken back.

    Raises: Invalid.
    """
    if withdrawals.of_row(tables.Withdrawal.layup, row.id) is not None:
        raise Invalid(
            f"Layup {row.id} was taken back: it was not laid.",
            advice="Name another layup, or record it again.",
            pointer=pointer,
        )


def layup(number: int, pointer: str = "") -> tables.Layup:
    """The layup with an id."""
    row = lookup.by_id(tables.Layup, number)
    return row or _refuse(f"There is no layup {number}.", "List the layups.", pointer)


def _meant(name: str, model: type[tables.Row], column: str) -> str:
    return near.meant(name, lookup.newest(model, column))


def _refuse(detail: str, advice: str, pointer: str) -> Any:
    refusal: type[Refusal] = UnknownReference if pointer else NotFound
    raise refusal(detail, advice=advice, pointer=pointer)
