"""Exact conversions and weights of the trade's cloths, mats and drums.

Sources: the exact definitions (international yard and pound, 1959; US gallon of 231 in³); a
supplier's mat specification, maker not named, for the nominal pairs of mat, good to ±10 % on
average weight; from memory, that a style's name adds ounces of two areas (1708 is 17 oz/yd² and
0.75 oz/ft²).
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from cureyard_service.core.amounts import quantities
from cureyard_service.core.amounts.quantities import AREAL_WEIGHT, Kind, convert, parse
from cureyard_service.core.errors import UnitMismatch
from cureyard_service.core.products.materials import Stuff, stock_amount


def gsm(text: str) -> Decimal:
    """An areal weight in g/m²."""
    return convert(parse(text, AREAL_WEIGHT), AREAL_WEIGHT, "g/m**2")


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("1 oz/yd2", "33.9057"), ("1 oz/ft2", "305.1517"), ("6 oz/yd2", "203.43"),
        ("10 oz/yd2", "339.06"), ("17 oz/yd2", "576.40"), ("18 oz/yd2", "610.30"),
        ("24 oz/yd2", "813.74"), ("0.75 oz/ft2", "228.86"), ("1.5 oz/ft2", "457.73"),
        ("2 oz/ft2", "610.30"), ("3 oz/ft2", "915.46"),
    ],
)  # fmt: skip
def test_areal_weights(text: str, grams: str) -> None:
    """Each printed figure, to its own last place."""
    places = -Decimal(grams).as_tuple().exponent  # type: ignore[operator]
    assert round(gsm(text), places) == Decimal(grams)


def test_mat_and_cloth_count_their_ounces_on_two_areas() -> None:
    """An ounce a square foot is nine a square yard; 24 oz roving is 814 g/m², not 600."""
    assert gsm("1 oz/ft2") == pytest.approx(gsm("9 oz/yd2"), rel=Decimal("1e-24"))
    assert round(gsm("24 oz/yd2"), 1) == Decimal("813.7")
    assert gsm("24 oz/yd2") > gsm("2 oz/ft2") > 600


@pytest.mark.parametrize(
    ("cloth", "mat", "grams"),
    [(12, "0.75", "635.7"), (17, "0.75", "805.3"), (18, "0.75", "839.2"), (24, "1.5", "1271.5")],
)
def test_stitched_styles(cloth: int, mat: str, grams: str) -> None:
    """1208, 1708, 1808 and 2415: cloth by the yard, mat by the foot."""
    total = gsm(f"{cloth} oz/yd2") + gsm(f"{mat} oz/ft2")
    assert round(total, 1) == Decimal(grams)


def test_1708_is_not_25_ounces() -> None:
    """23.75 oz/yd²: labels that add 17 and 8 are a twentieth too heavy."""
    total = parse("17 oz/yd2", AREAL_WEIGHT) + parse("0.75 oz/ft2", AREAL_WEIGHT)
    assert round(convert(total, AREAL_WEIGHT, "oz/yd**2"), 6) == Decimal("23.75")


@pytest.mark.parametrize(
    ("nominal", "ounces"), [(225, "0.75"), (300, "1"), (450, "1.5"), (600, "2"), (900, "3")]
)
def test_nominal_mats_are_within_their_tolerance(nominal: int, ounces: str) -> None:
    """450 is sold as 1.5 oz: true to 10 %, and not exactly."""
    exact = gsm(f"{ounces} oz/ft2")
    assert exact == pytest.approx(nominal, rel=Decimal("0.1"))
    assert exact != nominal


def base(text: str, kind: Kind) -> Decimal:
    """A quantity in base units."""
    return parse(text, kind)


def test_gallons_and_drums() -> None:
    """A gallon is 231 in³; 55 of them are 208.198 L and 229.0 kg at 1.10, 235.3 kg at 1.13."""
    inch = base("1 in", quantities.SIZE)
    assert base("1 gal", quantities.VOLUME) == 231 * inch**3 / 10**9
    drum = base("55 gal", quantities.VOLUME)
    assert round(drum / 10**6, 3) == Decimal("208.198")
    for density, kilograms in ((1_100_000, "229.0"), (1_130_000, "235.3")):
        mass = stock_amount(drum, quantities.VOLUME, Stuff("drum", "mass", density=density))
        assert round(mass / 10**6, 1) == Decimal(kilograms)


def test_a_mil_over_a_gallon() -> None:
    """A US gallon spread one mil thick covers 1604.17 ft²."""
    area_mm2 = base("1 gal", quantities.VOLUME) / base("1 mil", quantities.SIZE) * 1000
    assert round(convert(area_mm2, quantities.AREA, "ft**2"), 2) == Decimal("1604.17")


@pytest.mark.parametrize("text", ["20 drops", "1 drop", "13.5 drops"])
def test_drops_are_no_measure(text: str) -> None:
    """A repair text makes 13.5 drops a mL, the laboratory's rule 20 (memory): ±50 %, refused."""
    for kind in (quantities.MASS, quantities.DOSE_MASS, quantities.DOSE_VOLUME):
        with pytest.raises(UnitMismatch, match="weigh it"):
            parse(text, kind)


@pytest.mark.parametrize(
    ("text", "kind", "exact"),
    [
        ("1 lb", quantities.MASS, "453592.37"), ("16 oz", quantities.MASS, "453592.37"),
        ("1 in", quantities.SIZE, "25400"), ("1 yd", quantities.LENGTH, "914400"),
        ("128 fl oz", quantities.VOLUME, "3785411.784"), ("4 qt", quantities.VOLUME, "3785411.784"),
        ("1 sq yd", quantities.AREA, "836127.36"), ("32 degF", quantities.TEMPERATURE, "273.15"),
        ("212 degF", quantities.TEMPERATURE, "373.15"), ("1 mbar", quantities.PRESSURE, "100"),
        ("1 mmHg", quantities.PRESSURE, "133.322387415"),
        ("1 bar", quantities.PRESSURE, "100000"),
        ("1 inHg", quantities.PRESSURE, "3386.388640341"),
    ],
)  # fmt: skip
def test_exact_by_definition(text: str, kind: Kind, exact: str) -> None:
    """Not to a tolerance: equal, in the ledger's own numbers."""
    assert base(text, kind) == Decimal(exact)
