"""Peroxide as weighed: scaled by its active oxygen, and never over 4 % of the resin.

Over 4 % of catalyst a polyester may never cure (a UK trade guide, maker not named, from memory).
Percent scales by active oxygen within one type of peroxide (common practice, no source).
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.errors import OutsideLimits, PeroxideLimit
from cureyard_service.core.pots.dosing import dose
from cureyard_service.core.pots.limits import check_percent
from cureyard_service.core.pots.pot import Other, Pot
from cureyard_service.core.products.cure_sheet import PERCENT_NEVER_OVER, CureSheet
from cureyard_service.core.words import shown
from hypothesis import given
from hypothesis import strategies as st

from ..makers import MIN, POLYESTER, G, kelvin, law_of, mixed

NINE = replace(POLYESTER, percent_max=3.0, active_oxygen=9.0)
"""A sheet for 1 to 3 % of a peroxide with 9 % of active oxygen."""
WEAK = 5 / 9
"""The strength of one with 5 %: it would take 1.8 to 5.4 %."""


def refused(sheet: CureSheet = NINE, *others: Other, celsius: float = 20, **asked: float) -> str:
    """The advice of a pot that is refused for too much peroxide."""
    pot = Pot(1000 * G, kelvin(celsius), **{"strength": WEAK, **asked})
    with pytest.raises(PeroxideLimit) as caught:
        dose(pot, sheet, law_of(sheet), others=lambda: others)
    assert caught.value.fields == {"greatest": 4.0}
    return shown(caught.value.advice, "metric")


@given(
    st.floats(0.3, 2.0), st.floats(14, 34), st.floats(5 * MIN, 200 * MIN),
    st.floats(200, 4000), st.floats(0.3, 3.0),
)  # fmt: skip
def test_no_more_than_4_percent_is_ever_weighed(
    strength: float, celsius: float, target: float, grams: float, percent: float
) -> None:
    """By whatever is asked for: dosed within 4 % by scale and by measure, or refused."""
    for asked in ({"target_gel": target}, {"percent": percent / strength}):
        try:
            answer = mixed(
                grams, NINE, celsius, strength=strength, catalyst_density=1_150_000, **asked
            )
        except (PeroxideLimit, OutsideLimits):
            continue
        assert answer.mass <= grams * G * PERCENT_NEVER_OVER / 100 + 1e-6
        assert (answer.volume or 0) * 1.15 <= grams * G * PERCENT_NEVER_OVER / 100 + 1e-6
        assert answer.percent <= PERCENT_NEVER_OVER + 1e-9


def test_active_oxygen_still_scales_what_stays_under() -> None:
    """1.5 % of 9 % is 2.7 % of 5 %; at 4 % as weighed it is just dosed."""
    answer = mixed(1000, NINE, target_gel=30 * MIN, strength=WEAK)
    assert answer.percent == pytest.approx(2.7)
    assert mixed(1000, NINE, percent=4.0, strength=WEAK).mass == 40 * G
    assert refused(percent=4.01)


def test_a_weak_peroxide_is_refused_with_what_would_do() -> None:
    """3 % of 9 % in 15 min at 20 °C would be 5.4 % of 5 %: another by name, or the heat."""
    strong = Other("KP90", NINE)
    weaker = Other("KP45", NINE, strength=0.5)
    advice = refused(NINE, strong, weaker, target_gel=15 * MIN)
    assert "KP90" in advice
    assert "KP45" not in advice
    assert "warm the bay and the resin to 25 °C" in advice
    warm = mixed(1000, NINE, 25, percent=4.0, strength=WEAK).gel.time
    assert warm <= 15 * MIN < mixed(1000, NINE, 24, percent=4.0, strength=WEAK).gel.time
    assert "accept a longer gel" in refused(NINE, strong, celsius=34, target_gel=5 * MIN)
    assert "with more active oxygen, or" in refused(celsius=34, target_gel=5 * MIN)


def test_where_even_the_least_is_too_much_no_heat_helps() -> None:
    """2.5 % of 9 % is 4.5 % of 5 %: only another peroxide will do."""
    narrow = replace(NINE, percent_min=2.5)
    assert refused(narrow, target_gel=60 * MIN) == "Take a peroxide with more active oxygen."
    assert refused(narrow, percent=4.0).endswith("oxygen.")


def test_the_sheet_s_own_limits_bind_before() -> None:
    """What the sheet forbids of its own peroxide stays outside its limits."""
    with pytest.raises(OutsideLimits):
        check_percent(5.0, NINE, 1.0)
    with pytest.raises(PeroxideLimit, match="5 %"):
        check_percent(5.0, NINE, WEAK)
    check_percent(3.5, NINE, WEAK)
