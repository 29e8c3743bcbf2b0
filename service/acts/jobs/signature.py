"""How a signature under a job is shown."""

from __future__ import annotations

import json
from typing import Annotated

from ...core.amounts.views import Moment, OneOf, Says, View
from ...core.frozen import frozen
from ...core.gates.profiles import PROFILES
from ...core.words import Text, from_plain
from ...store.stock import signatures
from ...store.stock.jobs import Job
from ...store.stock.signatures import Signature, SignatureEnd
from ..yard.taken_back import WithdrawnView

NO_CERTIFICATE = (
    "A yard's record, no certificate: class or local rules and a licensed surveyor decide."
)


@frozen
class LeftOpenView(View):
    """Something that was left open with a signature, and why."""

    item: str
    found: Text
    reason: str


@frozen
class SignatureView(View):
    """A lead's signature under a job."""

    who: str
    verified: bool
    at: Moment
    authority: str | None
    profile: Annotated[str, OneOf(PROFILES)]
    left_open: list[LeftOpenView]
    head: Annotated[str | None, Says("The head of the seals when it was signed; null without.")]
    voided: Annotated[WithdrawnView | None, Says("How it was voided; null while it stands.")]
    says: str


def is_signed(job: Job) -> bool:
    """Whether a signature stands under a job, so that nothing is written to it."""
    return job.closed_at is not None and signatures.standing(job.id) is not None


def show_signature(row: Signature, voided: SignatureEnd | None) -> SignatureView:
    """A signature, and how it was voided."""
    left_open = json.loads(row.left_open, object_hook=from_plain)
    return SignatureView(
        who=row.who,
        verified=row.verified,
        at=row.recorded_at,
        authority=row.authority,
        profile=row.profile,
        left_open=[LeftOpenView(*each) for each in left_open],
        head=row.head,
        voided=None
        if voided is None
        else WithdrawnView(voided.recorded_at, voided.who, voided.verified, voided.reason),
        says=NO_CERTIFICATE,
    )
