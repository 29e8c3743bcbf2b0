"""Amounts turned into stock: liquids by density, rolls by width and weight, pieces by count."""

from __future__ import annotations

from decimal import Decimal

import pytest
from cureyard_service.core.amounts import quantities
from cureyard_service.core.errors import CureSheetMissing, Invalid, UnitMismatch
from cureyard_service.core.products import materials
from cureyard_service.core.products.materials import Stuff, stock_amount
from hypothesis import given
from hypothesis import strategies as st

RESIN = Stuff("po-1", "mass", density=1_100_000)
MAT = Stuff("mat-450", "length", areal_weight=450_000, width=1_250_000)
VOLUMES = materials.ACCEPTED["mass"]
BOARD = Stuff("ply-6", "count")


def amount(text: str, stuff: Stuff) -> Decimal:
    """What a hand types, in stock units."""
    value, kind, _ = quantities.parse_any(text, materials.ACCEPTED[stuff.measure])
    return stock_amount(value, kind, stuff)


@pytest.mark.parametrize(
    ("text", "stuff", "base"),
    [
        ("2 kg", RESIN, 2_000_000),
        ("2 L", RESIN, 2_200_000),
        ("1 gal", RESIN, Decimal("4163952.9624")),
        ("10 m", MAT, 10_000_000),
        ("12.5 m2", MAT, 10_000_000),
        ("4.5 kg", MAT, 8_000_000),
        ("3 pieces", BOARD, 3000),
    ],
)
def test_amounts_become_stock(text: str, stuff: Stuff, base: Decimal | int) -> None:
    """By hand: 2 L at 1.1 kg/L is 2.2 kg; 1.25 m of 450 g/m² mat is 562.5 g a metre."""
    assert amount(text, stuff) == base


@given(st.integers(1, 10**9), st.integers(500_000, 2_000_000))
def test_volume_and_mass_are_each_other_backwards(volume_ul: int, density: int) -> None:
    """A liquid's mass by its density is that volume again."""
    mass = stock_amount(Decimal(volume_ul), quantities.VOLUME, Stuff("x", "mass", density=density))
    assert float(mass) * 1e6 / density == pytest.approx(volume_ul, rel=1e-12)


@given(st.integers(1, 10**9))
def test_area_and_mass_of_a_roll_agree(area_mm2: int) -> None:
    """An area of mat and what that area weighs are the same length of roll."""
    mass = Decimal(area_mm2) * Decimal("0.45")
    by_area = stock_amount(Decimal(area_mm2), quantities.AREA, MAT)
    by_mass = stock_amount(mass, quantities.MASS, MAT)
    assert by_area == pytest.approx(by_mass, rel=Decimal("1e-20"))


@pytest.mark.parametrize(
    ("text", "stuff", "figure"),
    [
        ("2 L", Stuff("po-1", "mass"), "density"),
        ("2 m2", Stuff("mat", "length", areal_weight=450_000), "width"),
        ("2 kg", Stuff("mat", "length", width=1_000_000), "areal_weight"),
        ("2 kg", Stuff("mat", "length", areal_weight=450_000), "width"),
    ],
)
def test_a_conversion_without_its_figure_is_refused(text: str, stuff: Stuff, figure: str) -> None:
    """The refusal names the figure that is missing, and how else to say the amount."""
    with pytest.raises(CureSheetMissing) as caught:
        amount(text, stuff)
    assert figure in caught.value.advice


def test_what_is_counted_is_not_weighed() -> None:
    """Boards come in pieces; kilograms of them mean nothing."""
    with pytest.raises(UnitMismatch):
        amount("3 kg", BOARD)
    with pytest.raises(UnitMismatch, match="counted by count"):
        stock_amount(Decimal(1), quantities.MASS, BOARD)
    with pytest.raises(UnitMismatch, match="counted by length"):
        stock_amount(Decimal(1), quantities.VOLUME, MAT)


def test_every_role_has_a_measure_and_no_other_role_passes() -> None:
    """A role decides what its stock is counted in."""
    assert materials.check_role("resin") == "mass"
    assert materials.check_role("reinforcement") == "length"
    assert materials.check_role("sheet") == "count"
    assert set(materials.MEASURE_OF_ROLE) >= materials.CURING_ROLES | materials.LIVELY_ROLES
    with pytest.raises(Invalid) as caught:
        materials.check_role("Resin ")
    assert "promoter" in caught.value.advice


def test_ounces_of_what_is_poured_say_of_what() -> None:
    """20 oz of resin are 567 g by weight and 591 mL, 651 g, by volume."""
    resin = Stuff("LAM", "mass", density=1_100_000, poured=True)
    with pytest.raises(UnitMismatch) as caught:
        materials.ledger_amount(quantities.parse_any("20 oz", VOLUMES), resin)
    assert "fl oz" in caught.value.advice
    assert "oz by weight" in caught.value.advice
    weighed = materials.ledger_amount(quantities.parse_any("20 oz by weight", VOLUMES), resin)
    poured = materials.ledger_amount(quantities.parse_any("20 fl oz", VOLUMES), resin)
    assert (weighed, poured) == (566_990, 650_618)
    powder = Stuff("MICROS", "mass")
    assert materials.ledger_amount(quantities.parse_any("20 oz", VOLUMES), powder) == weighed


@pytest.mark.parametrize(
    ("role", "chemistry", "density", "poured"),
    [
        ("resin", "polyester", None, True),
        ("catalyst", "ketone_peroxide", None, True),
        ("catalyst", "benzoyl_peroxide", None, False),
        ("hardener", "amine", None, True),
        ("filler", None, None, False),
        ("filler", None, 900_000, True),
        ("adhesive", "epoxy", None, False),
        ("sundry", "acetone", None, False),
        ("reinforcement", "e_glass", None, False),
    ],
)
def test_what_is_poured(
    role: str, chemistry: str | None, density: int | None, poured: bool
) -> None:
    """By role, chemistry and the liquid's density (common practice, no source)."""
    assert materials.is_poured(role, chemistry, density) is poured
