"""Milestones: the sheet's times along a temperature, and what pots, lots and hands change."""

from __future__ import annotations

from dataclasses import replace
from math import log, sqrt

import pytest
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.forecast import milestones
from cureyard_service.core.cure.layer import Cover, LaidPot, Layer
from cureyard_service.core.cure.milestones import NAMES, Milestone
from cureyard_service.core.products.cure_sheet import STAGES, CureSheet, Mix, StageTime, Surface
from cureyard_service.core.products.gel_law import rate, undosed
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from ..bands import UNTESTED_U, after_gel, at, later_u, reached, stepped, widths
from ..makers import (
    EPOXY,
    HOUR,
    MIN,
    POLYESTER,
    WAXED,
    belief,
    hard_by,
    kelvin,
    law_of,
    layer,
    steady,
    trace,
)  # fmt: skip

PLAIN = replace(POLYESTER, surface="plain", closes_after=1000 * HOUR)
TIMED = tuple(name for name in NAMES if name != "film")
"""The milestones of a sheet that times no film."""
NEAR = 1e-4
"""Moments are found to within a twentieth of a second."""
GEL_U = sqrt(UNTESTED_U**2 + 0.05**2 / 5)
"""Of a sheet of five gel times, at its anchor and its own percent."""


def found(
    cured: Layer, lived: Trace | None = None, uncertainty: float = 0.0
) -> dict[str, Milestone]:
    """The milestones of a layer, at a steady 20 °C known exactly unless told otherwise."""
    return milestones(cured, lived or steady(20), Doubt.steady(uncertainty))


def hours(milestone: Milestone) -> float:
    """When a milestone comes, in hours."""
    assert milestone.at is not None, milestone.why
    return milestone.at / HOUR


def test_at_the_sheet_s_own_conditions_come_the_sheet_s_own_times() -> None:
    """Gel after 30 min, trim 30 min later, the rest as printed; all measured."""
    seen = found(layer(PLAIN))
    assert {name: hours(seen[name]) for name in TIMED} == pytest.approx(
        {"gel": 0.5, "trim": 1, "recoat_opens": 2, "recoat_closes": 20, "sandable": 6,
         "full_cure": 72}, rel=NEAR,
    )  # fmt: skip
    assert {seen[name].basis for name in TIMED} == {"measured"}
    assert seen["film"].why == "not-on-sheet"


def test_bands_are_those_of_the_budget() -> None:
    """At an exact temperature: what sheet, pair, lot and pot share, and a later stage's own part.

    Log-normal by SciPy; the two energies cancel where a time is given at the bay's temperature.
    """
    seen, law = found(layer(PLAIN)), law_of(PLAIN)
    for name, sheet in (("recoat_opens", 2), ("sandable", 6), ("recoat_closes", 20)):
        expected = [at(p, sheet * HOUR, 0, later_u(GEL_U)) for p in (0.05, 0.95)]
        assert [seen[name].earliest, seen[name].latest] == pytest.approx(expected, rel=NEAR)
    air = stepped(law.belief(), law.temperature, (0, 20))
    dosed, n_u = log(1.5 / (law.percent or 1)), law.system.order[1]
    u = sqrt(GEL_U**2 + (dosed * n_u) ** 2)
    gel = [reached(p, air, (law.time,) * 2, -dosed, u, 0) for p in (0.05, 0.95)]
    assert [seen["gel"].earliest, seen["gel"].latest] == pytest.approx(gel, rel=2 * NEAR)
    trim = [seen["trim"].earliest, seen["trim"].latest]
    assert trim == pytest.approx([moment + 30 * MIN for moment in gel], rel=2 * NEAR)
    filled = found(layer(PLAIN, filled=True))["recoat_opens"]
    wider = at(0.95, 2 * HOUR, 0, later_u(sqrt(GEL_U**2 + 0.125**2)))
    assert filled.latest == pytest.approx(wider, rel=NEAR)


