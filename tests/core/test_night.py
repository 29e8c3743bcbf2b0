"""The look ahead at the night: hard before it gets too cold, or heat until when."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.gel_law import rate
from cureyard_service.core.night import cold_ahead

from .makers import HOUR, POLYESTER, kelvin, layer, steady, trace

EVENING = trace([0, 4, 4, 16, 16, 400], [20, 20, 5, 5, 20, 20])


def test_warm_enough_all_night_says_nothing() -> None:
    """No floor, or never under it."""
    assert cold_ahead(layer(), steady(12), 1.0) is None
    assert cold_ahead(layer(replace(POLYESTER, cure_min=None)), EVENING, 1.0) is None


def test_hard_before_the_cold_says_nothing() -> None:
    """Sandable after 6 h, cold after 8."""
    late = trace([0, 8, 8, 16, 16, 400], [20, 20, 5, 5, 20, 20])
    assert cold_ahead(layer(), late, 1.0) is None


def test_cold_before_it_is_hard_says_since_and_until_when_to_heat() -> None:
    """Cold from 04:00 on; held at 10 °C it is hard when its last 2 h at 20 °C are up."""
    found = cold_ahead(layer(), EVENING, 1.0)
    assert found is not None
    assert (found.floor, found.cold_from) == (kelvin(10), 4 * HOUR)
    slower = rate(kelvin(10), 50e3, kelvin(20))
    assert found.heat_until == pytest.approx(4 * HOUR + 2 * HOUR / slower)


def test_the_cold_edge_of_the_band_judges() -> None:
    """At 10.5 °C it is warm enough exactly, but not give or take 1 K."""
    night = trace([0, 4, 4, 400], [20, 20, 10.5, 10.5])
    assert cold_ahead(layer(), night, 0.0) is None
    found = cold_ahead(layer(), night, 1.0)
    assert found is not None
    assert found.cold_from == 4 * HOUR


def test_a_bay_cold_from_the_start_says_so() -> None:
    """Laid up below the floor: heat from now on."""
    found = cold_ahead(layer(started=HOUR, finished=HOUR), steady(5).between(HOUR, 400 * HOUR), 1.0)
    assert found is not None
    assert found.cold_from == HOUR


def test_never_hard_in_sight_gives_no_hour() -> None:
    """A short look ahead, and heat alone won't do it: no moment is made up."""
    found = cold_ahead(layer(), trace([0, 4, 4, 5], [20, 20, 5, 5]), 1.0)
    assert found is not None
    assert found.heat_until is None
