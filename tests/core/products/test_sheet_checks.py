"""Cure sheets refused when they say too little, or contradict themselves."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.errors import CureSheetInconsistent, CureSheetMissing, Refusal, Refusals
from cureyard_service.core.products import sheet_checks
from cureyard_service.core.products.cure_sheet import CureSheet, GelPoint, Mix, StageTime

from ..makers import EPOXY, HOUR, POLYESTER, kelvin


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
