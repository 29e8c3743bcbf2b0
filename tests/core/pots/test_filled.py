"""Filled mixes: filler by its sheet, the volume that it makes, the layers that it is laid in."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.errors import CureSheetInconsistent, CureSheetMissing, Refusals
from cureyard_service.core.pots import filled
from cureyard_service.core.products import fillers
from cureyard_service.core.products.fillers import Filler, Thickening
from hypothesis import given
from hypothesis import strategies as st

SPHERES = Filler(
    "SPHERES",
    (Thickening("holds_a_ridge", loose_parts=1.5), Thickening("pours", grams_per_kg=40)),
    150_000,
    250_000,
)
LITRE = filled.Mixed(1_120_000, 1_000_000)


def test_a_litre_and_one_and_a_half_loose_parts() -> None:
    """1 L at 1.12 kg/L, 1.5 loose parts, 0.15 and 0.25 kg/L: 225 g, 2.000 L, 0.6725 kg/L.

    By hand: 1.5 L × 0.15 = 0.225 kg, whose grains are 0.9 L; (1 + 0.9) / 0.95 = 2.000 L;
    (1.12 + 0.225) / 2 = 0.6725. Added as loose volumes it would be 2.5 L.
    """
    mass = filled.filler_for(SPHERES, "holds_a_ridge", LITRE)
    made = filled.fill(SPHERES, mass, LITRE)
    assert mass == pytest.approx(225_000)
    assert made.volume == pytest.approx(2_000_000)
    assert made.density == pytest.approx(672_500)


def test_grams_to_the_kilogram_need_no_bulk_density() -> None:
    """40 g to a kg of 1.12 kg: 44.8 g, however loose it lies."""
    bare = replace(SPHERES, bulk_density=None)
    assert filled.filler_for(bare, "pours", LITRE) == pytest.approx(44_800)


@pytest.mark.parametrize(
    ("filler", "asked"),
    [
        (replace(SPHERES, bulk_density=None), "bulk density"),
        (replace(SPHERES, particle_density=None), "particle density"),
        (replace(SPHERES, thickenings=SPHERES.thickenings[1:]), "'holds a ridge'"),
    ],
)
def test_what_is_missing_is_asked_for(filler: Filler, asked: str) -> None:
    """A figure of another filler would be tenfold wrong, so none is put in its place."""
    with pytest.raises(CureSheetMissing, match=asked):
        filled.fill(filler, filled.filler_for(filler, "holds_a_ridge", LITRE), LITRE)


def test_a_part_without_a_density_is_named() -> None:
    """The mixed resin's volume is of both parts."""
    both = filled.mixed([("EPOX", 1000, 1_150_000), ("HARD", 250, 1_000_000)])
    assert both.volume == pytest.approx(1000 / 1.15 + 250)
    with pytest.raises(CureSheetMissing, match="HARD has no density"):
        filled.mixed([("EPOX", 1000, 1_150_000), ("HARD", 250, None)])
    assert filled.mixed([("ONE", 1000, 1_000_000), ("NONE", 0, None)]).mass == 1000


@given(volume=st.floats(1e3, 1e9), parts=st.floats(0.01, 10), bulk=st.integers(20_000, 900_000))
def test_mixed_for_a_volume_it_makes_that_volume(volume: float, parts: float, bulk: int) -> None:
    """There and back; and the mix is never smaller than its resin, nor as large as loose parts."""
    filler = Filler("F", (Thickening("sags", loose_parts=parts),), bulk, 2 * bulk)
    times = filled.for_volume(filler, "sags", LITRE, volume)
    resin = filled.Mixed(times * LITRE.mass, times * LITRE.volume)
    made = filled.fill(filler, filled.filler_for(filler, "sags", resin), resin)
    assert made.volume == pytest.approx(volume)
    assert resin.volume < made.volume < resin.volume * (1 + parts) / (1 - filled.AIR)


def test_layers_are_under_the_sheet_s_build() -> None:
    """10 mm of 4 mm at most is three layers; without the sheet's figure nobody knows."""
    assert filled.layers(10_000, 4_000) == 3
    assert filled.layers(8_000, 4_000) == 2
    assert filled.layers(10_000, None) is None


@pytest.mark.parametrize(
    "filler",
    [
        replace(SPHERES, bulk_density=260_000),
        replace(SPHERES, thickenings=(Thickening("sags"),)),
        replace(SPHERES, thickenings=(Thickening("sags", 1, 40),)),
        replace(SPHERES, thickenings=(Thickening("sags", 1), Thickening("sags", 2))),
    ],
)
def test_figures_that_can_t_be_true(filler: Filler) -> None:
    """Heavier in the bag than its own grains; neither figure, or both; one twice."""
    with pytest.raises((CureSheetInconsistent, Refusals)):
        fillers.check(filler)
    fillers.check(SPHERES)
