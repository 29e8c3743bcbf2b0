"""The coolest and the hottest of several traces, against the same read point by point."""

from __future__ import annotations

import numpy as np
import pytest
from cureyard_service.core.bays.envelope import coolest, hottest
from cureyard_service.core.bays.temperature import Trace
from hypothesis import given
from hypothesis import strategies as st

HOUR = 3600.0


@st.composite
def traces(draw: st.DrawFn) -> list[Trace]:
    """Two to six traces over ten hours, with steps, of which parts were not measured."""
    found = []
    for _ in range(draw(st.integers(2, 6))):
        inner = draw(st.lists(st.integers(0, 10), max_size=8))
        t = np.array([0, *sorted(inner), 10]) * HOUR
        T = draw(st.lists(st.integers(280, 350), min_size=len(t), max_size=len(t)))
        measured = draw(st.lists(st.booleans(), min_size=len(t) - 1, max_size=len(t) - 1))
        found.append(Trace(t, np.array(T, float), np.array(measured)))
    return found


@given(traces())
def test_at_any_moment_it_is_one_of_them(several: list[Trace]) -> None:
    """Between the knots of all: the lowest is the coolest, the highest the hottest."""
    moments = np.linspace(0, 10 * HOUR, 1001)[1:-1] + 0.37
    every = np.array([each.ats(moments) for each in several])
    assert coolest(several).ats(moments) == pytest.approx(every.min(axis=0))
    assert hottest(several).ats(moments) == pytest.approx(every.max(axis=0))


@given(traces())
def test_it_is_measured_where_all_are(several: list[Trace]) -> None:
    """What one probe did not tell, nobody knows."""
    starts = np.linspace(0, 9.9 * HOUR, 100) + 0.37
    ends = starts + 1.0
    every = [each.bases(starts, ends) for each in several]
    told = coolest(several).bases(starts, ends)
    for n, basis in enumerate(told):
        assert (basis == "measured") == all(each[n] == "measured" for each in every)


def test_one_trace_is_its_own() -> None:
    """Nothing is worked out."""
    one = Trace(np.array([0.0, HOUR]), np.array([290.0, 300.0]), np.array([True]))
    assert coolest([one]) is one
