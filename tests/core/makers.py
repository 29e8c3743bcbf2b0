"""Things that the core's tests are about, made short: sheets, laws, traces, layers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import log
from typing import Any

import numpy as np
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.forecast import forecasts
from cureyard_service.core.cure.layer import LaidPot, Layer
from cureyard_service.core.pots.dosing import dose
from cureyard_service.core.pots.pot import Dose, Pot
from cureyard_service.core.products import budget, gel_law
from cureyard_service.core.products.cure_sheet import CureSheet, GelPoint, Mix, StageTime
from cureyard_service.core.products.evidence import Belief
from cureyard_service.core.products.gel_law import GelLaw

KG = 1_000_000
G = 1000
MIN = 60.0
HOUR = 3600.0
EXACT = Doubt.steady(0.0)
"""A temperature that is known exactly."""


def kelvin(celsius: float) -> float:
    """Degrees Celsius in K."""
    return celsius + 273.15


def planted(E: float, n: float, at: Sequence[tuple[float, float]]) -> tuple[GelPoint, ...]:
    """Gel points that lie exactly on a law: 30 min at 20 °C and 1.5 %; `at` is (°C, percent)."""
    points = []
    for celsius, percent in at:
        slower = np.exp(E / gel_law.R * (1 / kelvin(celsius) - 1 / kelvin(20)))
        time = float(30 * MIN * slower * (percent / 1.5) ** -n)
        points.append(GelPoint(kelvin(celsius), percent, time, time))
    return tuple(points)


LAYER_FACTS = {"pots", "finished", "surface", "cover", "opened_at", "hard_at", "green_at"}
GRID = ((15.0, 1.0), (15.0, 2.0), (20.0, 1.5), (30.0, 1.0), (30.0, 2.0))
POLYESTER = CureSheet(
    Mix("catalysed"),
    "air_inhibited",
    ("mekp-9",),
    reference_temperature=kelvin(20),
    reference_percent=1.5,
    gel_points=planted(50e3, 1.0, GRID),
    percent_min=1.0,
    percent_max=2.0,
    apply_min=kelvin(13),
    cure_min=kelvin(10),
    temperature_max=kelvin(35),
    stages=(
        ("recoat_opens", StageTime(2 * HOUR)),
        ("recoat_closes", StageTime(20 * HOUR)),
        ("sandable", StageTime(6 * HOUR)),
        ("full_cure", StageTime(72 * HOUR)),
    ),
    pot_max=5_000_000,
)
WAXED = replace(POLYESTER, surface="waxed")
EPOXY = replace(
    POLYESTER,
    mix=Mix("two_part", (100.0, 25.0), "mass"),
    surface="amine_blush",
    partners=("slow-hardener",),
    reference_percent=None,
    gel_points=(
        GelPoint(kelvin(15), None, 80 * MIN, 80 * MIN),
        GelPoint(kelvin(30), None, 28 * MIN, 28 * MIN),
    ),
    percent_min=None,
    percent_max=None,
)


def law_of(sheet: CureSheet) -> GelLaw:
    """A sheet's gel law."""
    return gel_law.fit(sheet.gel_points)


def trace(hours: Sequence[float], celsius: Sequence[float], *, measured: bool = True) -> Trace:
    """A temperature trace with knots at hours and °C; two at one hour are a step."""
    t, T = np.array(hours, float) * HOUR, kelvin(np.array(celsius, float))  # type: ignore[arg-type]
    return Trace(t, T, np.full(len(t) - 1, measured))


def steady(celsius: float, hours: float = 400.0) -> Trace:
    """A bay held at one temperature."""
    return trace([0, hours], [celsius, celsius])


def laid_pot(sheet: CureSheet = POLYESTER, **changes: Any) -> LaidPot:
    """A pot mixed at epoch 0 at its sheet's reference percent.

    A `factor` is of its lot's gel time over the sheet's; a `filled` one has fillers.
    """
    believed = belief(law_of(sheet), changes.pop("factor", 1.0), changes.pop("filled", False))
    return replace(LaidPot(sheet.reference_percent, believed, mixed_at=0.0), **changes)


def belief(law: GelLaw, factor: float = 1.0, filled: bool = False) -> Belief:
    """What is believed of an untested lot that gels in `factor` of the sheet's time."""
    plain = law.belief()
    slower = replace(plain, m=(plain.m[0] + log(factor), plain.m[1] + log(factor)))
    return slower.wider(budget.FILLED) if filled else slower


def layer(sheet: CureSheet = POLYESTER, started: float = 0.0, **changes: Any) -> Layer:
    """A layer begun and ended at epoch 0; what is not of the layer is of its one pot."""
    of_layer = {name: changes.pop(name) for name in LAYER_FACTS & set(changes)}
    pot = laid_pot(sheet, mixed_at=started, **changes)
    start = Layer(sheet, law_of(sheet), (pot,), finished=0.0, surface=sheet.surface)
    return replace(start, **of_layer)


def mixed(grams: float, sheet: CureSheet = POLYESTER, celsius: float = 20, **pot: Any) -> Dose:
    """A dose for so many grams of resin; at 1.5 % of it unless told otherwise.

    A `factor` is of its lot's gel time over the sheet's.
    """
    if sheet.mix.kind == "catalysed" and not {"percent", "target_gel"} & set(pot):
        pot["percent"] = 1.5
    law = law_of(sheet)
    if "factor" in pot:
        pot["belief"] = belief(law, pot.pop("factor"))
    return dose(Pot(grams * G, kelvin(celsius), **pot), sheet, law)


def laid_at(laid: Layer, moment: float) -> Layer:
    """The same layer laid at a moment."""
    later = moment - laid.started
    pots = tuple(replace(pot, mixed_at=pot.mixed_at + later) for pot in laid.pots)
    return replace(laid, pots=pots, finished=laid.finished + later)


def stalled_at(cured: Layer, lived: Trace, uncertainty: float) -> float | None:
    """When a layer has lain too cold for too long before it was hard, or None."""
    return forecasts([cured], lived, Doubt.steady(uncertainty))[0].stalled


def hard_by(cured: Layer, lived: Trace) -> float:
    """When a layer is hard; infinite if never."""
    return forecasts([cured], lived, EXACT)[0].hard
