"""What a bay's air is said to be now: its last reading with the humidity, where it was read."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings
from cureyard_service.acts.bays.air_taken import ReadView
from cureyard_service.acts.wall.now import what_now

from .. import sample_yard as yard
from ..sample_yard import HAND, NOW

pytestmark = pytest.mark.usefixtures("books")


@pytest.mark.parametrize(("humidity", "said"), [(Decimal("57.5"), 57.5), (None, None)])
def test_the_humidity_of_the_last_reading(humidity: Decimal | None, said: float | None) -> None:
    """None where nobody read it."""
    told: dict[str, Any] = {"at": NOW - 60, "temperature": yard.heat("17 degC")}
    if humidity is not None:
        told["humidity_percent"] = humidity
    readings.read_bay(bay="SHED", readings=[told], now=NOW, hand=HAND)
    shed = next(bay for bay in what_now(NOW).bays if bay.code == "SHED")
    assert shed.read == ReadView(290.15, NOW - 60, said)
