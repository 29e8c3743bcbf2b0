"""Cure sheets: kept as plain values, refused when they say too little or contradict themselves."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from cureyard_service.core import cure_sheet, sheet_checks
from cureyard_service.core.cure_sheet import CureSheet, GelPoint, Mix, StageTime, sheet_for
from cureyard_service.core.errors import (
    CureSheetInconsistent,
    CureSheetMissing,
    Refusal,
    Refusals,
)
from hypothesis import given
from hypothesis import strategies as st

from .makers import EPOXY, HOUR, MIN, POLYESTER, kelvin

maybe = st.none() | st.floats(0.5, 4)
sheets = st.builds(
    CureSheet,
    mix=st.builds(Mix, st.just("catalysed")) | st.just(Mix("two_part", (100.0, 25.0), "volume")),
    surface=st.sampled_from(cure_sheet.SURFACES),
    partners=st.lists(st.text(max_size=5)).map(tuple),
    gel_points=st.lists(
        st.builds(GelPoint, st.floats(273, 310), maybe, st.floats(60, 600), st.floats(600, 900))
    ).map(tuple),
    percent_min=maybe,
    percent_max=maybe,
    cure_min=st.none() | st.floats(273, 290),
    stages=st.lists(
        st.tuples(
            st.sampled_from(cure_sheet.STAGES),
            st.builds(StageTime, st.floats(0, 1e6), st.none() | st.floats(273, 310)),
        ),
        unique_by=lambda stage: stage[0],
    ).map(tuple),
    closes_after=st.none() | st.floats(0, 1e6),
    pot_max=st.none() | st.integers(1, 10**7),
    notes=st.lists(st.text(max_size=5)).map(tuple),
)


@given(sheets)
def test_a_sheet_comes_back_from_its_json(sheet: CureSheet) -> None:
    """A revision kept as JSON is the sheet that a layup was planned with, to the last bit."""
    kept = json.dumps(cure_sheet.as_plain(sheet))
    assert cure_sheet.from_plain(json.loads(kept)) == sheet


def test_plain_form_leaves_out_what_the_sheet_does_not_say() -> None:
    """Silence is not kept as null; a zero is kept, for it says something."""
    sheet = CureSheet(Mix("one_part"), "plain", stages=(("recoat_opens", StageTime(0.0)),))
    plain = cure_sheet.as_plain(replace(sheet, closes_after=0.0))
    assert set(plain) == {"mix", "surface", "reference_temperature", "stages", "closes_after"}
    assert cure_sheet.from_plain(plain).stage("recoat_opens") == StageTime(0.0)


def test_whole_sheets_pass() -> None:
    """A catalysed, a two-part and a one-part sheet as yards type them."""
    for sheet in (POLYESTER, EPOXY, CureSheet(Mix("one_part"), "plain")):
        sheet_checks.check(sheet)


ONE_PART = CureSheet(Mix("one_part"), "plain")
FAULTS: list[tuple[CureSheet, type[Refusal], str]] = [
    (replace(EPOXY, mix=Mix("two_part")), CureSheetMissing, "mix"),
    (replace(EPOXY, mix=Mix("two_part", (100, 25))), CureSheetMissing, "mix"),
    (replace(EPOXY, mix=Mix("two_part", (0, 25), "mass")), CureSheetInconsistent, "mix/parts"),
    (
        replace(POLYESTER, mix=Mix("catalysed", (100, 2), "mass")),
        CureSheetInconsistent,
        "mix/parts",
    ),
    (replace(ONE_PART, partners=("mekp-9",)), CureSheetInconsistent, "with"),
    (replace(POLYESTER, gel_points=()), CureSheetMissing, "gel_times"),
    (replace(EPOXY, gel_points=()), CureSheetMissing, "gel_times"),
    (
        replace(POLYESTER, gel_points=(GelPoint(293, None, 60, 60),)),
        CureSheetInconsistent,
        "gel_times/0/catalyst_percent",
    ),
    (
        replace(EPOXY, gel_points=(*EPOXY.gel_points, GelPoint(293, 1.5, 60, 60))),
        CureSheetInconsistent,
        "gel_times/2/catalyst_percent",
    ),
    (
        replace(POLYESTER, gel_points=(GelPoint(293, 1.5, 90, 60),)),
        CureSheetInconsistent,
        "gel_times/0",
    ),
    (
        replace(POLYESTER, gel_points=(GelPoint(293, 1.5, 0, 60),)),
        CureSheetInconsistent,
        "gel_times/0",
    ),
    (
        replace(POLYESTER, gel_points=(GelPoint(293, 0.0, 60, 60),)),
        CureSheetInconsistent,
        "gel_times/0/catalyst_percent",
    ),
    (replace(POLYESTER, percent_min=0.0), CureSheetInconsistent, "catalyst_percent_min"),
    (
        replace(POLYESTER, reference_percent=0.0),
        CureSheetInconsistent,
        "reference/catalyst_percent",
    ),
    (replace(POLYESTER, pot_max=0), CureSheetInconsistent, "pot_max"),
    (replace(POLYESTER, gel_mass=0), CureSheetInconsistent, "gel_mass"),
    (replace(POLYESTER, film_gel=0.0), CureSheetInconsistent, "film_gel"),
    (replace(POLYESTER, percent_min=2.1), CureSheetInconsistent, "catalyst_percent_min"),
    (replace(POLYESTER, percent_max=4.01), CureSheetInconsistent, "catalyst_percent_max"),
    (replace(POLYESTER, temperature_max=kelvin(13)), CureSheetInconsistent, "temperature_max"),
    (
        replace(POLYESTER, apply_min=None, temperature_max=kelvin(10)),
        CureSheetInconsistent,
        "temperature_max",
    ),
]


@pytest.mark.parametrize(("sheet", "kind", "place"), FAULTS)
def test_each_fault_is_refused_where_it_stands(
    sheet: CureSheet, kind: type[Refusal], place: str
) -> None:
    """The slug says which sort of fault, the pointer where, the advice what to do."""
    with pytest.raises(kind) as caught:
        sheet_checks.check(sheet)
    assert caught.value.pointer == f"/cure/{place}"
    assert caught.value.advice


@pytest.mark.parametrize(
    ("first", "then"),
    [
        ("recoat_opens", "recoat_closes"),
        ("recoat_opens", "full_cure"),
        ("sandable", "full_cure"),
    ],
)
def test_milestones_out_of_order_are_refused(first: str, then: str) -> None:
    """A window that shuts before it opens, or sanding after full cure, was typed wrong."""
    late, early = StageTime(5 * HOUR), StageTime(4 * HOUR)
    sheet_checks.check(replace(POLYESTER, stages=((first, early), (then, late))))
    with pytest.raises(CureSheetInconsistent, match=f"'{first}' comes after"):
        sheet_checks.check(replace(POLYESTER, stages=((first, late), (then, early))))


def test_milestones_at_temperatures_of_their_own_are_not_compared() -> None:
    """5 h at 15 °C may well come before 4 h at 30 °C."""
    stages = (("recoat_opens", StageTime(5 * HOUR, kelvin(30))), ("full_cure", StageTime(4 * HOUR)))
    sheet_checks.check(replace(POLYESTER, stages=stages))


def test_several_faults_are_told_at_once() -> None:
    """A sheet is mended in one go, not fault by fault."""
    with pytest.raises(Refusals) as caught:
        sheet_checks.check(replace(POLYESTER, gel_points=(), percent_max=6.0, pot_max=0))
    places = [refusal.pointer for refusal in caught.value.refusals]
    assert places == ["/cure/pot_max", "/cure/gel_times", "/cure/catalyst_percent_max"]


def test_where_the_sheet_is_silent_the_trade_speaks_and_is_named() -> None:
    """1 to 2 %, marked assumed; the greatest pot is five test cups, or a kilogram."""
    silent = replace(POLYESTER, percent_min=None, percent_max=None, pot_max=None)
    assert (silent.percent_limits, silent.limits_assumed) == ((1.0, 2.0), True)
    assert (POLYESTER.percent_limits, POLYESTER.limits_assumed) == ((1.0, 2.0), False)
    assert replace(silent, percent_max=3.0).percent_limits == (1.0, 3.0)
    assert replace(silent, percent_max=3.0).limits_assumed
    assert silent.greatest_pot == 500_000
    assert replace(silent, gel_mass=150_000).greatest_pot == 750_000
    assert replace(silent, gel_mass=300_000).greatest_pot == 1_000_000
    assert POLYESTER.greatest_pot == 5_000_000


def test_a_product_s_sheet_is_found_by_its_partner() -> None:
    """Case is nothing; one sheet needs no name; several do; an unknown pair is refused."""
    fast = replace(EPOXY, partners=("Fast-H",))
    assert sheet_for([EPOXY], None, "ep") is EPOXY
    assert sheet_for([EPOXY, fast], "fast-h", "ep") is fast
    for given_sheets, partner, word in (
        ([], None, "has no cure sheet"),
        ([EPOXY], "mekp-9", "no cure sheet with mekp-9"),
        ([EPOXY, fast], None, "several"),
    ):
        with pytest.raises(CureSheetMissing, match=word):
            sheet_for(given_sheets, partner, "ep")


@pytest.mark.parametrize(
    ("apply_min", "cure_min", "expected"),
    [(None, None, (285.0, 285.0)), (288.0, None, (288.0, 285.0)), (None, 280.0, (285.0, 280.0))],
)
def test_one_least_temperature_serves_both(
    apply_min: float | None, cure_min: float | None, expected: tuple[float, float]
) -> None:
    """Where the sheet tells laying up from curing, it is believed."""
    sheet = replace(POLYESTER, apply_min=apply_min, cure_min=cure_min)
    floored = cure_sheet.with_floor(sheet, 285.0)
    assert (floored.apply_min, floored.cure_min) == expected
    assert cure_sheet.with_floor(sheet, None) == sheet


def test_stages_are_found_by_name() -> None:
    """A milestone that the sheet has no time for is None, not zero."""
    stages: Any = (("sandable", StageTime(30 * MIN)),)
    sheet = replace(POLYESTER, stages=stages)
    assert sheet.stage("sandable") == StageTime(30 * MIN)
    assert sheet.stage("full_cure") is None
