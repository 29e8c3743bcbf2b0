"""What cups say of a pot: of their own lot most, of the pair a little; less where they differ."""

from __future__ import annotations

from decimal import Decimal
from math import log

import pytest
from cureyard_service.acts.pots.dose import DoseView, dose_pot
from cureyard_service.acts.yard import finding
from cureyard_service.store import tables

from .. import by_hand
from .. import sample_yard as yard
from ..sample_yard import DAY, NOW

pytestmark = pytest.mark.usefixtures("books")


def dose(lot: tables.Lot, now: int = NOW) -> DoseView:
    """A dose of a lot at 2 % and a measured 20 °C."""
    return dose_pot(
        resin="LAM", amount=yard.q("1 kg"), temperature=yard.heat("20 degC"),
        catalyst_percent=Decimal(2), resin_lot=finding.lot(lot.id), now=now,
    )  # fmt: skip


def width(lot: tables.Lot, now: int = NOW) -> float:
    """How wide the gel's band is, in ln."""
    gel = dose(lot, now).gel
    return log(gel.latest / gel.earliest)


def test_a_cup_of_one_lot_moves_the_others_a_little() -> None:
    """It was the pair's as much as the lot's: 24 min of 20 makes it 1.15, and another lot 1.08."""
    drum, bottle = yard.stocked()
    other = yard.receive("LAM", "20 kg")
    assert dose(other).basis.factor == 1
    test = yard.cup(drum, bottle, "24 min")
    own, others = by_hand.factors(24 / 20, others=1)
    assert 1 < others < own < 24 / 20
    told = dose(drum).basis
    assert (told.factor, told.factor_basis) == (
        pytest.approx(own, rel=0.01), f"cup test {test.id}",
    )  # fmt: skip
    told = dose(other).basis
    assert (told.factor, told.factor_basis) == (
        pytest.approx(others, rel=0.01),
        "other cups of the pair",
    )


def test_every_cup_that_agrees_makes_it_surer() -> None:
    """A lot that was tested is surer than one that was not, and two cups than one."""
    drum, bottle = yard.stocked()
    other = yard.receive("LAM", "20 kg")
    untested = width(drum)
    yard.cup(drum, bottle, "20 min")
    one, beside = width(drum), width(other)
    yard.cup(other, bottle, "20 min", "20 min")
    assert width(other) < one < beside < untested


def test_two_cups_that_differ_count_as_none() -> None:
    """20 min one day and 25 the next: neither is believed, until a third says which."""
    drum, bottle = yard.stocked()
    untested = width(drum)
    for time in ("20 min", "25 min"):
        yard.cup(drum, bottle, time)
    assert untested <= width(drum) == pytest.approx(untested, rel=0.05)
    assert 1 < dose(drum).basis.factor < 25 / 20
    yard.cup(drum, bottle, "25 min")
    assert width(drum) < untested


def test_a_cup_grows_old() -> None:
    """Nothing lapses overnight: half a year later it says less, and still something."""
    drum, bottle = yard.stocked()
    untested = width(drum)
    yard.cup(drum, bottle, "24 min")
    new, factor = width(drum), dose(drum).basis.factor
    later = NOW + 150 * DAY
    assert new < width(drum, NOW + 30 * DAY) < width(drum, later) < untested
    assert 1 < dose(drum, later).basis.factor < dose(drum, NOW + 30 * DAY).basis.factor < factor
