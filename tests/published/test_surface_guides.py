"""Surfaces, recoat windows and cure gates as guides and rules print them.

Sources, makers not named unless said:
- Two lay-up guides on waxed and unwaxed resin; a supplier's article on tack-free times.
- An epoxy guide and a boat-plan supplier on epoxy's stages.
- An aircraft structural repair manual on a prepared surface.
- Production Procedures, Workmanship and Manufacturing Control, Sec 2 cl. 3.2.7 (a classification
  society, not named in the text that was read).
- The maintenance manual of a composite light aircraft, 2013, on post-cure.
"""

from __future__ import annotations

import numpy as np
import pytest
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure import cure_clock, recoat
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.forecast import milestones
from cureyard_service.core.cure.layer import LaidPot, Layer
from cureyard_service.core.cure.milestones import Milestone
from cureyard_service.core.cure.recoat import prepare
from cureyard_service.core.products import gel_law
from cureyard_service.core.products.cure_sheet import CureSheet, GelPoint, Mix, StageTime, Surface

HOUR = 3600.0
ZERO = 273.15
ROOM = 21 + ZERO


def bay(*stretches: tuple[float, float]) -> Trace:
    """Hours at °C, one after another."""
    edges = np.concatenate([[0.0], np.cumsum([hours for hours, _ in stretches])]) * HOUR
    t = np.repeat(edges, 2)[1:-1]
    T = np.repeat(np.array([celsius + ZERO for _, celsius in stretches]), 2)
    return Trace(t, T, np.ones(len(t) - 1, bool))


def laid(surface: Surface, **stages: float) -> Layer:
    """A layer with a sheet's times in hours at 21 °C (70 °F), gelling in half an hour."""
    sheet = CureSheet(
        Mix("two_part", (100, 25), "mass"),
        surface,
        reference_temperature=ROOM,
        gel_points=(GelPoint(ROOM, None, 1800, 1800),),
        stages=tuple((name, StageTime(hours * HOUR)) for name, hours in stages.items()),
        closes_after=30 * 24 * HOUR,
    )
    law = gel_law.fit(sheet.gel_points)
    return Layer(sheet, law, (LaidPot(None, law.belief(), 0.0),), 0.0, surface)


def found(layer: Layer) -> dict[str, Milestone]:
    """Its milestones in a shop held at 70 °F."""
    return milestones(layer, bay((2000, 21)), Doubt.steady(0.0))


def test_a_waxed_skin_is_sanded_before_the_next_coat() -> None:
    """Lay-up guides: sanded unless wet on wet; a supplier: tack-free, sandable, in 4-6 h."""
    waxed = laid("waxed", sandable=5, recoat_opens=2, recoat_closes=24)
    seen = found(waxed)
    assert seen["recoat_opens"].at is None
    assert 4 * HOUR <= (seen["sandable"].at or 0) <= 6 * HOUR
    assert recoat.stand(seen, 10 * HOUR) == "past"
    assert any("abrade" in step for step in prepare("waxed", "past", "none").steps)


def test_an_unwaxed_skin_stays_tacky_bonds_and_cannot_be_sanded() -> None:
    """The same guides: it bonds without sanding; sanding it is refused at every hour."""
    seen = found(laid("air_inhibited", sandable=5, recoat_opens=2, recoat_closes=24))
    assert seen["recoat_opens"].at is not None
    assert prepare("air_inhibited", "open", "none").steps == ()
    assert (seen["sandable"].at, seen["sandable"].why) == (None, "tacky-surface")


def test_epoxy_s_three_stages() -> None:
    """A boat-plan supplier at 70 °F: recoat for a chemical bond by 3-4 h, sand after a night.

    Gel state still bonds without sanding; solid, the next coat needs abrading (epoxy guide).
    """
    epoxy = laid("amine_blush", recoat_opens=1, recoat_closes=4, sandable=12, full_cure=24)
    seen = found(epoxy)
    stands = {hours: recoat.stand(seen, hours * HOUR) for hours in (0.5, 2, 14)}
    assert stands == {0.5: "before", 2: "open", 14: "past"}
    assert prepare("amine_blush", "open", "none").steps == ()
    assert any("abrade" in step for step in prepare("amine_blush", "past", "none").steps)
    assert (seen["full_cure"].at or 0) / HOUR == pytest.approx(24, rel=1e-4)


def test_solvent_dries_fifteen_minutes() -> None:
    """An aircraft structural repair manual: dry-off of at least 15 min after the wipe."""
    steps = (
        *prepare("waxed", "past", "none").steps,
        *prepare("air_inhibited", "past", "none").steps,
    )
    wipes = [step for step in steps if "solvent" in step]
    assert len(wipes) == 2
    assert all("15 min" in step for step in wipes)


def hours_over(lived: Trace, floor: float, needed: float) -> float:
    """When so many hours at or over a temperature are up, in hours; the clock with E = 0."""
    return cure_clock.run(lived, 0.0, ROOM, floor + ZERO).reach(needed * HOUR) / HOUR


def test_forty_eight_hours_at_eighteen_pause_below_it() -> None:
    """Production Procedures, 3.2.7: 48 h at 18 °C or more; a night at 15 °C doesn't count."""
    assert hours_over(bay((100, 18)), 18, 48) == pytest.approx(48)
    assert hours_over(bay((10, 20), (12, 15), (100, 20)), 18, 48) == pytest.approx(60)
    assert hours_over(bay((100, 17.9)), 18, 48) == float("inf")


def test_a_split_post_cure_adds_up() -> None:
    """The aircraft's manual: 15 h at 60 ± 5 °C, in parts too: 7 + 8 h pass, 14 h 59 min fail."""
    split = bay((1, 21), (7, 60), (10, 21), (8, 60), (5, 21))
    assert hours_over(split, 55, 15) == pytest.approx(26)
    short = bay((1, 21), (7, 60), (10, 21), (8 - 1 / 60, 60), (5, 21))
    assert hours_over(short, 55, 15) == float("inf")
