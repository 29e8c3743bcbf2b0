"""The course as expected: hard and stalled, on the exact clock of the bay's own temperature."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.course import Course
from cureyard_service.core.cure.layer import Layer
from cureyard_service.core.cure.layers import Layers
from hypothesis import given, settings
from hypothesis import strategies as st

from ..bands import slower
from ..makers import HOUR, POLYESTER, kelvin, laid_at, laid_pot, layer, steady, trace

PLAIN = replace(POLYESTER, surface="plain")
NIGHT = trace([0, 4, 4, 18, 18, 400], [20, 20, 5, 5, 20, 20])


def course(lived: Trace, *layers: Layer) -> Course:
    """The course of some layers."""
    return Course(Layers.of(layers), lived)


def test_hard_by_the_exact_clock() -> None:
    """Six hours at 20 °C take Arrhenius' own time at another; the lot counts by three quarters."""
    for celsius in (12, 20, 31):
        expected = 6 * HOUR * slower(celsius, 50e3, kelvin(20))
        assert course(steady(celsius), layer(PLAIN)).hard[0] == pytest.approx(expected, rel=1e-6)
    slow = course(steady(20), layer(PLAIN, factor=1.3, percent=1.0)).hard[0]
    assert slow == pytest.approx(6 * HOUR * (1.3 * 1.5) ** 0.75, rel=1e-4)


def test_without_a_later_stage_it_is_hard_once_it_has_gelled() -> None:
    """From each pot's own mixing, by all that makes its gel late."""
    bare = replace(PLAIN, stages=())
    slow = course(steady(20), layer(bare, factor=1.3, finished=3 * HOUR)).hard[0]
    assert slow == pytest.approx(1.3 * 0.5 * HOUR, rel=1e-4)


def test_stalled_after_twelve_cold_hours_before_it_is_hard() -> None:
    """Cold from hour 4: stalled at 16, or after the sheet's own hours; hard before, never."""
    assert course(NIGHT, layer(PLAIN)).stalled[0] == pytest.approx(16 * HOUR)
    own = replace(PLAIN, cold_max=2 * HOUR)
    assert course(NIGHT, layer(own)).stalled[0] == pytest.approx(6 * HOUR)
    quick = layer(PLAIN, factor=0.4)
    assert course(NIGHT, quick).hard[0] < 4 * HOUR
    assert course(NIGHT, quick).stalled[0] == np.inf
    warm = replace(PLAIN, cure_min=None)
    assert course(NIGHT, layer(warm)).stalled[0] == np.inf


def test_a_layer_is_hard_with_its_last_pot_and_stalls_with_its_first() -> None:
    """A quick pot and a slow one."""
    quick, slow = laid_pot(factor=0.4), laid_pot(factor=1.3)
    one, other, both = (
        course(NIGHT, layer(PLAIN, pots=pots)) for pots in ((quick,), (slow,), (quick, slow))
    )
    assert both.hard[0] == max(one.hard[0], other.hard[0])
    assert both.stalled[0] == min(one.stalled[0], other.stalled[0]) < np.inf


@settings(max_examples=40)
@given(
    st.lists(st.floats(2, 30), min_size=2, max_size=6), st.lists(st.floats(0, 20), min_size=1),
)  # fmt: skip
def test_many_are_each_alone(celsius: list[float], hours: list[float]) -> None:
    """Beside others, each has its own course."""
    lived = trace([5 * n for n in range(len(celsius))] + [600], [*celsius, 20])
    layers = [laid_at(layer(PLAIN), hour * HOUR) for hour in hours]
    many = course(lived, *layers)
    for k, each in enumerate(layers):
        alone = course(lived, each)
        assert many.hard[k] == pytest.approx(alone.hard[0])
        assert many.stalled[k] == pytest.approx(alone.stalled[0])
