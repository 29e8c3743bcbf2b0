"""The dose of a catalysed pot: warmer means less, less sure means a wider band."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import pytest
from cureyard_service.core.errors import (
    OutsideLimits,
)
from cureyard_service.core.pots.pot import WORKING_SHARE
from hypothesis import assume, given
from hypothesis import strategies as st

from ..bands import UNTESTED_U, reached, stepped, widths
from ..makers import MIN, POLYESTER, G, law_of, mixed


def test_a_dose_by_percent_by_hand() -> None:
    """1.5 % of 1.2 kg is 18 g, 15.7 mL at 1.15, and gels in the sheet's 30 min at 20 °C."""
    answer = mixed(1200, catalyst_density=1_150_000)
    assert (answer.mass, answer.volume) == (18 * G, 15_700)
    assert (answer.percent, answer.percent_as_measured) == (1.5, 1.5)
    assert answer.gel.time == pytest.approx(30 * MIN, rel=1e-4)
    assert answer.pot_at_most == answer.gel.time
    assert answer.working_time == pytest.approx(0.6 * answer.gel.earliest - 120)
    assert answer.working_likely == pytest.approx(0.6 * answer.gel.time - 120)
    assert (answer.limited_by, answer.extrapolated, answer.warnings) == (None, False, ())


@given(st.floats(14, 30), st.floats(0.5, 4), st.floats(10 * MIN, 80 * MIN))
def test_warmer_means_less_catalyst_and_never_more(
    celsius: float, warmer: float, target: float
) -> None:
    """For one gel time a warmer pot wants less; the limit binds where it would leave."""
    cold = mixed(4000, celsius=celsius, target_gel=target)
    warm = mixed(4000, celsius=celsius + warmer, target_gel=target)
    assert warm.percent <= cold.percent
    assert (warm.percent < cold.percent) or (warm.limited_by == cold.limited_by is not None)


@given(st.floats(1.0, 1.9), st.floats(0.5, 20))
def test_more_catalyst_and_warmer_pots_gel_sooner(percent: float, warmer: float) -> None:
    """At one percent the warmer pot is faster, and at one temperature the hotter mix."""
    base = mixed(4000, celsius=14, percent=percent).gel.time
    assert mixed(4000, celsius=14 + warmer, percent=percent).gel.time < base
    assert mixed(4000, celsius=14, percent=percent + 0.1).gel.time < base


@given(st.integers(1, 8), st.floats(15, 30))
def test_twice_the_resin_takes_twice_the_catalyst(kilos: int, celsius: float) -> None:
    """The percent is of resin mass: amounts scale, percent and gel time stay."""
    one = mixed(500, celsius=celsius, target_gel=30 * MIN)
    many = mixed(500 * kilos, celsius=celsius, target_gel=30 * MIN)
    assert many.percent == one.percent
    assert many.mass == pytest.approx(500 * kilos * G * one.percent / 100, abs=50)


def test_a_wanted_gel_time_is_met_by_what_is_weighed() -> None:
    """The gel time told is that of the rounded grams, not of the wish."""
    answer = mixed(1000, target_gel=26 * MIN, celsius=20)
    assert answer.percent == pytest.approx(1.5 * 30 / 26)
    assert answer.gel.time == pytest.approx(30 * MIN * 1.5 / answer.percent_as_measured, rel=1e-3)


def test_a_stronger_peroxide_takes_less_for_the_same_gel() -> None:
    """Active oxygen over the sheet's scales percent and limits alike."""
    sheet, strong = mixed(4000, target_gel=30 * MIN), mixed(4000, target_gel=30 * MIN, strength=1.2)
    assert strong.percent == pytest.approx(sheet.percent / 1.2)
    assert strong.gel.time == pytest.approx(sheet.gel.time, rel=0.01)
    with pytest.raises(OutsideLimits):
        mixed(1000, percent=1.8, strength=1.2)


def test_a_slow_lot_gets_more_catalyst() -> None:
    """A lot that gels a quarter late in the cup needs a quarter more, or is a quarter late."""
    assert mixed(4000, factor=1.25).gel.time == pytest.approx(37.5 * MIN, rel=1e-4)
    assert mixed(4000, factor=1.25, target_gel=30 * MIN).percent == pytest.approx(1.875)


def test_less_sure_mixes_have_wider_bands_and_say_so() -> None:
    """Filled, cold, or beyond the sheet's points."""
    sure, filled = mixed(1000), mixed(1000, filled=True)
    assert filled.gel.earliest < sure.gel.earliest < sure.gel.latest < filled.gel.latest
    assert any("cup first" in line for line in filled.warnings)
    assert any("cup first" in line for line in mixed(1000, celsius=14.9).warnings)
    assert mixed(1000, celsius=15.1).warnings == ()
    far = mixed(1000, replace(POLYESTER, temperature_max=None), 36)
    assert far.extrapolated
    assert any("extrapolated" in line for line in far.warnings)
    silent = mixed(1000, replace(POLYESTER, percent_max=None))
    assert any("assumed" in line for line in silent.warnings)


@given(st.floats(0.1, 4), st.floats(18, 34))
def test_an_unsurer_thermometer_means_a_wider_band(uncertainty: float, celsius: float) -> None:
    """The band is wider, by ratio, than that of every surer temperature."""
    assume(uncertainty > 0.2)
    sure = mixed(1000, celsius=celsius, uncertainty=uncertainty / 2).gel
    unsure = mixed(1000, celsius=celsius, uncertainty=uncertainty).gel
    assert widths(unsure.earliest, unsure.latest) > widths(sure.earliest, sure.latest)
    assert unsure.time == pytest.approx(sure.time, rel=0.02)


def test_an_assumed_energy_is_tried_on_both_sides_of_its_mean() -> None:
    """Four degrees over its one gel time, 56 kJ/mol is the earlier and 44 the later (SciPy)."""
    one = replace(POLYESTER, gel_points=POLYESTER.gel_points[2:3])
    gel = mixed(1000, one, celsius=24, uncertainty=0.0).gel
    law, u = law_of(one), sqrt(UNTESTED_U**2 + 0.05**2)
    air = stepped(law.belief(), law.temperature, (0, 24))
    expected = [reached(p, air, (30 * MIN,) * 2, 0, u, 0) for p in (0.05, 0.5, 0.95)]
    assert [gel.earliest, gel.time, gel.latest] == pytest.approx(expected, rel=1e-5)


def test_three_gel_times_are_never_one() -> None:
    """The cup's, the pot's 'at most', and the film's, which only the sheet can tell."""
    assert mixed(1000).film is None
    film = mixed(1000, replace(POLYESTER, film_gel=90 * MIN), celsius=30)
    assert film.film == pytest.approx(90 * MIN * film.gel.time / (30 * MIN), rel=1e-4)
    assert mixed(1000).working_time < mixed(1000).gel.earliest < mixed(1000).pot_at_most


def test_a_pot_that_gels_in_the_stirring_is_warned_of() -> None:
    """Working time is never below zero, and none is said in words."""
    answer = mixed(1000, celsius=35, percent=2, factor=0.3)
    assert answer.working_time == 0
    (word,) = [line for line in answer.warnings if "while it is stirred" in line]
    assert "less catalyst" in word
    assert WORKING_SHARE < 1
