"""What is left of a sheet: clear of every piece, and the largest first."""

from __future__ import annotations

from cureyard_service.core.estimates.nesting import Bed, Piece, fill
from cureyard_service.core.estimates.offcuts import LEAST, Offcut, offcuts
from hypothesis import given
from hypothesis import strategies as st

SHEET = Bed(24_400, 12_200)
sizes = st.tuples(st.integers(500, 12_000), st.integers(500, 12_000))


@given(st.lists(sizes, max_size=8), st.integers(0, 60))
def test_clear_of_everything(given_sizes: list[tuple[int, int]], kerf: int) -> None:
    """On the sheet, the kerf away from every piece and offcut, worth keeping, largest first."""
    laid = fill(SHEET, [Piece(n, *s) for n, s in enumerate(given_sizes)], kerf, sawn=True)
    found = offcuts(SHEET, laid, kerf)
    taken = [Offcut(each.start, each.edge, each.length, each.width) for each in laid]
    for number, each in enumerate(found):
        assert min(each.length, each.width) >= LEAST
        assert 0 <= each.start <= each.start + each.length <= SHEET.length
        assert 0 <= each.edge <= each.edge + each.width <= SHEET.width
        assert all(apart(each, other) >= kerf for other in [*taken, *found[:number]])
    areas = [each.length * each.width for each in found]
    assert areas == sorted(areas, reverse=True)


def apart(one: Offcut, other: Offcut) -> int:
    """How far two rectangles are apart, along or across."""
    along = max(one.start - other.start - other.length, other.start - one.start - one.length)
    across = max(one.edge - other.edge - other.width, other.edge - one.edge - one.width)
    return max(along, across)


def test_by_hand() -> None:
    """2440 × 1220 less four of 800 × 600, 3 mm of saw: two rows end at 1603, so 834 are left."""
    laid = fill(SHEET, [Piece(n, 8000, 6000) for n in range(4)], 30, sawn=True)
    assert offcuts(SHEET, laid, 30)[0] == Offcut(16_060, 0, 8340, 12_200)


def test_an_untouched_sheet_and_a_full_one() -> None:
    """All of it, and nothing."""
    assert offcuts(SHEET, [], 30) == [Offcut(0, 0, 24_400, 12_200)]
    assert offcuts(SHEET, fill(SHEET, [Piece(1, 24_400, 12_200)]), 30) == []