@settings(max_examples=40)
@given(
    st.lists(st.floats(16, 34), min_size=2, max_size=8), st.floats(0.2, 3), st.floats(0.7, 1.5),
    st.floats(1, 2), st.floats(0, 4),
)  # fmt: skip
def test_bands_hold_their_moment_and_a_surer_thermometer_narrows_them(
    celsius: list[float], uncertainty: float, factor: float, percent: float, application: float
) -> None:
    """Earliest before at before latest, well over the floor."""
    lived = trace([6 * n for n in range(len(celsius))] + [400], [*celsius, 20])
    cured = layer(PLAIN, factor=factor, percent=percent, finished=application * HOUR)
    sure, unsure = found(cured, lived, uncertainty / 2), found(cured, lived, uncertainty)
    for name in TIMED:
        inner, outer = sure[name], unsure[name]
        assert outer.earliest < outer.at < outer.latest  # type: ignore[operator]
        assert inner.earliest < inner.at < inner.latest  # type: ignore[operator]
        narrower = inner.latest - inner.earliest  # type: ignore[operator]
        assert narrower <= outer.latest - outer.earliest + 0.2  # type: ignore[operator]
    assert unsure["gel"].at < unsure["trim"].at  # type: ignore[operator]
    assert unsure["recoat_opens"].at < unsure["sandable"].at < unsure["full_cure"].at  # type: ignore[operator]


@settings(max_examples=40)
@given(st.lists(st.floats(11, 30), min_size=2, max_size=6), st.floats(0.5, 5))
def test_warmer_comes_sooner(celsius: list[float], warmer: float) -> None:
    """Every milestone, the closing of the window too."""
    lived = trace([5 * n for n in range(len(celsius))] + [600], [*celsius, 20])
    cold, warm = found(layer(PLAIN), lived), found(layer(PLAIN), lived.shifted(warmer))
    for name in TIMED:
        assert hours(warm[name]) < hours(cold[name])


def test_several_pots_open_by_the_last_and_close_by_the_first() -> None:
    """Gel and closing run from the first pot's mixing, the rest from the end of application."""
    seen = found(layer(PLAIN, started=HOUR, finished=3 * HOUR))
    assert hours(seen["gel"]) == pytest.approx(1.5, rel=NEAR)
    assert hours(seen["recoat_closes"]) == pytest.approx(21, rel=NEAR)
    assert hours(seen["recoat_opens"]) == pytest.approx(5, rel=NEAR)
    assert hours(seen["full_cure"]) == pytest.approx(75, rel=NEAR)


@pytest.mark.parametrize(("percent", "gel"), [(2.0, 0.375), (1.0, 0.75)])
def test_catalyst_acts_on_gel_and_three_quarters_of_it_on_the_rest(
    percent: float, gel: float
) -> None:
    """By the order n = 1 on gel, by 0.75 n on what follows; the order's own doubt widens both."""
    usual, seen = found(layer(PLAIN)), found(layer(PLAIN, percent=percent))
    later = (percent / 1.5) ** -0.75
    assert [hours(seen[n]) for n in ("gel", "recoat_opens", "recoat_closes")] == pytest.approx(
        [gel, 2 * later, 20 * later], rel=1e-3
    )
    for name in ("gel", "recoat_opens", "recoat_closes"):
        assert width(seen[name]) > width(usual[name])


def width(milestone: Milestone) -> float:
    """The width of a band in ln."""
    return widths(milestone.earliest, milestone.latest)


@pytest.mark.parametrize("factor", [1.3, 0.8])
def test_the_lot_s_factor_likewise(factor: float) -> None:
    """A slow lot opens late and closes late, each by three quarters of what its gel does."""
    seen, later = found(layer(PLAIN, factor=factor)), factor**0.75
    assert [hours(seen[n]) for n in ("gel", "recoat_opens", "recoat_closes")] == pytest.approx(
        [0.5 * factor, 2 * later, 20 * later], rel=NEAR
    )


