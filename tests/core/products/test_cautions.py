"""Words of caution: those that a mix card can't be without."""

from __future__ import annotations

import pytest
from cureyard_service.core.products import cautions
from cureyard_service.core.products.cure_sheet import MixKind


@pytest.mark.parametrize(
    ("kind", "chemistry", "word"),
    [
        ("catalysed", "polyester", "never meet undiluted"),
        ("catalysed", "polyester", "goggles"),
        ("catalysed", None, "Styrene"),
        ("two_part", "epoxy", "sensitise"),
        ("two_part", "polyurethane", "Isocyanate"),
        ("catalysed", "polyester", "outdoors on bare ground"),
        ("two_part", None, "spread it out at once"),
    ],
)
def test_each_mix_says_what_can_hurt(kind: MixKind, chemistry: str | None, word: str) -> None:
    """A card without its own hazard on it is worse than none."""
    assert any(word in line for line in cautions.for_mix(kind, chemistry))


def test_the_sheets_come_first_and_a_card_stays_short() -> None:
    """The maker's sheets rule on every card; nobody reads a wall of text; no hazard is borrowed."""
    for kind in ("catalysed", "two_part", "one_part"):
        lines = cautions.for_mix(kind, "epoxy")
        assert lines[0] == cautions.SHEETS_RULE
        assert len(lines) <= 8
        assert len(set(lines)) == len(lines)
    assert cautions.for_mix("one_part", None) == [cautions.SHEETS_RULE]
    assert cautions.STYRENE not in cautions.for_mix("two_part", "epoxy")


def test_a_two_part_resin_that_nobody_described_is_taken_as_epoxy() -> None:
    """A skin once sensitised stays so: said too often rather than too seldom."""
    assert cautions.EPOXY in cautions.for_mix("two_part", None)
    assert cautions.EPOXY not in cautions.for_mix("two_part", None, {"isocyanate"})
    assert cautions.EPOXY not in cautions.for_mix("one_part", None)
