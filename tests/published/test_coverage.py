"""Coverage of coats and volume of fairing against bulletins and geometry.

Sources, makers not named: a coating bulletin (1000 VS/DFT with its example; 1604 VS/DFT); a note of
a maker of film gauges (1604.17 ft² for a gallon at 1 mil); a paint bulletin's table at 1 mil; the
rule of an epoxy user guide for wetting out with three fill coats.
"""

from __future__ import annotations

import pytest
from cureyard_service.core.estimates import coating, fairing

MIL = 25.4
FT2 = 304.8**2
GALLON = 3.785411784
INCH = 25_400.0


def feet_a_gallon(film: coating.Film) -> float:
    """Coverage in ft²/gal."""
    return film.coverage / FT2 * GALLON


def test_the_metric_example() -> None:
    """Solids 0.65 at 125 µm: 5.2 m²/L."""
    assert coating.film(dry=125, solids=65).coverage == pytest.approx(5.2e6)


def test_the_us_example() -> None:
    """Solids 0.65 at 5 mil: 208.52 ft²/gal by 1604; by the exact constant 208.54."""
    assert feet_a_gallon(coating.film(dry=5 * MIL, solids=65)) == pytest.approx(208.52, rel=2e-4)


def test_a_wet_film() -> None:
    """10 mil wet: 160.417 ft²/gal."""
    assert feet_a_gallon(coating.film(wet=10 * MIL)) == pytest.approx(160.417, abs=5e-4)


@pytest.mark.parametrize(
    ("solids", "mils", "feet"),
    [(30, 1, 481), (40, 1, 642), (50, 1, 802), (60, 1, 962), (70, 1, 1123), (80, 1, 1283),
     (90, 1, 1444), (100, 1, 1604), (35, 1, 561), (35, 2, 281)],
)  # fmt: skip
def test_the_table(solids: float, mils: float, feet: float) -> None:
    """Each row to a square foot."""
    film = coating.film(dry=mils * MIL, solids=solids)
    assert feet_a_gallon(film) == pytest.approx(feet, abs=1)


def test_three_fill_coats() -> None:
    """0.0075 gal/ft² with 15 % of waste is three coats of about 3 1/2 mil."""
    taken = coating.coats(100 * FT2, coating.film(wet=3.5 * MIL), 3, waste=15)
    assert taken.paint / 1e6 / GALLON == pytest.approx(0.75, rel=0.01)


def test_fairing_by_geometry() -> None:
    """1 m² x 1 mm is 1 L; 1 ft² x 1/8 in is 18 in³, 0.295 L."""
    assert fairing.fair(1e6, 1000, 5000).fill == pytest.approx(1e6)
    foot = fairing.fair(FT2, INCH / 8, INCH).fill
    assert foot == pytest.approx(18 * 25.4**3)
    assert foot / 1e6 == pytest.approx(0.295, abs=5e-4)


def test_a_topside_by_hand() -> None:
    """12 m² twice at 125 µm dry, solids 65 %, 5 % thinner, a fifth lost, 15 % waste.

    On the part 12 x 125 x 2 / 0.65 / 1000 = 4.6154 L; lost 4.6154 x 20/80 = 1.1538 L; waste
    15 % of 5.7692 = 0.8654 L; paint 6.6346 L; thinner 5 % of it = 0.3317 L. The wet film is
    125 x 1.05 / 0.65 = 201.9 µm.
    """
    film = coating.film(dry=125, solids=65, thinner=5)
    taken = coating.coats(12e6, film, 2, loss=20, waste=15)
    assert film.wet == pytest.approx(201.92, abs=0.01)
    lines = (taken.on_part, taken.loss, taken.waste, taken.paint, taken.thinner)
    assert [line / 1e6 for line in lines] == pytest.approx(
        [4.6154, 1.1538, 0.8654, 6.6346, 0.3317], abs=5e-5
    )
