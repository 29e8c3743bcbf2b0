"""The dose at its limits: never left by rounding, refused with what to do, told when they bind."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from cureyard_service.core.errors import (
    Invalid,
    OutsideLimits,
    Refusal,
    TooCold,
    TooHot,
)
from cureyard_service.core.pots.dosing import dose
from cureyard_service.core.pots.pot import Pot
from cureyard_service.core.products.cure_sheet import CureSheet, Mix
from cureyard_service.core.words import shown
from hypothesis import given
from hypothesis import strategies as st

from ..makers import EPOXY, KG, MIN, POLYESTER, G, kelvin, law_of, mixed


@given(
    st.floats(20, 5000), st.floats(14, 34), st.floats(60, 86_400), st.floats(0.7, 1.4),
    st.floats(0.8, 1.3), st.integers(950_000, 1_250_000),
)  # fmt: skip
def test_no_dose_leaves_the_limits_by_rounding(
    grams: float, celsius: float, target: float, factor: float, strength: float, density: int
) -> None:
    """Mass and volume are each in the limits, scaled by the peroxide's strength; or refused."""
    answer = mixed(
        grams, celsius=celsius, target_gel=target, factor=factor, strength=strength,
        catalyst_density=density,
    )  # fmt: skip
    low, high = 1.0 / strength, 2.0 / strength
    assert low - 1e-9 <= answer.percent <= high + 1e-9
    assert low - 1e-9 <= answer.percent_as_measured <= high + 1e-9
    assert answer.percent_as_measured == pytest.approx(answer.mass / grams / G * 100)
    if answer.volume is not None:
        by_volume = answer.volume * density / 1e6 / (grams * G) * 100
        assert low - 1e-9 <= by_volume <= high + 1e-9
    assert answer.gel.earliest <= answer.gel.time <= answer.gel.latest


@pytest.mark.parametrize(
    ("minutes", "limit", "percent", "word"),
    [(10, "catalyst_percent_max", 2.0, "warm"), (90, "catalyst_percent_min", 1.0, "cooler")],
)
def test_a_wish_beyond_a_limit_gets_the_limit_and_advice(
    minutes: float, limit: str, percent: float, word: str
) -> None:
    """Not a refusal: the best that can be had, which limit bound, and what would help."""
    answer = mixed(1000, target_gel=minutes * MIN)
    assert (answer.limited_by, answer.percent) == (limit, percent)
    assert any(word in line for line in answer.advice)


@pytest.mark.parametrize("percent", [0.99, 2.01, 0, -1, float("nan"), 1e308])
def test_a_percent_outside_the_limits_is_refused(percent: float) -> None:
    """By the sheet's limits, or by the trade's where it has none."""
    with pytest.raises(OutsideLimits) as caught:
        mixed(1000, percent=percent)
    assert caught.value.fields == {"least": 1.0, "greatest": 2.0}
    silent = replace(POLYESTER, percent_min=None, percent_max=None)
    with pytest.raises(OutsideLimits, match="trade's limits"):
        mixed(1000, silent, percent=percent)


@pytest.mark.parametrize(
    ("grams", "density", "mass", "volume"),
    [
        (6663, None, 99_900, None),
        (6668, None, 100_000, None),
        (6710, None, 101_000, None),
        (1000, 1_000_000, 15_000, 15_000),
        (1003.4, 1_000_000, 15_100, 15_100),
        (1355, 1_000_000, 20_300, 20_500),
    ],
)
def test_both_roundings(grams: float, density: int | None, mass: int, volume: int | None) -> None:
    """0.1 g under 100 g, then 1 g; 0.1 mL under 20 mL, then 0.5 mL; each from the exact dose."""
    answer = mixed(grams, replace(POLYESTER, pot_max=10 * KG), catalyst_density=density)
    assert (answer.mass, answer.volume) == (mass, volume)


def test_volume_is_not_rounded_from_the_rounded_mass() -> None:
    """1.5 % of 802.6 g is 12.039 g, weighed as 12.0; its 13.377 mL are 13.4, not 12.0's 13.3."""
    answer = mixed(802.6, catalyst_density=900_000)
    assert (answer.mass, answer.volume) == (12_000, 13_400)


def test_a_small_pot_is_told_what_it_should_be_and_that_pot_is_content() -> None:
    """Under 1 mL, or shifted by over 5 %: mix at least so much; done, the advice is gone."""
    (advice,) = mixed(30, catalyst_density=1_150_000).advice
    assert advice == "Too little to measure well: mix at least 80 g of resin."
    assert mixed(80, catalyst_density=1_150_000).advice == ()
    assert mixed(30).advice == ("Too little to measure well: mix at least 70 g of resin.",)


