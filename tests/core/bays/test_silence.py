"""When a probe is silent."""

from __future__ import annotations

import pytest
from cureyard_service.core.bays.silence import is_silent

MINUTE = 60


@pytest.mark.parametrize(
    ("every", "minutes", "silent"),
    [
        (1, 30, False), (1, 31, True),  # half an hour at least
        (10, 40, False), (10, 41, True),  # four of its pauses
        (60, 240, False), (60, 241, True),
        (1, 14 * 1440, True), (1, 14 * 1440 + 1, False),  # taken away
    ],
)  # fmt: skip
def test_by_its_own_pauses(every: int, minutes: int, silent: bool) -> None:
    """Minutes since the last of nine readings."""
    moments = [n * every * MINUTE for n in range(9)]
    assert is_silent(moments, moments[-1] + minutes * MINUTE) == silent


def test_one_reading_has_no_pause() -> None:
    """Then half an hour counts."""
    assert not is_silent([0], 30 * MINUTE)
    assert is_silent([0], 31 * MINUTE)


def test_one_long_pause_is_not_its_usual_one() -> None:
    """A night without the service."""
    moments = [0, 60, 120, 180, 40_000, 40_060, 40_120]
    assert is_silent(moments, 40_120 + 31 * MINUTE)
