"""What the core and the store refuse: one class a kind of refusal.

A refusal has words for a person (`detail` says what was wrong, `advice` what to do) and plain
fields for a program. The first line of its class's docstring is its title, which answers show; its
slug is its name for programs, and never changes. HTTP is not known here: `service.web.problems`
gives each class its status.

The words name a field of the interface in quotes, such as 'pot_max', and never a command:
`client.hints` adds what to type.
"""

from __future__ import annotations

from typing import Any, ClassVar

from .words import Text, shown


class Refusal(Exception):
    """Something asked for that the rules do not allow. Nothing was changed.

    Args:
        detail: what was wrong, in one sentence.
        advice: what to do instead, in one sentence; empty when there is none.
        pointer: where in the request it stands, as an RFC 6901 JSON pointer.
        fields: facts for a program, JSON-ready.
    """

    slug: ClassVar[str] = "validation"

    def __init_subclass__(cls, *, slug: str | None = None) -> None:
        super().__init_subclass__()
        cls.slug = slug or cls.slug

    def __init__(
        self, detail: Text, *, advice: Text = "", pointer: str = "", **fields: Any
    ) -> None:
        super().__init__(shown(detail, "metric"))
        self.detail = detail
        self.advice = advice
        self.pointer = pointer
        self.fields = fields


class Refusals(Refusal):
    """Several things are wrong in one request, gathered so that a person corrects them at once."""

    def __init__(self, refusals: list[Refusal]) -> None:
        super().__init__(f"{len(refusals)} things are wrong")
        self.refusals = refusals


class Invalid(Refusal):
    """Something in the request is wrong.

    For what no narrower class names.
    """


class UnitMissing(Refusal, slug="unit-missing"):
    """A number has no unit."""


class UnitMismatch(Refusal, slug="unit-mismatch"):
    """The unit does not fit."""


class UnknownReference(Refusal, slug="unknown-reference"):
    """The request names something that the store does not have."""


class NotFound(Refusal, slug="not-found"):
    """There is no such thing."""


class AlreadyExists(Refusal, slug="already-exists"):
    """It exists or was done already."""


class ExpiredLot(Refusal, slug="expired-lot"):
    """The lot is out of date."""


class HeldLot(Refusal, slug="held-lot"):
    """The lot is held."""


class ShortStock(Refusal, slug="short-stock"):
    """There is not enough in stock."""


class NoSinglePiece(Refusal, slug="no-single-piece"):
    """No single piece is big enough."""


class ReservedStock(Refusal, slug="reserved-stock"):
    """The rest of the stock is reserved for other jobs."""


class NoPlan(Refusal, slug="no-plan"):
    """The steps can't be planned."""


class GateStop(Refusal, slug="gate-stop"):
    """A quality gate says stop."""


class AuthorityMissing(Refusal, slug="authority-missing"):
    """The job names no authority."""


class NotCured(Refusal, slug="not-cured"):
    """The layup is not cured enough to hand over."""


class TooCold(Refusal, slug="too-cold"):
    """It is too cold for the product."""


class TooHot(Refusal, slug="too-hot"):
    """It is too hot for the product."""


class OutsideLimits(Refusal, slug="outside-limits"):
    """That is outside the product's limits."""


class PotTooShort(Refusal, slug="pot-too-short"):
    """The pot gels before its bag is pumped down."""


class PeroxideLimit(Refusal, slug="peroxide-limit"):
    """That is too much peroxide."""


class CureSheetMissing(Refusal, slug="cure-sheet-missing"):
    """The product has no cure sheet, or lacks a figure."""


class PartnerMissing(Refusal, slug="partner-missing"):
    """The catalyst or hardener is not named."""


class CureSheetInconsistent(Refusal, slug="cure-sheet-inconsistent"):
    """The cure sheet contradicts itself or chemistry."""


class UnsoundBelow(Refusal, slug="unsound-below"):
    """The layer below is not sound."""


class JobClosed(Refusal, slug="job-closed"):
    """The job is closed."""


class StillOpen(Refusal, slug="still-open"):
    """Something of the job is still open."""


class Signed(Refusal, slug="signed"):
    """The job is signed."""


class CountedSince(Refusal, slug="counted-since"):
    """The lot was counted after that."""


class ReadingDiffers(Refusal, slug="reading-differs"):
    """The bay has another reading for that moment."""


class PartOfBatch(Refusal, slug="part-of-batch"):
    """The draw belongs to a pot."""


class NotAllowed(Refusal, slug="not-allowed"):
    """Your role may not do that."""


class IdempotencyConflict(Refusal, slug="idempotency-conflict"):
    """The same key came before with another body."""


class StaleVersion(Refusal, slug="stale-version"):
    """Somebody changed it after you read it."""


class PreconditionMissing(Refusal, slug="precondition-missing"):
    """The request does not say which version it changes."""


class Busy(Refusal, slug="busy"):
    """The store is busy."""


class Unsure(Busy, slug="unsure"):
    """It may have been done."""


class StoreFull(Refusal, slug="store-full"):
    """The store's disk is full."""


def gather(*faults: Refusal | None) -> None:
    """Raise what was found: nothing, the one refusal, or all of several as one."""
    found = [fault for fault in faults if fault is not None]
    if len(found) == 1:
        raise found[0]
    if found:
        raise Refusals(found)
