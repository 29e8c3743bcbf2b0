"""A pot that goes under a vacuum bag: whether it lasts until the bag is pumped down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING, TypeVar

from ...core.errors import PotTooShort
from ...core.pots.bagged import Bagging, too_short
from ...core.pots.pot import Dose
from ...store.yard.hands import Hand
from .look_up import Asked
from .work_out import more_time

if TYPE_CHECKING:
    from ...store.cure.pots import Batch
    from .dose import DoseView

Bag = Mapping[str, Decimal]
"""The times of `laying`, `bagging` and `pumping`, s."""
AnyDose = TypeVar("AnyDose", bound="DoseView")


def check(pot: Asked, dose: Dose, bag: Bag | None, override: str | None) -> str | None:
    """Why a pot is too short for its bag, where an override sets that aside; else None.

    Raises: PotTooShort: it is, and nobody overrides.
    """
    short = _short(dose, bag)
    if short is not None and override is None:
        raise PotTooShort(
            short,
            advice=f"Get more time: {more_time(pot)}. Or lay it in smaller parts. A lead may "
            "override it with a reason.",
            pointer="/bag",
        )
    return short


def told(shown: AnyDose, dose: Dose, bag: Bag | None) -> AnyDose:
    """A dose with what is to be said of its bag, first of its warnings."""
    short = _short(dose, bag)
    if short is None:
        return shown
    return replace(shown, too_quick=True, warnings=[short, *shown.warnings])


def record(short: str | None, batch: Batch, reason: str, now: int, hand: Hand) -> None:
    """Record that a lead had a pot mixed that is too short for its bag."""
    if short is not None:
        from ..yard import permissions  # late: a pot that is only dosed is not overridden

        permissions.overridden(
            PotTooShort.slug,
            reason,
            f"pot {batch.id}, job {batch.job.number}: {short}",
            now=now,
            hand=hand,
            batch_id=batch.id,
            job_id=batch.job.id,
        )


def _short(dose: Dose, bag: Bag | None) -> str | None:
    if bag is None:
        return None
    return too_short(dose, Bagging(**{name: float(time) for name, time in bag.items()}))
