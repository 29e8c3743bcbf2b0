"""What an open job waits for: what cures, what is short, needed, planned and spent.

Each with a command to type next; words in capitals are for the hand to fill in.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterable, Sequence
from datetime import date

from ...acts.jobs import need
from ...acts.jobs.need import NeedLotView, NeedView
from ...acts.jobs.usage import UsageView, UsedProduct
from ...acts.plan import job_plan
from ...acts.plan.words import PlannedView
from ...acts.wall.job_rows import job_rows
from ...acts.wall.rows import RowView
from ...core.amounts.quantities import Kind
from ...core.errors import NotFound
from ...core.frozen import frozen
from ...core.products.materials import CURING_ROLES, LIVELY_ROLES
from ...store.stock.jobs import Job
from ..context import clock_faces

Amount = tuple[int, Kind]
CURING = CURING_ROLES - {"filler"}
"""Roles of what a pot is named by."""


@frozen
class Curing:
    """A layup, or a pot that was not laid up, as the wall has it."""

    row: RowView
    command: str


@frozen
class Short:
    """A product that is not in stock for the job; the first day that wants it, if one is named."""

    product: str
    amount: Amount
    by: date | None
    command: str


@frozen
class Needed:
    """What is still to be drawn for a need, and the lots that are kept for it."""

    need: NeedView
    left: Amount
    command: str


@frozen
class Planned:
    """A step of the plan that is not laid; `late` where it should have begun."""

    step: PlannedView
    late: bool
    command: str


@frozen
class JobNow:
    """What an open job waits for.

    Attributes:
        stale: needs, each with a lot that is out of date on the day that wants it.
        needs: whether it has any. plans: whether it has a plan.
    """

    curing: list[Curing]
    short: list[Short]
    stale: list[tuple[NeedView, NeedLotView]]
    needed: list[Needed]
    planned: list[Planned]
    spent: list[UsedProduct]
    needs: bool
    plans: bool


def job_now(job: Job, used: UsageView, now: int) -> JobNow:
    """What a job waits for at a moment."""
    needs = need.show_needs(job, now).needs
    steps = _steps(job)
    return JobNow(
        curing=[Curing(row, _after(row, job.number)) for row in job_rows(job, now)],
        short=_short(needs),
        stale=[(each, lot) for each in needs for lot in each.out_of_date],
        needed=_needed(needs, job),
        planned=_planned(steps or [], used, now),
        spent=used.products,
        needs=bool(needs),
        plans=steps is not None,
    )


def _short(needs: Sequence[NeedView]) -> list[Short]:
    found: list[Short] = []
    for product in dict.fromkeys(each.product for each in needs if each.short[0]):
        its = [each for each in needs if each.product == product and each.short[0]]
        amount = (round(sum(each.short[0] for each in its)), its[0].short[1])
        by = min((each.by for each in its if each.by), default=None)
        receive = f"cureyard lot receive {product} {_amount(amount)} --number NUMBER"
        found.append(Short(product, amount, by, receive))
    return sorted(found, key=lambda each: (each.by or date.max, each.product))


def _needed(needs: Iterable[NeedView], job: Job) -> list[Needed]:
    found: list[Needed] = []
    roles = need.roles(job)
    for each in needs:
        left = (round(each.quantity[0] - each.drawn[0]), each.quantity[1])
        if left[0] > 0:
            found.append(Needed(each, left, _draw(each, roles[each.product], job.number)))
    return sorted(found, key=lambda each: each.need.by or date.max)


def _draw(each: NeedView, role: str, job: str) -> str:
    """What is kept is drawn; what cures, and all that goes into a pot, as the pot is mixed."""
    if role in LIVELY_ROLES or role == "filler":
        return f'cureyard mix {each.product if role in CURING else "RESIN"} "1 kg" --job {job}'
    if not each.lots:
        return ""
    piece = each.pieces[0].length if each.pieces else round(each.reserved[0])
    return f"cureyard draw {each.product} {_amount((piece, each.reserved[1]))} --job {job}"


def _steps(job: Job) -> list[PlannedView] | None:
    try:
        return job_plan.show_plan(job).steps
    except NotFound:
        return None


def _planned(steps: Iterable[PlannedView], used: UsageView, now: int) -> list[Planned]:
    """Layers that no layup of their title is noted for, and other work that is still to come."""
    laid = {layup.title.casefold() for layup in used.layups}
    return [
        Planned(step, step.start < now, _begin(step, used.job))
        for step in steps
        if (step.title.casefold() not in laid if step.kind == "cure" else step.end > now)
    ]


def _begin(step: PlannedView, job: str) -> str:
    if step.kind != "cure":
        return f"cureyard job plan {job}"
    return f'cureyard mix {step.product} "1 kg" --job {job} --lay {_quoted(step.title)} --kind KIND'


def _after(row: RowView, job: str) -> str:
    """What a hand notes next of a layup or a pot; empty where nothing is left."""
    if row.pot is not None:
        return f"cureyard layup start {job} TITLE --kind KIND --batch {row.pot.id}"
    layup = row.layup
    if layup is None or layup.next.action == "none":
        return ""
    if layup.next.action == "heat":
        return f"cureyard bay read {layup.bay} TEMP"
    if row.do.urgency == "trouble":
        return f"cureyard layup show {layup.id}"
    if row.do.note is not None:
        return f"cureyard layup observe {layup.id} {row.do.note}"
    return (
        f"cureyard mix RESIN AMOUNT --job {job} --lay TITLE --kind KIND --bay {layup.bay} "
        f"--over {layup.id}"
    )


def _amount(amount: Amount) -> str:
    return _quoted(clock_faces.amount(*amount))


def _quoted(words: str) -> str:
    """Words as one word of a shell."""
    return shlex.quote(words) if re.search(r'["$`\\!]', words) else f'"{words}"'