@pytest.mark.parametrize(("grams", "told"), [(64.7, False), (56.7, True), (70, False)])
def test_a_shift_over_a_twentieth_is_too_little_to_measure(grams: float, told: bool) -> None:
    """0.97 g weighed as 1.0 is 3 % off; 0.85 g weighed as 0.8 or 0.9 is 6 %."""
    assert bool(mixed(grams).advice) is told


@pytest.mark.parametrize("grams", [0.001, 1, 4])
def test_a_pot_too_small_for_the_scale_is_refused(grams: float) -> None:
    """Rounded one way it would hold no catalyst, the other way too much of it."""
    with pytest.raises(OutsideLimits, match="A pot this small") as caught:
        mixed(grams)
    assert caught.value.advice == "Mix at least 70 g of resin."


def test_what_can_be_weighed_but_not_measured_has_no_volume() -> None:
    """50 g at 1.5 to 1.6 %: 0.8 g lies inside, but neither 0.6 nor 0.7 mL does."""
    narrow = replace(POLYESTER, percent_min=1.5, percent_max=1.6)
    answer = mixed(50, narrow, percent=1.55, catalyst_density=1_150_000)
    assert (answer.mass, answer.volume) == (800, None)


@pytest.mark.parametrize(
    ("celsius", "kind"), [(12.9, TooCold), (35.1, TooHot), (13.0, None), (35.0, None)]
)
def test_outside_the_sheet_s_temperatures_is_refused(
    celsius: float, kind: type[Refusal] | None
) -> None:
    """At the limit it may be mixed; past it the refusal says what to do."""
    if kind is None:
        mixed(1000, celsius=celsius)
        return
    with pytest.raises(kind, match=f"{celsius:.1f} °C") as caught:
        mixed(1000, celsius=celsius)
    assert caught.value.advice


def test_too_great_a_pot_is_refused_with_the_pots_to_mix() -> None:
    """12 kg over 5 kg is three pots of 4 kg; a ratio's hardener counts in the pot."""
    with pytest.raises(OutsideLimits, match="12 kg") as caught:
        mixed(12_000)
    assert caught.value.fields == {"pots": 3}
    assert "3 pots of 4 kg" in shown(caught.value.advice, "metric")
    mixed(4000, EPOXY)
    with pytest.raises(OutsideLimits):
        mixed(4001, EPOXY)


@pytest.mark.parametrize(
    ("sheet", "chemistry", "most"),
    [(POLYESTER, "polyester", 1000), (POLYESTER, "vinyl_ester", 1000), (EPOXY, "epoxy", 400),
     (POLYESTER, "acrylic", 500), (POLYESTER, None, 500)],
)  # fmt: skip
def test_an_assumed_greatest_pot_says_so_and_how_to_enter_the_sheet_s(
    sheet: CureSheet, chemistry: str | None, most: int
) -> None:
    """The trade's: 0.5 kg of epoxy mix are 400 g of resin at 100:25."""
    silent = replace(sheet, pot_max=None)
    mixed(most, silent, chemistry=chemistry)
    with pytest.raises(OutsideLimits, match="assumed for") as caught:
        mixed(most + 1, silent, chemistry=chemistry)
    assert "'pot_max'" in shown(caught.value.advice, "metric")
    assert (chemistry or "unknown").replace("_", " ") in str(caught.value)
    assert "pot_max" not in _advice_of_a_stated_pot()


def _advice_of_a_stated_pot() -> str:
    with pytest.raises(OutsideLimits) as caught:
        mixed(12_000)
    return shown(caught.value.advice, "metric")


@pytest.mark.parametrize(
    ("sheet", "pot"),
    [
        (POLYESTER, {"percent": 1.5, "target_gel": 1800.0}),
        (POLYESTER, {"percent": None}),
        (POLYESTER, {"target_gel": 0.0}),
        (POLYESTER, {"target_gel": -5.0}),
        (CureSheet(Mix("one_part"), "plain"), {"percent": 1.5}),
    ],
)
def test_what_is_no_dose_is_refused(sheet: CureSheet, pot: dict[str, Any]) -> None:
    """Both or neither, no time at all, or a product that takes none."""
    with pytest.raises(Invalid) as caught:
        dose(Pot(1000 * G, kelvin(20), **pot), sheet, law_of(POLYESTER))
    assert caught.value.advice


def test_no_resin_is_no_pot() -> None:
    """Nothing can't be dosed."""
    with pytest.raises(Invalid):
        mixed(0)
