"""Milestones: the sheet's times along a temperature, and what pots, lots and hands change."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.forecast import milestones
from cureyard_service.core.cure.layer import Cover, LaidPot, Layer
from cureyard_service.core.cure.milestones import NAMES, Milestone
from cureyard_service.core.products.cure_sheet import STAGES, CureSheet, Mix, StageTime, Surface
from cureyard_service.core.products.gel_law import rate, undosed
from hypothesis import given, settings
from hypothesis import strategies as st

from ..makers import EPOXY, HOUR, MIN, POLYESTER, WAXED, hard_by, kelvin, layer, steady, trace

PLAIN = replace(POLYESTER, surface="plain", closes_after=1000 * HOUR)
TIMED = tuple(name for name in NAMES if name != "film")
"""The milestones of a sheet that times no film."""


def found(
    cured: Layer, lived: Trace | None = None, uncertainty: float = 0.0
) -> dict[str, Milestone]:
    """The milestones of a layer, at a steady 20 °C known exactly unless told otherwise."""
    return milestones(cured, lived or steady(20), uncertainty)


def hours(milestone: Milestone) -> float:
    """When a milestone comes, in hours."""
    assert milestone.at is not None, milestone.why
    return milestone.at / HOUR


def test_at_the_sheet_s_own_conditions_come_the_sheet_s_own_times() -> None:
    """Gel after 30 min, trim 30 min later, the rest as printed; all measured."""
    seen = found(layer(PLAIN))
    assert {name: hours(seen[name]) for name in TIMED} == pytest.approx(
        {"gel": 0.5, "trim": 1, "recoat_opens": 2, "recoat_closes": 20, "sandable": 6,
         "full_cure": 72}
    )  # fmt: skip
    assert {seen[name].basis for name in TIMED} == {"measured"}
    assert seen["film"].why == "not-on-sheet"


def test_bands_are_a_quarter_on_gel_and_a_third_on_what_follows() -> None:
    """±25 % and ±35 % of a sheet without scatter, at an exact temperature."""
    seen = found(layer(PLAIN))
    for name, sheet, width in (
        ("gel", 0.5, 0.25),
        ("recoat_opens", 2, 0.35),
        ("sandable", 6, 0.35),
    ):
        low, high = seen[name].earliest or 0, seen[name].latest or 0
        assert (low / HOUR, high / HOUR) == pytest.approx(
            (sheet * (1 - width), sheet * (1 + width))
        )
    trim = seen["trim"]
    assert (trim.earliest, trim.latest) == pytest.approx((52.5 * MIN, 67.5 * MIN))
    unsure = found(layer(PLAIN, unsure=True))["gel"]
    assert unsure.earliest == pytest.approx(15 * MIN)


@settings(max_examples=40)
@given(
    st.lists(st.floats(12, 34), min_size=2, max_size=8), st.floats(0.2, 3), st.floats(0.7, 1.5),
    st.floats(1, 2), st.floats(0, 4),
)  # fmt: skip
def test_bands_hold_their_moment_and_a_surer_band(
    celsius: list[float], uncertainty: float, factor: float, percent: float, application: float
) -> None:
    """Earliest before at before latest; a surer thermometer's band lies inside."""
    lived = trace([6 * n for n in range(len(celsius))] + [400], [*celsius, 20])
    cured = layer(PLAIN, factor=factor, percent=percent, finished=application * HOUR)
    sure, unsure = found(cured, lived, uncertainty / 2), found(cured, lived, uncertainty)
    for name in TIMED:
        inner, outer = sure[name], unsure[name]
        assert inner.at == outer.at
        assert outer.earliest <= inner.earliest < inner.at  # type: ignore[operator]
        assert inner.at < inner.latest  # type: ignore[operator]
        assert outer.latest is None or inner.latest <= outer.latest  # type: ignore[operator]
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
    assert hours(seen["gel"]) == pytest.approx(1.5)
    assert hours(seen["recoat_closes"]) == pytest.approx(21)
    assert hours(seen["recoat_opens"]) == pytest.approx(5)
    assert hours(seen["full_cure"]) == pytest.approx(75)


