"""What a mix is made of, by mass."""

from __future__ import annotations

import pytest
from cureyard_service.core.pots.mix_parts import parts
from cureyard_service.core.products.cure_sheet import CureSheet, Mix
from hypothesis import given
from hypothesis import strategies as st

shares = st.floats(1, 200)


@given(shares, shares)
def test_two_parts_make_the_whole(base: float, hardener: float) -> None:
    """Resin and hardener add up to the mix, in the ratio of the sheet."""
    found = parts(CureSheet(Mix("two_part", (base, hardener), "mass"), "plain"))
    assert found is not None
    assert found.resin + found.partner == pytest.approx(1)
    assert found.resin * hardener == pytest.approx(found.partner * base)


@given(shares, shares, st.floats(0.8, 1.6), st.floats(0.8, 1.6))
def test_by_volume_the_denser_part_weighs_more(
    base: float, hardener: float, density: float, other: float
) -> None:
    """By volume the masses are in the ratio of volume times density; unknown, no answer."""
    sheet = CureSheet(Mix("two_part", (base, hardener), "volume"), "plain")
    found = parts(sheet, density, other)
    assert found is not None
    assert found.resin / found.partner == pytest.approx(base * density / (hardener * other))
    assert parts(sheet, density, None) is None
    assert parts(sheet, None, other) is None


def test_catalyst_is_over_the_resin() -> None:
    """At the sheet's greatest percent; where it has none, at the trade's 2 %."""
    dosed = CureSheet(Mix("catalysed"), "waxed", percent_max=3.0)
    assert parts(dosed) == (1, pytest.approx(0.03))
    assert parts(CureSheet(Mix("catalysed"), "waxed")) == (1, pytest.approx(0.02))
    assert parts(CureSheet(Mix("one_part"), "plain")) == (1, 0)
