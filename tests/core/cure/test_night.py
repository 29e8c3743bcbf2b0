"""The look ahead at the night: hard before it gets too cold, or heat until when."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import pytest
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.forecast import milestones
from cureyard_service.core.cure.night import cold_ahead
from cureyard_service.core.words import shown
from hypothesis import given, settings
from hypothesis import strategies as st

from ..bands import UNTESTED_U, later_u, reached, slower, stepped
from ..makers import EXACT, HOUR, POLYESTER, kelvin, law_of, layer, steady, trace

ONE = Doubt.steady(1.0)
EVENING = trace([0, 4, 4, 16, 16, 400], [20, 20, 5, 5, 20, 20])


def surely_hard(*steps: tuple[float, float]) -> float:
    """When six hours at 20 °C are surely up along °C ± 1 from some hours on, epoch s."""
    law = law_of(POLYESTER)
    needs = [6 * HOUR / slower(20, E, law.temperature) for E in law.belief().E]
    age = stepped(law.belief(), law.temperature, *steps, coldest=13)
    u = later_u(sqrt(UNTESTED_U**2 + 0.05**2 / 5))
    return reached(0.95, age, needs, 0, u, 1)


def test_warm_enough_all_night_says_nothing() -> None:
    """No floor, or never under it."""
    assert cold_ahead(layer(), steady(12), ONE) is None
    assert cold_ahead(layer(replace(POLYESTER, cure_min=None)), EVENING, ONE) is None


def test_hard_before_the_cold_says_nothing() -> None:
    """Surely sandable after 8.2 h, cold after 9."""
    late = trace([0, 9, 9, 16, 16, 400], [20, 20, 5, 5, 20, 20])
    assert cold_ahead(layer(), late, ONE) is None


def test_cold_before_it_is_hard_says_since_and_until_when_to_heat() -> None:
    """Cold from 04:00 on; held at the floor and the bay's 1 K, it is hard when its last hours
    are up: 4 h at 20 °C and the rest at 11 °C, give or take, at 95 % (SciPy)."""
    found = cold_ahead(layer(), EVENING, ONE)
    assert found is not None
    assert (found.floor, found.cold_from, found.hold) == (kelvin(10), 4 * HOUR, kelvin(11))
    expected = surely_hard((0, 20), (4, 11))
    assert found.heat_until == pytest.approx(expected, rel=1e-4)
    told = found.remedy(lambda moment: "09:00")
    assert shown(told, "metric") == "hold at least 11 °C until 09:00"
    assert shown(told, "us") == "hold at least 52 °F until 09:00"


@settings(max_examples=40)
@given(st.floats(0, 5), st.floats(5, 19))
def test_heat_is_named_with_a_margin_and_is_enough(uncertainty: float, floor: float) -> None:
    """Held as told, a bay that is off by all its uncertainty is never under the floor."""
    cured = layer(replace(POLYESTER, cure_min=kelvin(floor)))
    lived, doubt = trace([0, 1, 1, 400], [20, 20, 4, 4]), Doubt.steady(uncertainty)
    found = cold_ahead(cured, lived, doubt)
    assert found is not None
    assert found.hold - uncertainty >= kelvin(floor) - 1e-6
    assert found.heat_until is not None
    held = milestones(replace(cured, cover="film"), lived.at_least(found.hold), doubt)
    assert held["sandable"].latest == pytest.approx(found.heat_until, rel=1e-5)


@pytest.mark.parametrize(
    ("night", "kelvins", "chance", "words"),
    [
        (5, 1, 1.0, "100 %"),
        (11, 2, 1 / 4, "25 %"),  # 10 is the floor: (10 - 11 + 2) / 4
        (9, 2, 3 / 4, "75 %"),
        (11.9985, 2, 1.5 / 4000, "under 1 in 1000"),
    ],
)
def test_the_chance_of_a_night(night: float, kelvins: float, chance: float, words: str) -> None:
    """One difference within the range, as likely as any other (JCGM 100:2008, 4.3.7)."""
    evening = trace([0, 4, 4, 16, 16, 400], [20, 20, night, night, 20, 20])
    found = cold_ahead(layer(), evening, Doubt.steady(kelvins))
    assert found is not None
    assert found.chance == pytest.approx(chance)
    assert found.likely == words


def test_a_night_after_it_is_hard_adds_nothing() -> None:
    """Chilly in the first hours; the frost comes when six hours are long up."""
    chilly = trace([0, 1, 1, 2, 2, 20, 20, 400], [20, 20, 11, 11, 20, 20, -5, -5])
    found = cold_ahead(layer(), chilly, Doubt.steady(2))
    assert found is not None
    assert (found.cold_from, found.chance) == (HOUR, pytest.approx(1 / 4))


def test_heat_begins_no_sooner_than_now() -> None:
    """It lay cold for 6 h before anybody lit a heater: it is hard so much later."""
    ahead, late = (cold_ahead(layer(), EVENING, ONE, since) for since in (0.0, 10 * HOUR))
    assert ahead is not None
    assert late is not None
    assert ahead.heat_until is not None
    assert late.heat_until is not None
    assert late.heat_until > max(ahead.heat_until, 10 * HOUR)
    assert late.cold_from == ahead.cold_from == 4 * HOUR


def test_where_the_margin_is_not_enough_in_time_the_sheet_s_own_temperature_is_told() -> None:
    """Nine hours in sight are too few at 11 °C, and enough at the 20 °C of the sheet."""
    found = cold_ahead(layer(), trace([0, 1, 1, 9], [20, 20, 5, 5]), ONE)
    assert found is not None
    assert found.hold == kelvin(20)
    assert found.heat_until == pytest.approx(surely_hard((0, 20)), rel=1e-4)
    assert "until it is hard" in shown(replace(found, heat_until=None).remedy(str), "metric")


def test_the_cold_edge_of_the_band_judges() -> None:
    """At 10.5 °C it is warm enough exactly, but not give or take 1 K."""
    night = trace([0, 4, 4, 400], [20, 20, 10.5, 10.5])
    assert cold_ahead(layer(), night, EXACT) is None
    found = cold_ahead(layer(), night, ONE)
    assert found is not None
    assert found.cold_from == 4 * HOUR


def test_a_bay_cold_from_the_start_says_so() -> None:
    """Laid up below the floor: heat from now on."""
    found = cold_ahead(layer(started=HOUR, finished=HOUR), steady(5).between(HOUR, 400 * HOUR), ONE)
    assert found is not None
    assert found.cold_from == HOUR


def test_never_hard_in_sight_gives_no_hour() -> None:
    """A short look ahead, and heat alone won't do it: no moment is made up."""
    found = cold_ahead(layer(), trace([0, 4, 4, 5], [20, 20, 5, 5]), ONE)
    assert found is not None
    assert (found.hold, found.heat_until) == (kelvin(20), None)