def test_a_gel_that_a_hand_saw_outranks_the_sum_and_moves_the_rest() -> None:
    """Seen in its cup after 25 of 30 min: it gelled by then, and everything after comes sooner.

    The gel's own chance is cut to what it was by then; the posterior of S is integrated by SciPy,
    at the law's own anchor, where the energies play no part. On the part it says more: a film is
    later than a cup.
    """
    law = law_of(PLAIN)
    lived, percent = steady(law.temperature - 273.15), law.percent
    sheet = replace(PLAIN, reference_temperature=law.temperature, reference_percent=percent)
    gel, look = law.time, 25 / 30 * law.time
    seen = found(layer(sheet, cup_gelled_at=look), lived)
    beside = GEL_U
    share = float(norm.cdf(log(look / gel) / beside))
    expected = [at(p * share, gel, 0, beside) for p in (0.05, 0.5, 0.95)]
    told = seen["gel"]
    assert [told.earliest, told.at, told.latest] == pytest.approx(expected, rel=NEAR)
    assert (told.latest or 0) <= look
    assert (told.basis, told.computed) == ("observed", pytest.approx(gel, rel=NEAR))
    assert seen["trim"].at == pytest.approx(expected[1] + 30 * MIN, rel=NEAR)
    for name, sheets in (("recoat_opens", 2), ("recoat_closes", 20)):
        moments = [after_gel(p, look, gel, sheets * HOUR, GEL_U) for p in (0.05, 0.5, 0.95)]
        m = seen[name]
        assert [m.earliest, m.at, m.latest] == pytest.approx(moments, rel=1e-3)
        assert m.basis == "measured"
        assert hours(m) < sheets
    on_part = found(layer(sheet, gelled_at=look), lived)["recoat_closes"]
    film = [after_gel(p, look, gel, 20 * HOUR, GEL_U, film=True) for p in (0.05, 0.5, 0.95)]
    assert [on_part.earliest, on_part.at, on_part.latest] == pytest.approx(film, rel=1e-3)


def test_a_gel_seen_when_expected_settles_what_the_lot_does() -> None:
    """Its cup wet at 23 min, gelled at 25, of an expected 24: the rest is as told, and surer."""
    told = found(layer(PLAIN, factor=0.8))
    seen = found(layer(PLAIN, factor=0.8, cup_wet_at=23 * MIN, cup_gelled_at=25 * MIN))
    assert 23 * MIN <= seen["gel"].earliest <= seen["gel"].latest <= 25 * MIN  # type: ignore[operator]
    for name in ("recoat_opens", "recoat_closes", "sandable"):
        assert hours(seen[name]) == pytest.approx(hours(told[name]), rel=0.01)
        assert width(seen[name]) < 0.8 * width(told[name])


@pytest.mark.parametrize(
    ("surface", "cover", "never"),
    [
        ("air_inhibited", "none", {"sandable": "tacky-surface"}),
        ("air_inhibited", "film", {}),
        ("air_inhibited", "peel_ply", {}),
        ("waxed", "none", {"recoat_opens": "waxed-surface", "recoat_closes": "waxed-surface"}),
        ("unknown", "none", {"recoat_opens": "waxed-surface", "recoat_closes": "waxed-surface"}),
        ("waxed", "peel_ply", {}),
        ("amine_blush", "none", {}),
        ("plain", "none", {}),
    ],
)
def test_what_a_surface_never_does(surface: Surface, cover: Cover, never: dict[str, str]) -> None:
    """Tacky resin is never sandable, wax has no window; a cover keeps both away."""
    seen = found(layer(POLYESTER, surface=surface, cover=cover))
    assert {name: seen[name].why for name in TIMED if seen[name].at is None} == never