@pytest.mark.parametrize(
    ("percent", "gel", "opens", "closes"),
    [(2.0, 0.375, 2 * (4 / 3) ** -0.5, 15), (1.0, 0.75, 3, 20 * 1.5**0.5)],
)
def test_catalyst_acts_on_gel_surely_and_on_the_rest_unsurely(
    percent: float, gel: float, opens: float, closes: float
) -> None:
    """With exponents a half and n the window opens by the later and shuts by the earlier."""
    seen = found(layer(PLAIN, percent=percent))
    assert [hours(seen[n]) for n in ("gel", "recoat_opens", "recoat_closes")] == pytest.approx(
        [gel, opens, closes]
    )


@pytest.mark.parametrize(
    ("factor", "gel", "opens", "closes"), [(1.3, 0.65, 2.6, 20), (0.8, 0.4, 2, 16)]
)
def test_the_lot_s_factor_likewise(factor: float, gel: float, opens: float, closes: float) -> None:
    """A slow lot opens late and is not trusted to close late; a fast one the other way."""
    seen = found(layer(PLAIN, factor=factor))
    assert [hours(seen[n]) for n in ("gel", "recoat_opens", "recoat_closes")] == pytest.approx(
        [gel, opens, closes]
    )


def test_a_gel_that_a_hand_saw_outranks_the_sum_and_rescales_the_rest() -> None:
    """Seen after 15 of 30 min: everything after comes twice as soon; the sum is kept beside it."""
    seen = found(layer(PLAIN, gelled_at=15 * MIN))
    gel = seen["gel"]
    assert (gel.at, gel.earliest, gel.latest, gel.basis) == (900, 900, 900, "observed")
    assert gel.computed == pytest.approx(30 * MIN)
    assert seen["trim"].at == 45 * MIN
    assert hours(seen["recoat_opens"]) == pytest.approx(1)
    assert hours(seen["recoat_closes"]) == pytest.approx(10)


def test_a_gel_seen_when_expected_settles_what_the_lot_does() -> None:
    """A lot of factor 0.8 that gels as the factor says runs at 0.8 throughout."""
    seen = found(layer(PLAIN, factor=0.8, gelled_at=24 * MIN))
    assert hours(seen["recoat_opens"]) == pytest.approx(1.6)
    assert hours(seen["recoat_closes"]) == pytest.approx(16)


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
    assert hours(found(layer(sheet))["full_cure"]) == pytest.approx(expected)
    assert hours(found(layer(sheet), steady(30))["full_cure"]) == pytest.approx(10, rel=1e-6)


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
    pot = LaidPot(None, 1.0, 0.0)
    coat = Layer(sheet, undosed(kelvin(20)), (pot,), 0.0, "plain")
    seen = found(coat)
    assert (seen["gel"].why, seen["trim"].why) == ("not-on-sheet", "not-on-sheet")
    assert hours(seen["full_cure"]) == pytest.approx(24)
    assert hard_by(coat, steady(20)) == float("inf")
    looked_at = replace(coat, pots=(replace(pot, gelled_at=HOUR),))
    assert found(looked_at)["full_cure"].at == seen["full_cure"].at


def test_an_assumed_energy_widens_the_band_where_it_bends_the_law() -> None:
    """Far from the one gel time, 40 to 60 kJ/mol differ; at it, they don't."""
    one = replace(POLYESTER, gel_points=POLYESTER.gel_points[2:3])
    near, far = found(layer(one))["gel"], found(layer(one), steady(24))["gel"]
    assert (near.earliest, near.latest) == pytest.approx((0.75 * 30 * MIN, 1.25 * 30 * MIN))
    at = far.at or 0
    assert far.earliest < 0.75 * at  # type: ignore[operator]
    assert far.latest > 1.25 * at  # type: ignore[operator]


def test_two_part_layers_have_no_percent() -> None:
    """Epoxy's gel and stages depend on temperature and lot alone."""
    seen = found(layer(EPOXY, factor=1.2))
    assert hours(seen["gel"]) == pytest.approx(
        1.2 * layer(EPOXY).law.gel_time(kelvin(20), None) / HOUR
    )
    assert hours(seen["recoat_opens"]) == pytest.approx(2.4)
    assert found(layer(WAXED))["sandable"].at == pytest.approx(6 * HOUR)
