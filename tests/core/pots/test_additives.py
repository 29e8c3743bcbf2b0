"""Wax and styrene stirred into a resin: by its sheet alone, and wax in warm resin."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.errors import OutsideLimits, Refusals, TooCold
from cureyard_service.core.pots.additives import check
from cureyard_service.core.products.cure_sheet import CureSheet, Mix

BARE = CureSheet(mix=Mix("catalysed"), surface="air_inhibited")
SHEET = replace(BARE, wax_percent_min=4.0, wax_percent_max=5.0, styrene_percent_max=10.0)
WARM, COLD = 294.15, 294.14
"""21 °C: a lay-up guide, maker not named, has 70 °F, 21.1 °C."""


@pytest.mark.parametrize(
    ("wax", "styrene", "word"),
    [
        (39.0, 0.0, "3.90 % of wax in the resin, and its cure sheet allows 4 to 5 %"),
        (40.0, 0.0, ""), (50.0, 0.0, ""), (51.0, 0.0, "5.10 % of wax"),
        (0.0, 100.0, ""), (0.0, 101.0, "10.10 % of styrene"), (0.0, 0.0, ""), (45.0, 90.0, ""),
    ],
)  # fmt: skip
def test_in_the_sheets_percent(wax: float, styrene: float, word: str) -> None:
    """Of a kilogram of resin without them; at an end of the span it is allowed."""
    if not word:
        check(SHEET, 1000, wax, styrene, WARM)
        return
    with pytest.raises(OutsideLimits, match=word):
        check(SHEET, 1000, wax, styrene, WARM)


def test_none_without_a_percent() -> None:
    """And both are told at once."""
    with pytest.raises(OutsideLimits, match="no percent of wax") as told:
        check(BARE, 1000, 1, 0, WARM)
    assert "'wax_percent_max'" in str(told.value.advice)
    with pytest.raises(Refusals) as both:
        check(BARE, 1000, 1, 1, WARM)
    assert len(both.value.refusals) == 2
    check(BARE, 1000, 0, 0, COLD)


def test_wax_goes_into_warm_resin() -> None:
    """At 21 °C or more; styrene alone needs no warmth."""
    with pytest.raises(TooCold):
        check(SHEET, 1000, 45, 0, COLD)
    check(SHEET, 1000, 0, 45, COLD)
