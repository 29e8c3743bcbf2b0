"""What begins a new stretch of drying, and which readings of it are used."""

from __future__ import annotations

import pytest
from cureyard_service.core.wetness.readings import Note, NoteKind
from cureyard_service.core.wetness.stretches import begun, is_heated, used

DAY = 86_400
TIMES = [0, 7 * DAY, 14 * DAY, 21 * DAY]
NOW = 22 * DAY


def steady(since: int, until: int) -> float:
    """A bay that keeps 18 °C."""
    return 291.15


@pytest.mark.parametrize("kind", ["washed", "opened", "heat_on", "heat_off", "rain"])
@pytest.mark.parametrize("other", ["hauled_out", "touched", "oil", "dust"])
def test_a_note_begins_a_stretch(kind: NoteKind, other: NoteKind) -> None:
    """The last that does; one still to come, or of another kind, does not."""
    notes = [Note(kind, 2 * DAY), Note(kind, 9 * DAY), Note(kind, 30 * DAY), Note(other, 20 * DAY)]
    assert begun(notes, TIMES, NOW, steady) == 9 * DAY
    assert begun([Note(other, 20 * DAY)], TIMES, NOW, steady) is None


def test_its_first_three_days_are_left_out() -> None:
    """A stretch that nothing began is used from its first reading on."""
    assert used(TIMES, None) == [True] * 4
    assert used(TIMES, 4 * DAY) == [False, True, True, True]
    assert used(TIMES, 4 * DAY + 1) == [False, False, True, True]


@pytest.mark.parametrize(("warmer", "begins"), [(5.0, 14 * DAY), (4.9, None), (-5.0, 14 * DAY)])
def test_a_bay_off_its_mean_by_5_k_begins_one(warmer: float, begins: int | None) -> None:
    """From the reading after which it was so; the stretch before is its own mean."""

    def stepped(since: int, until: int) -> float:
        over = max(until - max(since, 14 * DAY), 0)
        return 291.15 + warmer * over / (until - since)

    assert begun([], TIMES, NOW, stepped) == begins


def test_what_was_not_measured_begins_nothing() -> None:
    """A bay without readings is not taken to have changed."""
    assert begun([], TIMES, NOW, lambda since, until: None) is None
    assert begun([], [], NOW, steady) is None


def test_heat_counts_while_it_is_on_throughout() -> None:
    """On before the first reading, and not taken off until the second."""
    on, off = Note("heat_on", 3 * DAY), Note("heat_off", 9 * DAY)
    assert is_heated([on], 4 * DAY, 8 * DAY)
    assert is_heated([on, off], 4 * DAY, 8 * DAY)
    assert not is_heated([on, off], 4 * DAY, 9 * DAY)
    assert not is_heated([on], 2 * DAY, 8 * DAY)
    assert not is_heated([], 4 * DAY, 8 * DAY)
