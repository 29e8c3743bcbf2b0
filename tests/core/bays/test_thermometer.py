"""A bay's thermometer that was checked within a year is good to 1 K (common practice)."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from cureyard_service.core.bays.thermometer import known_to

CHECKED = date(2026, 3, 1)


def at(*day: int) -> float:
    """Noon of a day, epoch s."""
    return datetime(*day, 12, tzinfo=UTC).timestamp()  # type: ignore[misc]


@pytest.mark.parametrize(
    ("moment", "known"),
    [
        (at(2026, 2, 20), 2.0),  # it was checked later: what was told before stays
        (at(2026, 3, 1), 1.0),
        (at(2027, 3, 1), 1.0),
        (at(2027, 3, 3), 2.0),
    ],
)
def test_a_check_holds_for_a_year(moment: float, known: float) -> None:
    """From its day on."""
    assert known_to(2.0, CHECKED, moment) == known
    assert known_to(2.0, None, moment) == 2.0


@pytest.mark.parametrize("stated", [0.5, 1.0, 3.0])
def test_what_the_yard_says_otherwise_stands(stated: float) -> None:
    """A better logger is better yet; a bay that is uneven stays so, whatever its thermometer."""
    assert known_to(stated, CHECKED, at(2026, 4, 1)) == stated
