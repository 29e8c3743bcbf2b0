"""A look that a layup can't have shown yet is recorded with a warning."""

from __future__ import annotations

from decimal import Decimal

import pytest
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.yard import finding

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW

pytestmark = pytest.mark.usefixtures("books")

LAID = NOW - DAY


def warned(kind: str, at: int) -> bool:
    """Whether a look of this kind at a moment is doubted."""
    told = yard.laid(product="LAM", catalyst_percent=Decimal(2), job="S-1", now=LAID)
    row = finding.layup(told.id)
    seen = observe_layup(row, kind=kind, at=at, now=NOW, hand=HAND)
    return any("at the earliest" in words for words in seen.warnings)


@pytest.mark.parametrize("kind", ["no_transfer", "sanded", "thumbnail"])
def test_three_minutes_after_it_was_laid(kind: str) -> None:
    """A hand looked at another layup, or the mix is far too hot."""
    assert warned(kind, LAID + 3 * MIN)


@pytest.mark.parametrize("kind", ["no_transfer", "sanded", "thumbnail"])
def test_a_day_later(kind: str) -> None:
    """Nothing is odd."""
    assert not warned(kind, NOW)


def test_wet_is_never_early() -> None:
    """Wet is what it is at first."""
    assert not warned("not_gelled", LAID + 3 * MIN)
