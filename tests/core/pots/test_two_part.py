"""Two parts have one ratio, by mass or by volume, and no other."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.errors import (
    CureSheetMissing,
    OutsideLimits,
)
from cureyard_service.core.pots.dosing import dose
from cureyard_service.core.pots.pot import Other, Pot
from cureyard_service.core.products.cure_sheet import GelPoint, Mix
from cureyard_service.core.words import shown
from hypothesis import given
from hypothesis import strategies as st

from ..makers import EPOXY, KG, MIN, G, belief, kelvin, law_of, mixed


@given(st.floats(50, 3000), st.integers(900_000, 1_300_000), st.integers(900_000, 1_300_000))
def test_a_ratio_by_volume_is_weighed_by_both_densities(
    grams: float, resin: int, hardener: int
) -> None:
    """Hardener volume over resin volume is the ratio, whatever they weigh."""
    by_volume = replace(EPOXY, mix=Mix("two_part", (100.0, 25.0), "volume"))
    answer = mixed(grams, by_volume, resin_density=resin, catalyst_density=hardener)
    assert answer.percent / 100 * resin / hardener == pytest.approx(0.25)
    assert answer.volume == pytest.approx(grams * G / resin * 1e6 / 4, abs=250)
    assert answer.mass == pytest.approx(grams * G * answer.percent / 100, abs=500)


def test_a_ratio_by_mass_needs_no_density_and_by_volume_both() -> None:
    """100:25 of 400 g is 100 g."""
    answer = mixed(400, EPOXY)
    assert (answer.mass, answer.volume, answer.percent) == (100 * G, None, 25.0)
    by_volume = replace(EPOXY, mix=Mix("two_part", (100.0, 25.0), "volume"))
    for known in ({}, {"resin_density": KG}, {"catalyst_density": KG}):
        with pytest.raises(CureSheetMissing, match="densities"):
            mixed(400, by_volume, **known)


FAST = Other(
    "fast-hardener",
    replace(EPOXY, gel_points=(GelPoint(kelvin(20), None, 15 * MIN, 15 * MIN),)),
)
SLOW = Other(
    "slow-hardener-2",
    replace(EPOXY, gel_points=(GelPoint(kelvin(20), None, 180 * MIN, 180 * MIN),)),
)


@pytest.mark.parametrize("wish", [{"percent": 30.0}, {"target_gel": 600.0}])
def test_two_parts_are_never_hotted_up(wish: dict[str, float]) -> None:
    """The answer to 'faster' is another hardener, by name where the resin has one."""
    pot = Pot(400 * G, kelvin(20), **wish)  # type: ignore[arg-type]
    with pytest.raises(OutsideLimits) as caught:
        dose(pot, EPOXY, law_of(EPOXY), others=lambda: [FAST])
    assert "fast-hardener" in caught.value.advice


def test_two_parts_that_gel_in_the_stirring_are_never_told_less_catalyst() -> None:
    """Their ratio is fixed: a cooler hour, a smaller pot, or a slower hardener by its code."""
    law = law_of(EPOXY)
    pot = Pot(400 * G, kelvin(30), belief=belief(law, 0.1))
    for others, hardener in (([FAST, SLOW], "a slower hardener: slow-hardener-2."),
                             ([FAST], "a slower hardener.")):  # fmt: skip
        answer = dose(pot, EPOXY, law, others=lambda others=others: others)  # type: ignore[misc]
        assert answer.working_time == 0
        (word,) = [line for line in answer.warnings if "while it is stirred" in line]
        assert word.endswith(f"a cooler hour, a smaller pot, or {hardener}")
        assert "catalyst" not in word


def test_a_ratio_too_small_to_weigh_says_what_to_mix() -> None:
    """0.1 g steps can't hold 2 % of 1.25 g of hardener; 10 g can."""
    weighing, advice = mixed(5, EPOXY).advice
    assert weighing.startswith("Weigh both")
    assert "at least 10 g" in advice
    assert len(mixed(40, EPOXY).advice) == 1
    assert len(mixed(19.9, EPOXY).advice) == 1  # 4.975 g as 5.0 is half a percent off
    assert len(mixed(5.4, EPOXY).advice) == 2  # 1.35 g as 1.3 or 1.4 is 4 %
    assert mixed(5.4, EPOXY).percent_as_measured == pytest.approx(25, rel=0.04)


def test_epoxy_above_32_degrees_has_half_the_pot_life() -> None:
    """Pot life and working time halve; the cup's gel time is the sheet's."""
    hot = replace(EPOXY, temperature_max=None)
    plain, halved = mixed(400, hot, 33), mixed(400, hot, 33, chemistry="epoxy")
    assert halved.pot_at_most == plain.pot_at_most / 2
    assert halved.working_time == plain.working_time / 2
    assert halved.gel == plain.gel
    assert "halved" in shown(halved.warnings[0], "metric")
    assert mixed(400, hot, 31.9, chemistry="epoxy").pot_at_most == mixed(400, hot, 31.9).pot_at_most
