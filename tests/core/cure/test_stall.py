"""What ends a stall in the cold: a check that found it hard, and warm by then."""

from __future__ import annotations

import pytest
from cureyard_service.core.cure.stall import ended_by

from ..makers import HOUR, kelvin, trace

LIVED = trace([0, 20, 20, 40], [4, 4, 20, 20])
"""Twenty hours at 4 °C, then heated to 20."""


@pytest.mark.parametrize(
    ("checks", "hour"),
    [
        ([], None),
        ([11], 11),  # before its twelve hours had run out
        ([14], None),  # stiff with cold, for all that anybody knows
        ([14, 19.9], None),
        ([14, 22], 22),
        ([22, 25], 22),
    ],
)
def test_heat_and_then_a_check(checks: list[float], hour: float | None) -> None:
    """Stalled at hour 12, heated at 20."""
    moments = [check * HOUR for check in checks]
    ended = ended_by(12 * HOUR, moments, LIVED, kelvin(10))
    assert ended == (None if hour is None else hour * HOUR)
