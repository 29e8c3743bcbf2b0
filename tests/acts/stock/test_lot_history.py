"""Where a lot stood, and what its log there means for it."""

from __future__ import annotations

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.stock import change_lot, lot_history
from cureyard_service.acts.yard import finding

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, NOW, H, heat


@pytest.fixture
def kept(books: object) -> int:
    """A lot of a resin whose label says at most 25 °C, received into the tent."""
    yard.add(products=[makers.product("SHY", "resin", storage_max="25 degC")])
    return int(yard.receive("SHY", "5 kg", bay="TENT").id)


def _log(bay: str, celsius: float, start: int, hours: int) -> None:
    told = [{"at": start + h * H, "temperature": heat(f"{celsius} degC")} for h in range(hours + 1)]
    read_bay.read_bay(bay=bay, readings=told, now=start + (hours + 1) * H, hand=HAND)


def _outside(lot: int, now: int) -> float:
    return lot_history.seconds_outside(finding.lot(lot), now)


def test_only_measured_hours_beyond_the_label_count(kept: int) -> None:
    """30 h at 28 °C are 30 h; what nobody measured after them is not held against the lot."""
    _log("TENT", 28, NOW, 30)
    now = NOW + 10 * DAY
    assert _outside(kept, now) == pytest.approx(30 * H)
    (word,) = lot_history.show_stored(finding.lot(kept), now).warnings
    assert "30 h" in word


def test_a_lot_carried_away_leaves_the_heat_behind(kept: int) -> None:
    """From the moment of its move the other bay's log is its own."""
    change_lot.change_lot(finding.lot(kept), now=NOW + 10 * H, hand=HAND, bay="BARN")
    _log("TENT", 28, NOW, 30)
    _log("BARN", 18, NOW, 30)
    now = NOW + 2 * DAY
    assert _outside(kept, now) == pytest.approx(10 * H)
    assert lot_history.show_stored(finding.lot(kept), now).warnings == []
