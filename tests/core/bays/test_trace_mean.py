"""The mean of a temperature over time."""

from __future__ import annotations

import numpy as np
import pytest
from cureyard_service.core.bays.temperature import Trace
from hypothesis import given
from hypothesis import strategies as st

knots = st.lists(
    st.tuples(st.integers(1, 9000), st.floats(260, 330)), min_size=2, max_size=12
).map(lambda rows: Trace(
    np.cumsum([float(gap) for gap, _ in rows]), np.array([T for _, T in rows]),
    np.ones(len(rows) - 1, dtype=bool),
))  # fmt: skip


@given(knots, st.floats(-10, 10))
def test_a_mean_lies_between_and_shifts_with_all(trace: Trace, shift: float) -> None:
    """Never below the least nor above the most; warmer throughout is warmer by that."""
    assert trace.T.min() - 1e-9 <= trace.mean() <= trace.T.max() + 1e-9
    assert trace.shifted(shift).mean() == pytest.approx(trace.mean() + shift)


def test_a_longer_stretch_counts_for_more() -> None:
    """By hand: 3 h at 290 K and 1 h at 298 K make 292 K."""
    t, T = [0.0, 10800.0, 10800.0, 14400.0], [290.0, 290.0, 298.0, 298.0]
    trace = Trace(np.array(t), np.array(T), np.ones(3, dtype=bool))
    assert trace.mean() == pytest.approx(292)
