"""Laminates against small-craft and class rules, worked tables and trade texts.

Sources:
- ISO 12215-5:2008, Annex C, from memory: the thickness formula and the usual fibre fractions.
- Class rules for FRP ships, society not named, from memory: a second formula.
- Practical Action, Technical Brief: Fibreglass Boats (KnO 100378): resin to glass by mass, 2.5:1
  for mat and 1.25:1 for roving.
- FAA AC 43.13-1B, Acceptable Methods, Techniques, and Practices: Aircraft Inspection and Repair (8
  September 1998), ch. 3 sec. 1 par. 3-2: cloth wetted with its own mass.
- The maintenance manual of a composite light aircraft, 2013, maker not named: glass 100:70.
The worked tables are computed from the formula, by hand, to the place that is shown.
"""

from __future__ import annotations

import pytest
from cureyard_service.core.estimates import laminate
from cureyard_service.core.estimates.laminate import Fabric, Ply, Surface
from hypothesis import given
from hypothesis import strategies as st

G_M2 = 1000
OZ_FT2, OZ_YD2 = 305.1517, 33.9057


@given(st.floats(100, 2000), st.floats(0.1, 0.75))
def test_the_general_form_is_the_standard_s(w: float, p: float) -> None:
    """t = w/3.072 (2.56/p - 1.36) at 2.56 and 1.20 kg/L: 2.56 × 1.20 is 3.072, term by term."""
    standard = w / 1000 / 3.072 * (2.56 / p - 1.36)
    assert laminate.thickness(w * G_M2, p) / 1000 == pytest.approx(standard, rel=1e-12)


WORKED: list[tuple[Fabric, Surface, float, float, float, float, float]] = [
    ("mat", "simple", 300, 0.30, 0.7005, 0.7000, 2.333),
    ("mat", "simple", 450, 0.30, 1.0508, 1.0500, 2.333),
    ("mat", "simple", 600, 0.30, 1.4010, 1.4000, 2.333),
    ("mat", "complex", 450, 0.25, 1.3008, 1.3500, 3.000),
    ("woven", "simple", 600, 0.48, 0.7760, 0.6500, 1.083),
    ("woven", "simple", 800, 0.48, 1.0347, 0.8667, 1.083),
    ("multidirectional", "simple", 600, 0.50, 0.7344, 0.6000, 1.000),
    ("unidirectional", "simple", 300, 0.55, 0.3217, 0.2455, 0.818),
]


@pytest.mark.parametrize(("fabric", "surface", "w", "p", "t", "resin", "ratio"), WORKED)
def test_the_worked_plies(
    fabric: Fabric, surface: Surface, w: float, p: float, t: float, resin: float, ratio: float
) -> None:
    """Usual fraction, thickness in mm, resin in kg/m² and resin to glass, to the last place."""
    assert laminate.usual_fraction(fabric, surface) == p
    whole = laminate.each_ply([Ply(w * G_M2, p)])
    assert whole.thickness / 1000 == pytest.approx(t, abs=0.00006)
    assert whole.resin / 1e6 == pytest.approx(resin, abs=0.00006)
    assert whole.resin / whole.fibre == pytest.approx(ratio, abs=0.0006)


def test_one_ply_by_hand() -> None:
    """450 g/m² mat at 0.30, the working shown.

    Fibre 0.450 kg/m² / 2.56 kg/L = 0.17578 mm. Resin 0.450 × 0.70/0.30 = 1.050 kg/m², / 1.20 kg/L
    = 0.87500 mm. Together 1.05078 mm.
    """
    whole = laminate.each_ply([Ply(450 * G_M2, 0.30)])
    assert whole.resin == pytest.approx(1_050_000)
    assert whole.thickness == pytest.approx(175.78 + 875.00, abs=0.01)


def test_roving_and_mat_as_one_combination() -> None:
    """600 and 300 g/m²: R = 1/3, p = 0.46 - 0.06 = 0.40, 1.4766 mm, 1.350 kg/m² of resin."""
    whole = laminate.combination([Ply(600_000, 0.48, "woven"), Ply(300_000, 0.30, "mat")])
    assert whole.fibre_fraction == pytest.approx(0.40)
    assert whole.thickness / 1000 == pytest.approx(1.4766, abs=0.00006)
    assert whole.resin / 1e6 == pytest.approx(1.35)


@pytest.mark.parametrize(
    ("fabric", "p"),
    [("mat", 0.25), ("woven", 0.36), ("multidirectional", 0.38), ("unidirectional", 0.41)],
)
def test_on_a_complex_surface(fabric: Fabric, p: float) -> None:
    """A hand packs less fibre round curves; mat with roving is 0.35 - 0.11 R (from memory)."""
    assert laminate.usual_fraction(fabric, "complex") == p
    pair = [Ply(600_000, 0.36, "woven"), Ply(300_000, 0.25, "mat")]
    assert laminate.combination(pair, "complex").fibre_fraction == pytest.approx(0.35 - 0.11 / 3)


def test_a_stitched_mat_counted_both_ways() -> None:
    """17 oz/yd² at ±45° on 0.75 oz/ft² of mat: 1.240 mm as two plies, 1.285 as one combination."""
    pair = [
        Ply(17 * OZ_YD2 * G_M2, 0.50, "multidirectional"),
        Ply(0.75 * OZ_FT2 * G_M2, 0.30, "mat"),
    ]
    each, one = laminate.each_ply(pair), laminate.combination(pair)
    assert (each.thickness / 1000, one.thickness / 1000) == pytest.approx((1.240, 1.285), abs=6e-4)
    assert (each.resin / 1e6, one.resin / 1e6) == pytest.approx((1.1105, 1.164), abs=6e-4)
    assert (each.fibre_fraction, one.fibre_fraction) == pytest.approx((0.420, 0.409), abs=6e-4)


@pytest.mark.parametrize(("w", "p", "t"), [(450, 0.30, 1.055), (800, 0.50, 0.9867)])
def test_the_second_rule_formula(w: float, p: float, t: float) -> None:
    """W/(10 g_R G) + W/(1000 g_G) - W/(1000 g_R), with 1.2 and glass 2.5: within 1 % of ours."""
    theirs = w / (10 * 1.2 * p * 100) + w / (1000 * 2.5) - w / (1000 * 1.2)
    assert theirs == pytest.approx(t, abs=0.0006)
    assert laminate.thickness(w * G_M2, p) / 1000 == pytest.approx(theirs, rel=0.01)


@pytest.mark.parametrize(("fabric", "ratio"), [("mat", 2.5), ("woven", 1.25)])
def test_the_brief_s_ratios(fabric: Fabric, ratio: float) -> None:
    """Practical Action's ratios are our fractions to four points: it rounds 28.6 and 44.4 % up."""
    assert laminate.usual_fraction(fabric) == pytest.approx(1 / (1 + ratio), abs=0.04)


@pytest.mark.parametrize(("p", "ratio"), [(0.50, 1.0), (1 / 1.7, 0.70), (1 / 1.85, 0.85)])
def test_aircraft_ratios(p: float, ratio: float) -> None:
    """FAA AC 43.13-1B, 3-2: resin of the dry patch's mass; the 2013 manual: 100:70 and 100:85."""
    whole = laminate.each_ply([Ply(200_000, p)])
    assert whole.resin / whole.fibre == pytest.approx(ratio)
