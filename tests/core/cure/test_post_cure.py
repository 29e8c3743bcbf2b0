"""Post-cure: hours in the band add up, split or not; only what was measured counts.

The figures are from the maintenance manual of a composite light aircraft, 2013 (maker not named):
15 h at 60 ± 5 °C, which may be split if the total time at temperature is kept.
"""

from __future__ import annotations

import numpy as np
import pytest
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.post_cure import progress
from cureyard_service.core.products.cure_sheet import PostCure
from cureyard_service.core.words import shown
from hypothesis import given
from hypothesis import strategies as st

from ..makers import HOUR, kelvin, trace

MANUAL = PostCure(kelvin(55), kelvin(65), 15 * HOUR)


def heats(*hours: float, celsius: float = 60.0) -> Trace:
    """Heats of so many hours each, with a cold day between two; measured throughout."""
    t, T, now = [0.0], [20.0], 0.0
    for each in hours:
        t += [now + 1, now + 1, now + 1 + each, now + 1 + each]
        T += [20.0, celsius, celsius, 20.0]
        now += 1 + each + 24
    return trace([*t, now], [*T, 20.0])


@pytest.mark.parametrize(("celsius", "counts"), [(54.9, 0), (55, 1), (65, 1), (65.1, 0)])
def test_the_band_is_the_makers(celsius: float, counts: int) -> None:
    """From 55 to 65 °C, both with it; hotter is no better."""
    assert progress(MANUAL, heats(15, celsius=celsius)).measured == pytest.approx(
        15 * HOUR * counts
    )


def test_it_is_done_when_the_last_hour_is_full() -> None:
    """7 h from the first hour on; 8 h from hour 33 on: at 41 h, however long it goes on."""
    found = progress(MANUAL, heats(7, 10))
    assert found.done_at == pytest.approx(41 * HOUR)


def test_what_nobody_read_does_not_count() -> None:
    """An oven that is taken to be at 60 °C has cured nothing; nor has a layup not laid yet."""
    assumed = trace([0, 20], [60, 60], measured=False)
    assert progress(MANUAL, assumed).measured == 0
    assert progress(MANUAL, None).measured == 0


def test_a_ramp_counts_from_where_it_enters_the_band() -> None:
    """By hand: 20 to 60 °C in 4 h is 30 min above 55; 60 to 70 in 2 h is an hour below 65."""
    ramp = trace([0, 4, 6], [20, 60, 70])
    assert progress(MANUAL, ramp).measured == pytest.approx(1.5 * HOUR)


def test_the_words_never_round_up() -> None:
    """14 h 59 min are said as 14.9 h."""
    told = progress(MANUAL, heats(14 + 59 / 60)).words()
    assert "post-cure 14.9 h of 15 h" in shown(told, "metric")


@given(
    st.lists(st.floats(10, 80), min_size=2, max_size=12),
    st.lists(st.booleans(), min_size=11, max_size=11),
    st.data(),
)
def test_the_whole_is_its_parts(
    celsius: list[float], read: list[bool], data: st.DataObject
) -> None:
    """Cut anywhere, the two parts have what the whole has; reading more never takes any away."""
    n = len(celsius)
    t, T = np.arange(n) * HOUR, np.array([kelvin(c) for c in celsius])
    whole = Trace(t, T, np.array(read[: n - 1]))
    at = data.draw(st.floats(0, (n - 1) * HOUR))
    parts = sum(progress(MANUAL, part).measured for part in
                (whole.between(0.0, at), whole.between(at, whole.end)))  # fmt: skip
    assert progress(MANUAL, whole).measured == pytest.approx(parts, abs=1e-3)
    assert progress(MANUAL, Trace(t, T, np.ones(n - 1, bool))).measured >= parts - 1e-3
