"""How well a bay is known: its thermometer's check, and whether it lies in the open."""

from __future__ import annotations

from math import hypot

import pytest
from cureyard_service.acts.bays import air
from cureyard_service.acts.bays.bay import BayView, change_bay, show_bay
from cureyard_service.acts.yard import finding
from cureyard_service.core.errors import Invalid

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW

pytestmark = pytest.mark.usefixtures("books")


def shed(now: int = NOW, **facts: object) -> BayView:
    """The shed, changed if it is said how."""
    if facts:
        change_bay(finding.bay("SHED"), now=NOW, hand=HAND, **facts)  # type: ignore[arg-type]
    return show_bay(finding.bay("SHED"), now)


def test_a_checked_thermometer_is_good_to_a_kelvin_for_a_year() -> None:
    """As it is shown, and as forecasts and doses take it; a day to come is refused."""
    assert (shed().checked_on, shed().good_to) == (None, 2)
    told = shed(checked_on=yard.day(-10))
    assert (told.checked_on, told.good_to, told.uncertainty) == (yard.day(-10), 1, 2)
    bay = finding.bay("SHED")
    doubt = air.doubt(bay, NOW)
    assert (doubt.measured, doubt.ahead) == (1, 3)
    assert air.of_resin(bay, NOW) == hypot(1, 3)
    assert shed(NOW + 400 * DAY).good_to == air.doubt(bay, NOW + 400 * DAY).measured == 2
    with pytest.raises(Invalid, match="a day to come"):
        shed(checked_on=yard.day(1))
    assert shed().checked_on == yard.day(-10)


def test_the_air_to_come_is_a_wider_guess_in_the_open() -> None:
    """5 K for 3, until its own log tells; and back."""
    told = shed(in_the_open=True)
    assert (told.in_the_open, told.ahead.basis, told.ahead.uncertainty) == (True, "guessed", 5)
    layup = yard.laid(product="LAM", catalyst_percent=2).milestones.recoat_opens
    indoors = shed(in_the_open=False)
    assert (indoors.in_the_open, indoors.ahead.uncertainty) == (False, 3)
    later = yard.laid(product="LAM", catalyst_percent=2).milestones.recoat_opens
    assert layup.earliest < later.earliest < later.latest < layup.latest


def test_a_bay_is_added_with_both() -> None:
    """As it is entered."""
    (told,) = yard.add(
        bays=[makers.bay("YARD", checked_on="2026-03-01", in_the_open=True)],
    )
    assert (str(told.checked_on), told.good_to, told.ahead.uncertainty) == ("2026-03-01", 1, 5)
