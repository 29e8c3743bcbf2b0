"""Quality gates against the books that their figures come from.

Sources:
- Iranian Classification Society (ICS), Rules for the Classification of FRP Ships (2014), parts 15
  and 17; High Speed and Light Crafts, part 48.
- Production Procedures, Workmanship and Manufacturing Control, Sec 2 cl. 3.2 (a classification
  society, not named in the text that was read).
- An aircraft structural repair manual, maker not named.
- TM 38-410 / DLAM 4145.11, Storage and Handling of Hazardous Materials.
- Resin fabrication tips for an impressor 934-1, a shop guide, maker not named.
- ASTM C582, from memory.
The gates name these, and no others.
"""

from __future__ import annotations

import numpy as np
import pytest
from cureyard_service.core.amounts.quantities import ZERO_C
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.gates import part as gates_part
from cureyard_service.core.gates.air import Air, humidity, shop_steady, shop_warm, warm_seconds
from cureyard_service.core.gates.fresh import Came, surface_fresh
from cureyard_service.core.gates.part import Below
from cureyard_service.core.gates.profiles import profile
from cureyard_service.core.products import hardness as hard

H = 3600
CLASS = profile("class").rules


@pytest.mark.parametrize(("celsius", "verdict"), [(18.0, "pass"), (17.9, "stop")])
def test_part_15_102_the_shop(celsius: float, verdict: str) -> None:
    """ICS, FRP ships, part 15, 102: at least 18 °C, reached 24 h before laminating."""
    air = Air(celsius + ZERO_C, celsius + 2 + ZERO_C)
    assert shop_warm(CLASS["shop-warm"], air).verdict == verdict


@pytest.mark.parametrize(("high", "verdict"), [(24.0, "pass"), (24.1, "stop")])
def test_part_15_102_the_swing(high: float, verdict: str) -> None:
    """ICS, FRP ships, part 15, 102: ± 3 °C in 24 h, so 6 °C from coldest to warmest."""
    air = Air(18 + ZERO_C, high + ZERO_C)
    assert shop_steady(CLASS["shop-steady"], air).verdict == verdict


@pytest.mark.parametrize(
    ("percent", "spraying", "verdict"),
    [(80, False, "pass"), (80.1, False, "stop"), (40, True, "pass"), (39.9, True, "stop"),
     (39.9, False, "pass")],
)  # fmt: skip
def test_part_15_102_the_humidity(percent: float, spraying: bool, verdict: str) -> None:
    """ICS, FRP ships, part 15, 102: at most 80 %, and at least 40 % where spraying."""
    told = humidity(CLASS["humidity"], Air(humidity=percent), spraying=spraying)
    assert told.verdict == verdict


def test_3_2_7_forty_eight_hours_pausing_in_the_cold() -> None:
    """Production Procedures, Sec 2 cl. 3.2.7: 48 h at 18 °C or above.

    Worked by hand: 30 h at 20 °C, a night of 12 h at 12 °C, then 18 h at 20 °C, with steps
    between, are 60 h on the wall and 48 h of cure; an hour less at the end is a stop.
    """

    def part(last: float) -> Below:
        t = np.array([0, 30, 30, 42, 42, 42 + last]) * H
        T = np.array([20.0, 20, 12, 12, 20, 20]) + ZERO_C
        seen, assumed = warm_seconds(Trace(t, T, np.ones(5, bool)), 18 + ZERO_C)
        return Below("Skin", warm=seen, warm_assumed=assumed)

    rule = CLASS["cure-time"]
    assert part(18).warm == 48 * H
    assert gates_part.cure_time(rule, part(18)).verdict == "pass"
    assert gates_part.cure_time(rule, part(17)).verdict == "stop"


@pytest.mark.parametrize(("weight", "verdict"), [(450_000.0, "pass"), (451_000.0, "stop")])
def test_3_2_3_mat_against_gel_coat(weight: float, verdict: str) -> None:
    """Production Procedures, Sec 2 cl. 3.2.3: mat not above 450 g/m² against gel coat."""
    gel_coat = Below("Gel coat", gel_coat=True)
    told = gates_part.mat_on_gel_coat(CLASS["mat-on-gel-coat"], gel_coat, [("MAT", weight)])
    assert told.verdict == verdict


@pytest.mark.parametrize(
    ("hours", "verdict"), [(0.2, "stop"), (0.25, "pass"), (24, "pass"), (24.1, "stop")]
)
def test_a_prepared_surface_goes_stale(hours: float, verdict: str) -> None:
    """An aircraft structural repair manual: 15 min to dry off, wet out within 24 h."""
    told = surface_fresh(CLASS["surface-fresh"], None, 0, round(hours * H), Came())
    assert told.verdict == verdict


def test_ten_barcol_readings() -> None:
    """A shop guide: of 10 to 12 readings the highest and the lowest are dropped.

    Worked by hand: 36 and 46 go, the eight left add up to 328, so 41.
    """
    assert hard.of_readings([41, 40, 36, 42, 41, 46, 40, 42, 41, 41])[0] == 41


@pytest.mark.parametrize(("hardness", "verdict"), [(41, "pass"), (40, "stop")])
def test_nine_tenths_of_the_makers_least(hardness: float, verdict: str) -> None:
    """ASTM C582, from memory: 90 % of the maker's least; of 45 that is 40.5."""
    part = Below("Skin", hardness=hard.Figure(hardness, 0.0), hardness_least=45)
    assert gates_part.hard_enough(CLASS["hard-enough"], part).verdict == verdict


def test_each_book_is_named_for_its_own_gates() -> None:
    """Each gate cites the book of its figure, and none but class rules is called so."""
    for gate, word in (
        ("surface-fresh", "aircraft"), ("stored-apart", "TM 38-410"), ("hard-enough", "C582"),
        ("cure-time", "3.2.7"), ("mat-on-gel-coat", "3.2.3"), ("shop-warm", "part 15"),
        ("rolls-rested", "part 48"), ("resin-warm", "part 48"), ("unwaxed", "part 17"),
    ):  # fmt: skip
        assert word in CLASS[gate].source, gate
    for gate in ("surface-fresh", "stored-apart", "hard-enough"):
        assert "class" not in CLASS[gate].source
