"""Pour foam: cavities, kits, lifts."""

from __future__ import annotations

import pytest
from cureyard_service.core.errors import Invalid
from cureyard_service.core.estimates import foam
from hypothesis import given
from hypothesis import strategies as st

volumes = st.floats(1e3, 1e10)
depths = st.floats(1e3, 2e6)
lifts = st.floats(4e4, 3e5)
densities = st.floats(2e4, 2e5)
sizes = st.floats(1e3, 1e7)


@given(volumes, depths, lifts, densities, st.integers(1, 20))
def test_lifts_fill_the_cavity_and_keep_the_limit(
    volume: float, depth: float, lift: float, density: float, vents: int
) -> None:
    """None too thick, none more than it takes; how many vents there are changes no mass."""
    poured = foam.pour(volume, depth, lift, vents, density)
    assert poured.lift <= lift * (1 + 1e-6)
    assert (poured.lifts - 1) * lift < depth
    assert poured.lifts * poured.lift == pytest.approx(depth)
    assert poured.kit == pytest.approx(volume / 1e6 * density)
    assert poured.mix == pytest.approx(1.15 * poured.kit)


@given(sizes, sizes, sizes)
def test_a_box_is_the_same_whichever_way_it_lies(a: float, b: float, c: float) -> None:
    """Symmetric in its sides; a prism of its section; twice as long holds twice."""
    assert foam.box(a, b, c) == pytest.approx(foam.box(c, a, b))
    assert foam.box(a, b, c) == pytest.approx(foam.prism(a * b / 1e6, c))
    assert foam.box(2 * a, b, c) == pytest.approx(2 * foam.box(a, b, c))


def test_water_weighs_what_it_fills() -> None:
    """998.2 g of water at 20 °C fill a litre."""
    assert foam.by_water(998_200) == pytest.approx(1e6)


def test_the_shallowest_pour_is_a_lift() -> None:
    """Next to nothing is still one lift, not none."""
    assert foam.pour(1, 1e-12, 1e6, 1, 32_000).lifts == 1


@pytest.mark.parametrize(
    ("change", "word"),
    [({"vents": 0}, "vent"), ({"lift": 0}, "over zero"), ({"depth": 0}, "over zero"),
     ({"density": 0}, "over zero"), ({"volume": -1}, "over zero"), ({"lift": 1}, "lifts"),
     ({"waste": 101}, "waste"), ({"volume": 1e25}, "more than")],
)  # fmt: skip
def test_no_pour(change: dict[str, float], word: str) -> None:
    """No vent, no figure."""
    good = {"volume": 1e6, "depth": 1e5, "lift": 1e5, "vents": 1, "density": 32_000}
    with pytest.raises(Invalid, match=word) as caught:
        foam.pour(**{**good, **change})  # type: ignore[arg-type]
    assert caught.value.advice
