"""Plies side by side on a roll: how much of its length they take."""

from __future__ import annotations

from cureyard_service.core.outlines import Outline
from cureyard_service.core.strips import cuts
from hypothesis import given
from hypothesis import strategies as st

MM = 1000.0
sizes = st.tuples(st.floats(1, 1000), st.floats(1, 1000))
plies = st.lists(sizes, min_size=1, max_size=20)


def strip(length: float, width: float) -> Outline:
    """A strip, in mm."""
    return Outline("seam", length * MM, width * MM)


def total(sizes: list[tuple[float, float]], roll: float | None) -> float:
    """The length of roll that plies take, in mm."""
    width = None if roll is None else roll * MM
    return sum(cut or 0 for cut in cuts([strip(*size) for size in sizes], width, turns=True)) / MM


@given(plies, st.floats(1000, 5000))
def test_between_the_area_and_one_cut_a_ply(sizes: list[tuple[float, float]], roll: float) -> None:
    """Never less roll than the plies' area fills, never more than each cut by itself."""
    area = sum(length * width for length, width in sizes)
    assert area / roll <= total(sizes, roll) * (1 + 1e-9)
    assert total(sizes, roll) <= total(sizes, None) * (1 + 1e-9)


@given(plies, st.floats(1000, 5000))
def test_no_ply_is_lost(sizes: list[tuple[float, float]], roll: float) -> None:
    """The longest cut is the longest ply, and the widths of all fit in the cuts."""
    found = cuts([strip(*size) for size in sizes], roll * MM, turns=True)
    assert found[0] == max(length for length, _ in sizes) * MM
    assert sum(width for _, width in sizes) <= len(found) * roll * (1 + 1e-9)
    assert len(found) <= len(sizes)


@given(st.permutations([(900, 700), (900, 300), (900, 500), (800, 500)]))
def test_the_order_is_nothing(sizes: list[tuple[float, float]]) -> None:
    """Two and two side by side in a metre, however they are given."""
    assert cuts([strip(*size) for size in sizes], 1000 * MM, turns=True) == [900 * MM, 900 * MM]


def test_a_ply_too_wide_is_turned_or_told() -> None:
    """Turned across where only that fits; None where neither does."""
    assert cuts([strip(900, 1400)], 1250 * MM, turns=True) == [1400 * MM]
    assert cuts([strip(1300, 1400), strip(200, 200)], 1250 * MM, turns=True) == [200 * MM, None]
    assert cuts([strip(900, 1400)], None, turns=True) == [900 * MM]


def test_cloth_whose_fibre_runs_one_way_is_not_turned() -> None:
    """What would lie across its fibre is told instead."""
    assert cuts([strip(900, 1400), strip(900, 900)], 1250 * MM, turns=False) == [900 * MM, None]
