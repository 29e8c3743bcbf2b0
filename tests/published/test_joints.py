"""Joints in a ply, by class rules.

Source: Iranian Classification Society, Rules for the Classification of FRP Ships (2014), part 17,
301: at butts and seams mats overlap by at least 50 mm, and the centre lines of the overlaps of
adjacent plies are at least 100 mm apart.
"""

from __future__ import annotations

from cureyard_service.core.estimates.joining import APART, OVERLAP, two_rolls
from cureyard_service.core.estimates.nesting import TENTH

MILLIMETRE = 1000 // TENTH


def test_overlap_and_distance() -> None:
    """50 mm and 100 mm."""
    assert OVERLAP >= 50 * MILLIMETRE
    assert APART >= 100 * MILLIMETRE


def test_the_two_parts_overlap() -> None:
    """A ply of 2.2 m off rolls of 1.4 and 1.2 m: the parts come to 2.25 m."""
    parts = two_rolls(2200 * MILLIMETRE, {1: 1400 * MILLIMETRE, 2: 1200 * MILLIMETRE})
    assert parts is not None
    assert sum(length for _, length in parts) == 2250 * MILLIMETRE
