"""Cure sheets: kept as plain values, refused when they say too little or contradict themselves."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from cureyard_service.core.errors import (
    CureSheetMissing,
    PartnerMissing,
)
from cureyard_service.core.products import cure_sheet
from cureyard_service.core.products.cure_sheet import (
    CureSheet,
    GelPoint,
    Mix,
    StageTime,
    partner_for,
    sheet_for,
)
from hypothesis import given
from hypothesis import strategies as st

from ..makers import EPOXY, MIN, POLYESTER

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


def test_where_the_sheet_is_silent_the_trade_speaks_and_is_named() -> None:
    """1 to 2 %, marked assumed; the greatest pot is five test cups, or a kilogram."""
    silent = replace(POLYESTER, percent_min=None, percent_max=None, pot_max=None)
    assert (silent.percent_limits, silent.limits_assumed) == ((1.0, 2.0), True)
    assert (POLYESTER.percent_limits, POLYESTER.limits_assumed) == ((1.0, 2.0), False)
    assert replace(silent, percent_max=3.0).percent_limits == (1.0, 3.0)
    assert replace(silent, percent_max=3.0).limits_assumed


@pytest.mark.parametrize(
    ("chemistry", "greatest"),
    [("polyester", 1_000_000), ("vinyl_ester", 1_000_000), ("epoxy", 500_000),
     ("polyurethane", 500_000), (None, 500_000)],
)  # fmt: skip
def test_a_sheet_without_a_greatest_pot_has_the_trade_s(
    chemistry: str | None, greatest: int
) -> None:
    """1 kg of polyester or vinyl ester, 0.5 kg of epoxy mix (common practice, no source); of
    anything else the least. The gel times' test mass, stated or not, has no say in it."""
    for gel_mass in (None, 50_000, 1_000_000):
        silent = replace(POLYESTER, pot_max=None, gel_mass=gel_mass)
        assert silent.greatest_pot(chemistry) == greatest
    assert POLYESTER.greatest_pot(chemistry) == 5_000_000


def test_a_product_s_sheet_is_found_by_its_partner() -> None:
    """Case is nothing; one sheet needs no name; several do; an unknown pair is refused."""
    fast = replace(EPOXY, partners=("Fast-H",))
    assert sheet_for([EPOXY], None, "ep") is EPOXY
    assert sheet_for([EPOXY, fast], "fast-h", "ep") is fast
    for given_sheets, partner, word in (
        ([], None, "has no cure sheet"),
        ([EPOXY], "mekp-9", "no cure sheet with mekp-9"),
    ):
        with pytest.raises(CureSheetMissing, match=word):
            sheet_for(given_sheets, partner, "ep")
    with pytest.raises(PartnerMissing, match="several") as caught:
        sheet_for([EPOXY, fast], None, "ep")
    assert caught.value.fields == {"partners": ["slow-hardener", "Fast-H"]}


def test_what_does_not_cure_alone_has_a_partner() -> None:
    """The one named, else the only one; of several, or of none, nobody guesses."""
    several, silent = replace(EPOXY, partners=("slow", "fast")), replace(POLYESTER, partners=())
    assert partner_for(several, "fast", "ep") == "fast"
    assert partner_for(EPOXY, None, "ep") == "slow-hardener"
    assert partner_for(CureSheet(Mix("one_part"), "plain"), None, "putty") is None
    for sheet, word in ((several, "hardener"), (silent, "names none")):
        with pytest.raises(PartnerMissing, match=word):
            partner_for(sheet, None, "ep")
    assert partner_for(silent, None, "ep", weighed=False) is None
    with pytest.raises(PartnerMissing):
        partner_for(several, None, "ep", weighed=False)


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