def test_a_milestone_may_have_a_temperature_of_its_own() -> None:
    """Full cure in 10 h at 30 °C is longer at 20 °C by the law, not by the clock."""
    sheet = replace(PLAIN, stages=(("full_cure", StageTime(10 * HOUR, kelvin(30))),))
    expected = 10 * rate(kelvin(30), 50e3, kelvin(20))
    assert hours(found(layer(sheet))["full_cure"]) == pytest.approx(expected, rel=NEAR)
    assert hours(found(layer(sheet), steady(30))["full_cure"]) == pytest.approx(10, rel=NEAR)


def test_what_the_sheet_does_not_say_is_never_made_up() -> None:
    """A missing time is 'not-on-sheet'; only closing falls back, to the wall."""
    seen = found(layer(replace(POLYESTER, stages=())))
    for name in STAGES:
        if name != "recoat_closes":
            expected = "tacky-surface" if name == "sandable" else "not-on-sheet"
            assert (seen[name].at, seen[name].why) == (None, expected)
    day = 24 * HOUR
    assumed = "The sheet gives no closing: 24 h after mixing, assumed."
    assert seen["recoat_closes"] == Milestone(day, day, day, "assumed", note=assumed)


def test_a_product_without_gel_times_still_cures() -> None:
    """A one-part coat has no gel and no trim, but its other times, at an assumed E."""
    sheet = CureSheet(
        Mix("one_part"), "plain", reference_temperature=kelvin(20),
        stages=(("full_cure", StageTime(24 * HOUR)),),
    )  # fmt: skip
    law = undosed(kelvin(20))
    pot = LaidPot(None, belief(law), 0.0)
    coat = Layer(sheet, law, (pot,), 0.0, "plain")
    seen = found(coat)
    assert (seen["gel"].why, seen["trim"].why) == ("not-on-sheet", "not-on-sheet")
    assert hours(seen["full_cure"]) == pytest.approx(24, rel=NEAR)
    assert hard_by(coat, steady(20)) == float("inf")
    looked_at = replace(coat, pots=(replace(pot, gelled_at=HOUR),))
    looked = found(looked_at)["full_cure"]
    assert looked.at == pytest.approx(seen["full_cure"].at, rel=NEAR)


def test_an_assumed_energy_widens_the_band_where_it_bends_the_law() -> None:
    """Far from the one gel time, 44 and 56 kJ/mol differ; at it, they don't. Worked by SciPy."""
    one = replace(POLYESTER, gel_points=POLYESTER.gel_points[2:3])
    near, far = found(layer(one))["gel"], found(layer(one), steady(28))["gel"]
    u, law = sqrt(UNTESTED_U**2 + 0.05**2), law_of(one)
    assert pytest.approx((50e3 - 10e3 / sqrt(3), 50e3 + 10e3 / sqrt(3))) == law.belief().E
    expected = [at(p, 30 * MIN, 0, u) for p in (0.05, 0.95)]
    assert [near.earliest, near.latest] == pytest.approx(expected, rel=NEAR)
    air = stepped(law.belief(), law.temperature, (0, 28))
    expected = [reached(p, air, (30 * MIN,) * 2, 0, u, 0) for p in (0.05, 0.5, 0.95)]
    assert [far.earliest, far.at, far.latest] == pytest.approx(expected, rel=NEAR)
    assert width(far) > 1.02 * width(near)


def test_two_part_layers_have_no_percent() -> None:
    """Epoxy's gel and stages depend on temperature and lot alone."""
    seen = found(layer(EPOXY, factor=1.2))
    assert hours(seen["gel"]) == pytest.approx(
        1.2 * layer(EPOXY).law.gel_time(kelvin(20), None) / HOUR, rel=NEAR
    )
    assert hours(seen["recoat_opens"]) == pytest.approx(2 * 1.2**0.75, rel=NEAR)
    assert found(layer(WAXED))["sandable"].at == pytest.approx(6 * HOUR, rel=NEAR)
