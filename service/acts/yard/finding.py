"""Find the row that a request names, or refuse.

A thing named in a body is refused with `UnknownReference` and a `pointer` to its name; the thing
that an address names with `NotFound`, and then `pointer` is empty.

Most requests name one or two kinds of things. So the file of a kind is imported when such a thing
is looked for: a dose needs neither layups nor signatures.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, NoReturn, Protocol, TypeVar

from ...core.amounts import near_names
from ...core.errors import Invalid, JobClosed, NotFound, Refusal, Signed, UnknownReference
from ...store import lookup
from ...store.engine import turns
from ...store.products import Product, find_product

if TYPE_CHECKING:
    from ...store.bays import Bay
    from ...store.cure.layups import Layup
    from ...store.cure.pots import Batch
    from ...store.photographs import Photograph
    from ...store.stock.jobs import Job
    from ...store.stock.lines import Movement
    from ...store.stock.lots import Lot
    from ...store.yard.overrides import JobNumber


def product(code: str, pointer: str = "") -> Product:
    """The product with a code, without regard to case."""
    row = find_product(code)
    if row is not None:
        return row
    advice = _meant(code, "product") or "Add it, or check its code."
    return _refuse(f"There is no product {code}.", advice, pointer)


def bay(code: str, pointer: str = "") -> Bay:
    """The bay with a code, without regard to case."""
    from ...store.bays import find_bay

    row = find_bay(code)
    if row is not None:
        return row
    advice = _meant(code, "bay") or "Add it, or check its code."
    return _refuse(f"There is no bay {code}.", advice, pointer)


def lot(number: int, pointer: str = "") -> Lot:
    """The lot with an id."""
    from ...store.stock.lots import find_lot

    row = find_lot(number)
    return row or _refuse(f"There is no lot {number}.", "List the lots to find its id.", pointer)


def lot_to_change(number: int, pointer: str = "") -> Lot:
    """The lot with an id, as it is when nobody else changes it."""
    turns.lock_lots([number])
    return lot(number, pointer)


def job(number: str, pointer: str = "") -> Job:
    """The job with a number, without regard to case."""
    from ...store.stock.jobs import find_job

    row = find_job(number)
    if row is not None:
        return row
    advice = _meant(number, "job") or "Open it, or check its number."
    return _refuse(f"There is no job {number}.", advice, pointer)


def open_job(number: str, pointer: str) -> Job:
    """The job with a number, which must be open."""
    row = job(number, pointer)
    if row.closed_at is not None:
        refuse_signed(row)
        raise JobClosed(
            f"Job {row.number} is closed.", advice="Book it to an open job.", pointer=pointer
        )
    return row


def refuse_signed(row: Job | JobNumber) -> None:
    """Refuse to write to a job that is signed; the database would do so too, in fewer words.

    Raises: Signed.
    """
    from ...store.stock import signatures
    from . import moments

    signed = signatures.standing(row.id)
    if signed is not None:
        raise Signed(
            f"Job {row.number} is signed, by {signed.who} at {moments.noted(signed.recorded_at)}.",
            advice="A lead may open it again with a reason: that voids the signature, and both "
            "stay on record. Or book it to another job.",
            job=row.number,
        )


def movement(number: int) -> Movement:
    """The line of the ledger with an id."""
    from ...store.stock.lines import find_line

    row = find_line(number)
    return row or _refuse(f"There is no movement {number}.", "List the movements.", "")


def batch(number: int, pointer: str = "") -> Batch:
    """The batch with an id."""
    from ...store.cure.pots import find_batch

    row = find_batch(number)
    return row or _refuse(f"There is no batch {number}.", "List the batches.", pointer)


def laid(number: int, pointer: str) -> Layup:
    """The layup with an id; it must not have been taken back.

    Raises: as `must_be_laid`.
    """
    row = layup(number, pointer)
    must_be_laid(row, pointer)
    return row


def must_be_laid(row: Layup, pointer: str = "") -> None:
    """Refuse a layup that was taken back.

    Raises: Invalid.
    """
    from ...store.yard import withdrawals

    if withdrawals.of_row("layup", row.id) is not None:
        raise Invalid(
            f"Layup {row.id} was taken back: it was not laid.",
            advice="Name another layup, or record it again.",
            pointer=pointer,
        )


def layup(number: int, pointer: str = "") -> Layup:
    """The layup with an id."""
    from ...store.cure.layups import find_layup

    row = find_layup(number)
    return row or _refuse(f"There is no layup {number}.", "List the layups.", pointer)


def photograph(number: int) -> Photograph:
    """The photograph with an id."""
    from ...store.photographs import find_photograph

    row = find_photograph(number)
    advice = "List the photographs of its job, layup or lot."
    return row or _refuse(f"There is no photograph {number}.", advice, "")


class _OfJob(Protocol):
    """A row of a job."""

    @property
    def job_id(self) -> int:
        """The job's id."""
        ...


Row = TypeVar("Row", bound=_OfJob)


def of_job(row: Row | None, job: Job, what: str) -> Row:
    """The record, if it is there and of a job; `what` is its noun with its number.

    Raises: NotFound, which names the job that has it.
    """
    if row is None:
        raise NotFound(f"There is no {what}.", advice=f"List those of job {job.number}.")
    if row.job_id != job.id:
        from ...store.stock import jobs  # late: see above

        its = jobs.job(row.job_id).number
        raise NotFound(f"Job {job.number} has no {what}.", advice=f"Job {its} has it: say that.")
    return row


def _meant(name: str, table: lookup.Named) -> str:
    return near_names.meant(name, lookup.newest(table))


def _refuse(detail: str, advice: str, pointer: str) -> NoReturn:
    refusal: type[Refusal] = UnknownReference if pointer else NotFound
    raise refusal(detail, advice=advice, pointer=pointer)
