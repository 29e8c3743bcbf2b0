"""What the core and the store refuse, and why: one class a slug.

A refusal carries words for a person (`detail`), what would help (`advice`) and
plain fields for a program. It knows nothing of HTTP: `service.web.problems`
holds the one table that gives each slug a status.
"""

from __future__ import annotations

from typing import Any, ClassVar


class Refusal(Exception):
    """Something asked for that the rules do not allow. Nothing was changed.

    Args:
        detail: what was wrong, in one sentence.
        advice: what to do instead, in one sentence; empty when there is none.
        pointer: where in the request it stands, as an RFC 6901 JSON pointer.
        fields: facts for a program, JSON-ready.
    """

    slug: ClassVar[str] = "validation"

    def __init__(self, detail: str, *, advice: str = "", pointer: str = "", **fields: Any) -> None:
        super().__init__(detail)
        self.detail = detail
        self.advice = advice
        self.pointer = pointer
        self.fields = fields


class Invalid(Refusal):
    """The content of a request is wrong in a way that no narrower slug names."""

    slug = "validation"


class Refusals(Refusal):
    """Several faults in one request, gathered so that a person mends them at once."""

    slug = "validation"

    def __init__(self, refusals: list[Refusal]) -> None:
        super().__init__(f"{len(refusals)} things are wrong")
        self.refusals = refusals


class UnitMissing(Refusal):
    """A dimensioned number came without its unit."""

    slug = "unit-missing"


class UnitMismatch(Refusal):
    """A unit came that is unknown, or measures another kind of thing."""

    slug = "unit-mismatch"


class UnknownReference(Refusal):
    """A request names a product, lot, job or bay that the store does not have."""

    slug = "unknown-reference"


class NotFound(Refusal):
    """The thing that the address names does not exist."""

    slug = "not-found"


class AlreadyExists(Refusal):
    """The code or number is taken; codes are unique without regard to case."""

    slug = "already-exists"


class ExpiredLot(Refusal):
    """The lot was out of date on the day of the act."""

    slug = "expired-lot"


class HeldLot(Refusal):
    """The lot is held: suspect, or waiting for a test."""

    slug = "held-lot"


class ShortStock(Refusal):
    """The store has less than was asked for."""

    slug = "short-stock"


class NoSinglePiece(Refusal):
    """The stock would do in total, but no one roll or sheet has the piece in it."""

    slug = "no-single-piece"


class NoPlan(Refusal):
    """No plan of the steps holds within the shop's hours and the days that were looked at."""

    slug = "no-plan"


class ReservedStock(Refusal):
    """What is left of the stock is promised to other jobs."""

    slug = "reserved-stock"


class GateStop(Refusal):
    """A quality gate says stop, and the yard's profile holds pots back for it."""

    slug = "gate-stop"


class AuthorityMissing(Refusal):
    """The work is structural, or may be, and its job does not say whose rules it goes by."""

    slug = "authority-missing"


class NotCured(Refusal):
    """The layup may not leave: it is not hard, or lacks what a handing over of it takes."""

    slug = "not-cured"


class TooCold(Refusal):
    """Colder than the product may be mixed or laid up."""

    slug = "too-cold"


class TooHot(Refusal):
    """Hotter than the product may be mixed or laid up."""

    slug = "too-hot"


class OutsideLimits(Refusal):
    """Outside a limit of the product: percent, pot, ratio or build."""

    slug = "outside-limits"


class PeroxideLimit(Refusal):
    """The dose would be more peroxide, as weighed, than any resin may have."""

    slug = "peroxide-limit"


class CureSheetMissing(Refusal):
    """The sum needs a cure sheet, or a figure on it, that the product does not have."""

    slug = "cure-sheet-missing"


class PartnerMissing(Refusal):
    """The mix needs a catalyst or hardener, and none was named of those that its sheet has."""

    slug = "partner-missing"


class CureSheetInconsistent(Refusal):
    """The cure sheet contradicts itself or chemistry: it was typed wrong, or is another law."""

    slug = "cure-sheet-inconsistent"


class JobClosed(Refusal):
    """The job is closed; nothing more is booked to it."""

    slug = "job-closed"


class CountedSince(Refusal):
    """The lot was counted after that movement, so the count already holds the truth."""

    slug = "counted-since"


class ReadingDiffers(Refusal):
    """The bay already has another temperature for that moment."""

    slug = "reading-differs"


class PartOfBatch(Refusal):
    """The draw belongs to a mixed pot and can only be undone with the whole of it."""

    slug = "part-of-batch"


class NotAllowed(Refusal):
    """This person's role may not do that."""

    slug = "not-allowed"


class IdempotencyConflict(Refusal):
    """The same key came before with another body."""

    slug = "idempotency-conflict"


class StaleVersion(Refusal):
    """Somebody changed it since it was read."""

    slug = "stale-version"


class PreconditionMissing(Refusal):
    """A change must say, in If-Match, which version it changes."""

    slug = "precondition-missing"


class Busy(Refusal):
    """The store was busy for longer than a hand should wait."""

    slug = "busy"


class Unsure(Busy):
    """The store broke off in the very moment of keeping it: it may have been done, or not."""

    slug = "unsure"


class StoreFull(Refusal):
    """There is no room left to write."""

    slug = "store-full"


def gather(*faults: Refusal | None) -> None:
    """Raise what was found: nothing, the one refusal, or all of several as one."""
    found = [fault for fault in faults if fault is not None]
    if len(found) == 1:
        raise found[0]
    if found:
        raise Refusals(found)
