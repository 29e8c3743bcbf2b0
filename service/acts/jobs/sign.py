"""Sign a job: a lead's word that it is done, and what was left open.

A signature is a yard's record, no certificate. It closes the job. While it stands the database
refuses every row of the job, see `migrations/0029_signatures.py`.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence

from ...core.amounts.sentences import stock
from ...core.amounts.views import Code, View
from ...core.errors import Invalid, NotAllowed, StillOpen
from ...core.frozen import frozen
from ...core.gates.profiles import Profile
from ...core.words import Text, as_plain, joined, say
from ...store.cure import layups
from ...store.engine.database import writing
from ...store.stock import jobs, needs, signatures
from ...store.stock.jobs import Job
from ...store.yard import heads, logbook
from ...store.yard.hands import Hand
from ..cure import acceptance, gates, watch
from ..products.stuff import measure_of
from ..wetness import findings, places
from ..yard import finding, permissions, recognising, settings
from . import need
from .job import JobView, end_layups, show_job
from .signature import SignatureView, show_signature

SIGNED_REASON = "signed"
"""Why a job is closed that a signature closes."""
LEFT_OPEN: logbook.Kind = "left open"
"""What the logbook calls it, as the surveyor's sheet does."""
ALWAYS = ("authority", "sound-below")
"""Gates before laminating that still hold when the work is done; the others are of the day."""


@frozen
class OpenView(View):
    """Something of a job that is not settled; `item` is its name in a signature."""

    item: str
    found: Text


@frozen
class SigningView(View):
    """What is still open of a job before it is signed, and every signature that it ever had."""

    job: Code
    open: list[OpenView]
    signatures: list[SignatureView]


def show_signing(job: Job, now: int) -> SigningView:
    """What is still open of a job, and its signatures, voided or not."""
    found = signatures.of_jobs([job.id])[job.id]
    shut = any(voided is None for _, voided in found)
    return SigningView(
        job.number,
        [] if shut else open_items(job, now),
        [show_signature(*each) for each in found],
    )


def sign(job: Job, *, now: int, hand: Hand, left: Sequence[Mapping[str, str]] = ()) -> JobView:
    """Sign a job and close it.

    Args:
        left: an `item` that is left open, with its `reason`.

    Raises:
        NotAllowed: not by a lead; or without a token, by class rules or where there are tokens.
        Signed: it is signed. StillOpen: something is open that nobody named with a reason.
        Invalid: an item is named that is not open, or twice.
    """
    with writing():
        job = finding.job(job.number)
        finding.refuse_signed(job)
        profile = _may_sign(hand)
        found = open_items(job, now)
        reasons = _reasons(left, found)
        _refuse_open(job, found, reasons)
        for each in found:
            about = say("job {}, {}: {}", job.number, each.item, each.found)
            permissions.overridden(
                StillOpen.slug, reasons[each.item], about, now=now, hand=hand, word=LEFT_OPEN,
                job_id=job.id,
            )  # fmt: skip
        closing: dict[str, object] = {}
        if job.closed_at is None:
            end_layups(job, SIGNED_REASON, now, hand)
            closing = {"closed_at": now, "close_reason": SIGNED_REASON}
        jobs.change(job.id, **closing)  # also the version of one that was closed before
        logbook.record("job signed", f"job {job.number}", now=now, hand=hand)
        kept = [(each.item, each.found, reasons[each.item]) for each in found]
        signatures.add(
            job.id,
            authority=job.authority,
            profile=profile.name,
            left_open=json.dumps(kept, default=as_plain, ensure_ascii=False),
            head=heads.head(),
            now=now,
            hand=hand,
        )
        return show_job(finding.job(job.number))


def open_items(job: Job, now: int) -> list[OpenView]:
    """What of a job is not settled: gates, needs, findings that were not opened, layups in trouble
    or not accepted."""
    laid = watch.watch_all(layups.of_job(job.id), now)
    trouble = [each for each in laid if each.in_trouble]
    stuck = {each.row.id for each in trouble}
    return [
        *_gates(job, now, any_laid=bool(laid)),
        *_needs(job, now),
        *(
            OpenView(
                f"finding:{each.id}",
                f"{each.place}, {each.side}: {each.kind.replace('_', ' ')}, not opened.",
            )
            for each in findings.unopened(job, now)
        ),
        *(
            OpenView(f"trouble:{each.row.id}", say("{}: {}", each.row.title, each.step.text))
            for each in trouble
        ),
        *(
            OpenView(
                f"acceptance:{each.layup}", say("{}: {}.", each.title, joined("; ", each.lacks))
            )
            for each in acceptance.of_layups(laid, now)
            if not each.accepted and each.layup not in stuck
        ),
    ]


def _gates(job: Job, now: int, *, any_laid: bool) -> list[OpenView]:
    """The gates that do not pass and that nobody set aside.

    Where nothing was laid, there is no part to judge; where no place was found or measured wet,
    none is to be dry.
    """
    always = ALWAYS if places.of_job(job, now).for_gate() == [] else (*ALWAYS, "dry")
    return [
        OpenView(f"gate:{each.gate}", each.found)
        for each in gates.show_gates(job, now).gates
        if each.gate in always or (each.before == "moving_on" and any_laid)
        if each.verdict != "pass" and each.overridden is None
    ]


def _needs(job: Job, now: int) -> list[OpenView]:
    measures = {row.id: measure_of(row.product) for row in needs.of_job(job.id)}
    return [
        OpenView(
            f"need:{each.id}",
            say(
                "{} of {} is needed and was not drawn.",
                stock(left, measures[each.id]),
                each.product,
            ),
        )
        for each in need.show_needs(job, now).needs
        for left in [round(each.quantity[0] - each.drawn[0])]
        if left > 0
    ]


def _may_sign(hand: Hand) -> Profile:
    """The yard's profile, if the hand may sign by it.

    Raises: NotAllowed.
    """
    hand.must_be("lead", "To sign a job")
    profile = settings.rules()
    if hand.verified or not (profile.refuses or recognising.any_made()):
        return profile
    why = "By class rules" if profile.refuses else "In a yard with tokens"
    raise NotAllowed(
        f"{why} a job is signed by a lead whose token proves the name.",
        advice="Have an admin make a token for the lead, and sign with that.",
        role="lead",
    )


def _reasons(left: Sequence[Mapping[str, str]], found: Sequence[OpenView]) -> dict[str, str]:
    reasons: dict[str, str] = {}
    known = {each.item for each in found}
    for n, each in enumerate(left):
        item = each["item"]
        if item not in known or item in reasons:
            raise Invalid(
                f"{item} is named twice." if item in reasons else f"{item} is not open.",
                advice=f"Open are: {', '.join(sorted(known)) or 'none'}.",
                pointer=f"/left/{n}/item",
            )
        reasons[item] = each["reason"]
    return reasons


def _refuse_open(job: Job, found: Sequence[OpenView], reasons: Mapping[str, str]) -> None:
    unnamed = [each for each in found if each.item not in reasons]
    if unnamed:
        raise StillOpen(
            f"Job {job.number} is not signed, for this is open: "
            f"{', '.join(each.item for each in unnamed)}.",
            advice="Settle each, or name it in 'left' with the reason why it stays open.",
            job=job.number,
            open=[{"item": each.item, "found": each.found} for each in unnamed],
        )
