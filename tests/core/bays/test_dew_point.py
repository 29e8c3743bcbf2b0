"""Air: dew point, and surfaces too near it."""

from __future__ import annotations

import pytest
from cureyard_service.core.bays.dew_point import dew_caution, dew_point
from cureyard_service.core.errors import Invalid
from cureyard_service.core.words import shown
from hypothesis import given
from hypothesis import strategies as st

from ..makers import kelvin

airs = st.floats(-20, 45)
humidities = st.floats(5, 99)


@given(airs)
def test_saturated_air_is_at_its_dew_point(celsius: float) -> None:
    """At 100 % water falls out at the air's own temperature."""
    assert dew_point(kelvin(celsius), 100) == pytest.approx(kelvin(celsius), abs=1e-9)


@given(airs, humidities, st.floats(0.1, 1))
def test_moister_or_warmer_air_dews_sooner(celsius: float, humidity: float, more: float) -> None:
    """Dew point rises with both, and stays under the air's temperature."""
    dew = dew_point(kelvin(celsius), humidity)
    assert dew < kelvin(celsius)
    assert dew < dew_point(kelvin(celsius), humidity + more)
    assert dew < dew_point(kelvin(celsius + more), humidity)


@pytest.mark.parametrize("humidity", [0, -1, 100.1, float("nan"), float("inf")])
def test_a_humidity_that_can_t_be_is_refused(humidity: float) -> None:
    """No air is drier than dry nor wetter than wet."""
    with pytest.raises(Invalid) as caught:
        dew_point(kelvin(20), humidity)
    assert caught.value.advice


def test_a_surface_too_near_the_dew_point_gets_a_caution() -> None:
    """3 K and more passes; less says how near it is; under the dew point is no negative number."""
    dew = kelvin(12)
    assert dew_caution(dew + 3.0, dew) is None
    near, under = (shown(dew_caution(dew + more, dew) or "", "metric") for more in (2.9, -4))
    assert "2.9 K above" in near
    assert "0.0 K above" in under
