"""Forecasts in the cold: stalls, nights, and what is not in sight."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.forecast import milestones
from cureyard_service.core.cure.recoat import window

from ..makers import EXACT, HOUR, POLYESTER, hard_by, layer, stalled_at, steady, trace

PLAIN = replace(POLYESTER, surface="plain", closes_after=1000 * HOUR)
ONE = Doubt.steady(1.0)
NEAR = 1e-4
"""Moments are found to within a twentieth of a second."""


def test_opening_stalls_for_just_as_long_as_it_is_cold() -> None:
    """Three hours under the floor in the second hour: everything that stalls comes 3 h later."""
    lived = trace([0, 1, 1, 4, 4, 400], [20, 20, 5, 5, 20, 20])
    seen = milestones(layer(PLAIN), lived, EXACT)
    for name, hours in (("gel", 0.5), ("recoat_opens", 5), ("sandable", 9), ("full_cure", 75)):
        assert seen[name].at == pytest.approx(hours * HOUR, rel=NEAR)


def test_a_band_across_the_floor_has_no_latest() -> None:
    """At 10.5 °C give or take 1 K it may not cure tonight: no latest, and no window."""
    seen = milestones(layer(PLAIN), steady(10.5), ONE)
    for name in ("gel", "recoat_opens", "sandable", "full_cure"):
        assert seen[name].at is not None
        assert seen[name].earliest is not None
        assert seen[name].latest is None
    assert seen["trim"].latest is None
    assert window(seen) is None
    assert milestones(layer(PLAIN), steady(11.5), ONE)["gel"].latest is not None


@pytest.mark.parametrize(("cold_max", "hours"), [(None, 12), (3 * HOUR, 3)])
def test_too_long_too_cold_before_it_is_hard_promises_nothing(
    cold_max: float | None, hours: float
) -> None:
    """After 12 cold hours, or the sheet's own, nothing later is promised, warm again or not."""
    sheet = replace(PLAIN, cold_max=cold_max)
    lived = trace([0, 1, 1, 2 + hours, 2 + hours, 400], [20, 20, 5, 5, 20, 20])
    cold = layer(sheet)
    assert stalled_at(cold, lived, 0.0) == pytest.approx((1 + hours) * HOUR)
    seen = milestones(cold, lived, EXACT)
    assert seen["gel"].at == pytest.approx(0.5 * HOUR, rel=NEAR)
    for name in ("recoat_opens", "sandable", "full_cure"):
        assert (seen[name].at, seen[name].why) == (None, "cold-stalled")
    assert seen["recoat_closes"].at is not None


def test_cold_before_it_was_mixed_is_nothing_to_it() -> None:
    """Five cold hours in the bay, then heat and a pot: no hour of them counts."""
    lived = trace([0, 5, 5, 400], [5, 5, 20, 20])
    late = layer(replace(PLAIN, cold_max=3 * HOUR), started=5 * HOUR, finished=5 * HOUR)
    assert stalled_at(late, lived, 0.0) is None
    assert milestones(late, lived, EXACT)["sandable"].at == pytest.approx(11 * HOUR, rel=NEAR)


def test_cold_after_it_is_hard_is_only_a_pause() -> None:
    """Sandable after 6 h; thirteen cold hours then put full cure off, and stall nothing."""
    lived = trace([0, 7, 7, 20, 20, 400], [20, 20, 5, 5, 20, 20])
    assert stalled_at(layer(PLAIN), lived, 0.0) is None
    seen = milestones(layer(PLAIN), lived, EXACT)
    assert (seen["full_cure"].at or 0) / HOUR == pytest.approx(85, rel=NEAR)


def test_without_a_floor_nothing_stalls() -> None:
    """A sheet that names no least curing temperature is slow in the cold, never stopped."""
    seen = milestones(layer(replace(PLAIN, cure_min=None)), steady(5, 4000), ONE)
    assert all(m.latest is not None for name, m in seen.items() if name != "film")
    assert stalled_at(layer(replace(PLAIN, cure_min=None)), steady(5), 1.0) is None


def test_beyond_what_can_be_seen_ahead_is_not_in_sight() -> None:
    """A look of ten hours does not tell when 72 will be up."""
    seen = milestones(layer(PLAIN), steady(20, 10), EXACT)
    assert (seen["full_cure"].at, seen["full_cure"].why) == (None, "not-in-sight")
    assert seen["sandable"].at == pytest.approx(6 * HOUR, rel=NEAR)


def test_each_milestone_says_how_its_own_time_was_known() -> None:
    """Measured till hour 3, assumed from then on: gel measured, sandable mixed."""
    lived = trace([0, 3], [20, 20]).then(trace([3, 400], [20, 20], measured=False))
    seen = milestones(layer(PLAIN), lived, EXACT)
    assert (seen["gel"].basis, seen["sandable"].basis) == ("measured", "mixed")
    late = milestones(layer(PLAIN, started=4 * HOUR, finished=4 * HOUR), lived, EXACT)
    assert late["gel"].basis == "assumed"


def test_hard_is_as_expected_of_the_lot() -> None:
    """By three quarters of what makes its gel late or early."""
    for factor in (1.3, 0.8):
        expected = 6 * factor**0.75 * HOUR
        assert hard_by(layer(PLAIN, factor=factor), steady(20)) == pytest.approx(expected)


def test_hard_is_sandable_else_recoatable_else_gelled() -> None:
    """By the first of them that the sheet has a time for."""
    for keep, hours in ((("sandable", "recoat_opens"), 6), (("recoat_opens",), 2), ((), 0.5)):
        stages = tuple(stage for stage in PLAIN.stages if stage[0] in keep)
        assert hard_by(layer(replace(PLAIN, stages=stages)), steady(20)) == pytest.approx(
            hours * HOUR
        )
