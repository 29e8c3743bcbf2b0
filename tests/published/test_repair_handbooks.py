"""Tapers, steps and fillets against repair handbooks.

Sources:
- Marine repair handbooks, from memory: 12:1 usual, 8:1 least, 20:1 under high stress, an inch more
  a ply.
- FAA AC 43.13-1B, Acceptable Methods, Techniques, and Practices: Aircraft Inspection and Repair (8
  September 1998): ch. 3 sec. 1 par. 3-2, a facing scarf of 50 × the face ply; ch. 1 sec. 4, figs.
  1-15 and 1-16, 12:1 on plywood.
- The manual of an aerobatic aircraft, 2008, maker not named: about 50:1 and 20 mm a layer.
- An aircraft structural repair manual, maker not named: plies that grow by half an inch to an inch
  in all.
The fillet is geometry.
"""

from __future__ import annotations

import math

import pytest
from cureyard_service.core.amounts.quantities import SIZE, parse
from cureyard_service.core.estimates import outlines
from cureyard_service.core.estimates.tabbing import USUAL_STEP, Fillet, putty, tabs
from cureyard_service.core.estimates.taper import Ground, cuts, judge, reaches

INCH = 25_400


def size(text: str) -> float:
    """A size in µm."""
    return float(parse(text, SIZE))


@pytest.mark.parametrize(
    ("thickness", "ratio", "inches"),
    [("1/4 in", 12, 3), ("1/2 in", 12, 6), ("1/4 in", 8, 2), ("1/4 in", 20, 5)],
)
def test_ground_widths(thickness: str, ratio: float, inches: float) -> None:
    """12:1 on a quarter inch is three inches a side, on a half six; 8:1 two; 20:1 five."""
    assert Ground(size(thickness), ratio).width == inches * INCH


@pytest.mark.parametrize(
    ("thickness", "ratio", "width"), [("0.25 mm", 50, "12.5 mm"), ("6 mm", 12, "72 mm")]
)
def test_aircraft_scarfs(thickness: str, ratio: float, width: str) -> None:
    """FAA AC 43.13-1B, 3-2: 50 × a facing ply of 0.25 mm; ch. 1 sec. 4: 1:12 on 6 mm of plywood."""
    assert Ground(size(thickness), ratio).width == size(width)


def test_twenty_millimetres_a_layer() -> None:
    """Five layers of 0.4 mm at 50:1 reach 20, 40 … 100 mm."""
    found = reaches([400] * 5, 2000, 50, "smallest_first")
    assert found == pytest.approx([20_000 * k for k in range(1, 6)])


def test_plies_grow_by_half_an_inch_to_an_inch() -> None:
    """Plies of 0.5 to 1 mm at 12:1 to 16:1 grow so; the handbooks agree with each other."""
    hole = outlines.hole("round", 100_000, None)
    first, second = cuts(hole, [600, 600], Ground(1200, 12), "smallest_first")
    assert 0.5 * INCH <= second.outline.length - first.outline.length <= INCH


def test_which_ratios_will_do() -> None:
    """12:1 passes, 8:1 is the least, and less stops structural work."""
    verdicts = [judge(Ground(6000, ratio), "yes")[0] for ratio in (20, 12, 8, 7.5)]
    assert verdicts == ["pass", "pass", "caution", "stop"]


def test_a_patch_by_hand() -> None:
    """A round hole of 100 mm in 6 mm skin, 12:1, plies of 1, 2 and 3 mm, the working shown.

    Smallest first 12 × 1, 3, 6 = 12, 36, 72 mm a side: 124, 172, 244 mm across.
    Largest first 12 × 6, 5, 3 = 72, 60, 36 mm a side: 244, 220, 172 mm across.
    Cloth, largest first: π/4 (244² + 220² + 172²) = π/4 × 137 520 = 108 008 mm².
    """
    hole = outlines.hole("round", size("100 mm"), None)
    plies = [size("1 mm"), size("2 mm"), size("3 mm")]
    ground = Ground(size("6 mm"), 12)
    assert ground.width == size("72 mm")
    small = cuts(hole, plies, ground, "smallest_first")
    large = cuts(hole, plies, ground, "largest_first")
    assert [cut.outline.length for cut in small] == [124_000, 172_000, 244_000]
    assert [cut.outline.length for cut in large] == [244_000, 220_000, 172_000]
    assert sum(cut.outline.area for cut in large) == pytest.approx(108_008, abs=1)


def test_a_tabbing_by_hand() -> None:
    """Legs of 100, 75, 50 mm over a 12 mm fillet in a square corner, the working shown.

    The fillet touches 12 mm up and is 12 π/2 = 18.85 mm around; so the first strip is
    2 (100 - 12) + 18.85 = 194.85 mm wide, each next 50 mm less (an inch a face, near enough).
    Putty: 12² (1 - π/4) = 30.90 mm², along 1.8 m 55.6 mL.
    """
    fillet = Fillet(size("12 mm"))
    strips = tabs(size("1800 mm"), 3, size("100 mm"), fillet)
    widths = [tab.outline.width / 1000 for tab in strips]
    assert widths == pytest.approx([194.85, 144.85, 94.85], abs=0.005)
    assert fillet.section == pytest.approx(144 * (1 - math.pi / 4))
    assert putty(fillet, size("1800 mm")) == pytest.approx(55_625, abs=1)
    assert pytest.approx(INCH, rel=0.02) == USUAL_STEP
