"""Vapour pressure against PsychroLib, and a cure by moisture along a real year of hourly air.

PsychroLib 2.5: its saturation pressure is that of ASHRAE Handbook, Fundamentals (2017), ch. 1,
equations 5 and 6. The air is that of Greensboro, North Carolina (723170TYA, a typical year by NREL
TMY3), as the `pvlib` wheel has it.
"""

from __future__ import annotations

import csv
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import psychrolib
import pytest
from cureyard_service.core.arrays import Floats
from cureyard_service.core.bays.vapour import pressure
from cureyard_service.core.cure import moisture
from cureyard_service.core.products.cure_sheet import CuredDepth, CureSheet, Mix

H, ZERO = 3600.0, 273.15
SHEET = CureSheet(Mix("one_part"), "plain", cured_depth=CuredDepth(3_000, 86_400, ZERO + 23, 50))
LAW = moisture.law_of(SHEET)


@pytest.mark.parametrize("humidity", [5, 50, 100])
def test_vapour_pressure_is_psychrolib_s(humidity: float) -> None:
    """Within 0.3 % from 0.1 to 40 °C."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    for T in np.arange(0.1, 40.01, 0.1):
        theirs = psychrolib.GetVapPresFromRelHum(float(T), humidity / 100) / 100
        assert pressure(ZERO + float(T), humidity) == pytest.approx(theirs, rel=0.003)


def greensboro() -> tuple[Floats, Floats]:
    """Its air by the hour from 04/10 08:00 on: K and percent; read without importing pvlib."""
    spec = find_spec("pvlib")
    assert spec is not None
    assert spec.origin is not None
    path = Path(spec.origin).parent / "data" / "723170TYA.CSV"
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file))[1:]
    names = rows[0]
    dry, humid = names.index("Dry-bulb (C)"), names.index("RHum (%)")
    first = next(n for n, row in enumerate(rows) if row[0][:5] == "04/10" and row[1] == "08:00")
    kept = rows[first : first + 1000]
    T = np.array([float(row[dry]) for row in kept]) + ZERO
    return T, np.array([float(row[humid]) for row in kept])


def test_along_a_real_spring() -> None:
    """6 mm by hourly trapezia: without E 108.1 h, else 90.72, 144.6, 263.4; made answers."""
    T, humidity = greensboro()
    t = H * np.arange(len(T))
    e = np.array([pressure(*each) for each in zip(T.tolist(), humidity.tolist(), strict=True)])
    course, demand = moisture.course(LAW, t, T, e), LAW.demand(6_000)
    found = [course.reaches(demand, p) / H for p in (0.05, 0.5, 0.95)]
    assert found == pytest.approx((90.72, 144.6, 263.4), rel=5e-4)
    bare = moisture.course(moisture.MoistureLaw(LAW.point, LAW.vapour, (0.0, 0.0)), t, T, e)
    assert bare.reaches(demand, 0.5) / H == pytest.approx(108.1, rel=5e-4)
