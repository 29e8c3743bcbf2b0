"""What a vacuum bag takes: geometry. Its margins and pleats are common practice, no source."""

from __future__ import annotations

import pytest
from cureyard_service.core.errors import Invalid
from cureyard_service.core.estimates.bagging import bagging
from hypothesis import given
from hypothesis import strategies as st

MM, M = 1000.0, 1e6


def test_a_bag_by_hand() -> None:
    """1.2 m by 0.6 m with 50 mm and 20 %: 1.3 × 0.7 m, 1.5 × 0.9 m and 4.4 m by hand."""
    taken = bagging(1.2 * M, 0.6 * M)
    assert taken.peel_ply == taken.breather == pytest.approx(1.3 * 0.7 * 1e6)
    assert taken.film == pytest.approx(1.2 * 1.5 * 0.9 * 1e6)
    assert taken.tape == pytest.approx(1.2 * 2 * (1.4 + 0.8) * M)


@given(st.floats(1 * MM, 50 * M), st.floats(1 * MM, 50 * M), st.floats(0, 400 * MM))
def test_each_sheet_covers_the_one_below(length: float, width: float, margin: float) -> None:
    """The tape lies outside peel ply and breather, and inside the flat film, on all sides."""
    flat = bagging(length, width, margin=margin, pleats_percent=0)
    part, inside = length * width / 1e6, flat.peel_ply
    assert part <= inside * (1 + 1e-9)
    assert inside <= flat.film * (1 + 1e-9)
    assert flat.tape >= 2 * (length + width)
    pleated = bagging(length, width, margin=margin, pleats_percent=50)
    assert pleated.film == pytest.approx(1.5 * flat.film)
    assert pleated.tape == pytest.approx(1.5 * flat.tape)
    assert pleated.peel_ply == inside


@pytest.mark.parametrize(
    ("bad", "pointer"),
    [
        ({"length": 0}, "/length"),
        ({"width": 200 * M}, "/width"),
        ({"margin": 501 * MM}, "/margin"),
        ({"pleats_percent": 101}, "/pleats_percent"),
    ],
)
def test_what_no_bag_has(bad: dict[str, float], pointer: str) -> None:
    """With the field that is wrong."""
    with pytest.raises(Invalid) as refused:
        bagging(**({"length": 1 * M, "width": 1 * M} | bad))
    assert refused.value.pointer == pointer
