"""Bands of layups through the real nights of four years, by the rule for the air to come.

Source: daily extremes of Seattle, 2012 to 2015, NOAA, by the `vega_datasets` wheel. The least of a
day is taken at 06:00 and the greatest at 15:00, straight between; a shed has half of what the air
has about its mean (common practice, no source). What the resin does is drawn from the model.
"""

from __future__ import annotations

import csv
from datetime import UTC, datetime
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest
from cureyard_service.core.bays.logged import learned
from cureyard_service.core.bays.temperature import Trace, trace_of
from cureyard_service.core.cure import cure_clock
from cureyard_service.core.cure.chance import Chances
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.layer import LaidPot, Layer
from cureyard_service.core.cure.layers import Layers
from cureyard_service.core.products.cure_sheet import CureSheet, GelPoint, Mix, StageTime
from cureyard_service.core.products.gel_law import fit
from scipy.stats import norm, uniform

HOUR, DAY = 3600.0, 86_400.0
T20 = 293.15
MEASURED_K = 1.0
EVERY = 2
"""Days from one layup to the next."""
GEL = GelPoint(T20, None, 1500.0, 1500.0)
SHEET = CureSheet(
    Mix("two_part", (100, 25), "mass"), "plain", reference_temperature=T20, gel_points=(GEL,),
    stages=(("recoat_opens", StageTime(3 * HOUR)), ("recoat_closes", StageTime(9 * HOUR))),
)  # fmt: skip
LAW = fit(SHEET.gel_points)


@lru_cache
def shed() -> Trace:
    """The temperature of the shed over the four years, K."""
    spec = find_spec("vega_datasets")
    assert spec is not None
    assert spec.origin is not None
    t, T = [], []
    with (Path(spec.origin).parent / "_data" / "seattle-weather.csv").open() as file:
        for row in csv.DictReader(file):
            day = datetime.fromisoformat(row["date"].replace("/", "-")).replace(tzinfo=UTC)
            t += [day.timestamp() + 6 * HOUR, day.timestamp() + 15 * HOUR]
            T += [float(row["temp_min"]), float(row["temp_max"])]
    air = np.array(T) + 273.15
    return Trace(np.array(t), air.mean() + (air - air.mean()) / 2, np.ones(len(t) - 1, bool))


def said(start: float) -> Chances:
    """What is said of a layup begun then, with the log of the thirty days before it."""
    hours = start - HOUR * (np.arange(720) + 0.5)
    log = zip(hours.astype(int).tolist(), shed().ats(hours).tolist(), strict=True)
    own = learned(log, ZoneInfo("UTC"))
    assert own is not None
    ahead = trace_of(
        [start], [float(shed().at(start))], own.pattern, start, start + 5 * DAY, 2 * HOUR
    )
    pot = LaidPot(None, LAW.belief(), start)
    laid = Layer(SHEET, LAW, (pot,), start, "plain")
    return Chances(Layers.of([laid]), ahead, Doubt(MEASURED_K, max(own.ahead, MEASURED_K)))


@pytest.mark.parametrize("hour", [8, 17])
def test_few_lie_beyond_an_edge_through_real_nights(hour: int) -> None:
    """At most 9 % beyond each, of layups begun in the morning or at the end of the day."""
    first = shed().start - 6 * HOUR + 31 * DAY + hour * HOUR
    starts = np.arange(first, shed().end - 6 * DAY, EVERY * DAY)
    rng, count = np.random.default_rng(hour), len(starts)
    gel_u = float(np.sqrt(0.05**2 + 0.0866**2 + 0.08**2 + 0.054**2))
    S = norm.rvs(scale=gel_u, size=count, random_state=rng)
    stage = norm.rvs(scale=0.12, size=(2, count), random_state=rng)
    E = uniform.rvs(40e3, 20e3, size=count, random_state=rng)
    off = uniform.rvs(-MEASURED_K, 2 * MEASURED_K, size=count, random_state=rng)
    edges = np.empty((count, 3, 2))
    true = np.empty((count, 3))
    for k, start in enumerate(starts.tolist()):
        told = said(start)
        reaches = (
            told.gel(), told.stage("recoat_opens", StageTime(3 * HOUR)),
            told.closing(StageTime(9 * HOUR)),
        )  # fmt: skip
        edges[k] = [reach.moment(np.array([0.05, 0.95]))[:, 0] for reach in reaches]
        lived = shed().between(start, start + 5 * DAY).shifted(float(off[k]))
        ages = np.array([1500.0, 3 * HOUR, 9 * HOUR]) * np.exp(S[k])
        ages[1:] *= np.exp(stage[:, k])
        true[k] = cure_clock.run(lived, float(E[k]), T20, None).reaches(ages)
    early, late = (true < edges[..., 0]).mean(axis=0), (true > edges[..., 1]).mean(axis=0)
    assert (early <= 0.09).all()
    assert (late <= 0.09).all()
