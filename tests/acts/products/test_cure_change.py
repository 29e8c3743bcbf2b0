"""A figure of a cure sheet changed: a new revision, the last one but for that figure."""

from __future__ import annotations

from dataclasses import asdict
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.products import product as add_product
from cureyard_service.acts.products.cure_sheet_views import SheetView, StageView
from cureyard_service.acts.products.cure_sheets import current
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.products.cure_sheet import as_plain, from_plain
from cureyard_service.store import tables
from peewee import Database

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, heat, span

pytestmark = pytest.mark.usefixtures("books")

SHEET = yard.read_sheet(makers.sheet())


def changed(code: str = "LAM", **change: Any) -> list[SheetView]:
    """A product's sheets after a change of one."""
    told = add_product.change_product(finding.product(code), cure_change=change, now=NOW, hand=HAND)
    assert told.cure is not None
    return told.cure.sheets


def sheets(code: str = "LAM") -> list[SheetView]:
    """A product's sheets of now."""
    cure = add_product.show_product(finding.product(code)).cure
    assert cure is not None
    return cure.sheets


def stage(time: str, temperature: str | None = None) -> dict[str, Any]:
    """A milestone's time as a request has it."""
    return {"time": span(time), "temperature": None if temperature is None else heat(temperature)}


def gel_times(temperature: str, time: str, percent: float | None = 2) -> list[dict[str, Any]]:
    """A gel time as the acts take it, alone in its list."""
    read = yard.read_sheet({"gel_times": [makers.gel_time(temperature, time, percent)]})
    return list(read["gel_times"])


@pytest.mark.parametrize(
    ("change", "path", "value"),
    [
        ({"milestones": {"sandable": stage("10 h")}}, ("milestones", "sandable", "time"), 36_000),
        ({"catalyst_percent_max": Decimal("2.5")}, ("catalyst_percent_max",), 2.5),
        ({"cure_min": heat("10 degC")}, ("cure_min",), 283.15),
        ({"reference": {"catalyst_percent": Decimal("1.5")}},
         ("reference", "catalyst_percent"), 1.5),
        ({"surface": "waxed"}, ("surface",), "waxed"),
        ({"partners": ["HARD"]}, ("partners",), ["PEROX", "HARD"]),
    ],
)  # fmt: skip
def test_that_figure_and_no_other(
    change: dict[str, Any], path: tuple[str, ...], value: object
) -> None:
    """Every other one is as it was, and so is the revision before."""
    before = asdict(sheets()[0])
    first = tables.CureSheet.get(tables.CureSheet.revision == 1).body
    (after,) = changed(**change)
    place: Any = before
    for name in path[:-1]:
        place = place[name]
    assert place[path[-1]] != value
    place[path[-1]] = value
    assert asdict(after) == before
    revisions = list(tables.CureSheet.select().where(tables.CureSheet.product == 2))
    assert [row.revision for row in revisions] == [1, 2]
    assert revisions[0].body == first


def points(sheet: SheetView) -> list[tuple[int, float | None, float]]:
    """A sheet's gel times: °C, percent, minutes."""
    return [
        (round(p.temperature - 273.15), p.catalyst_percent, getattr(p, "time", 0) / 60)
        for p in sheet.gel_times
    ]


def test_a_gel_time_takes_the_place_of_the_same_one() -> None:
    """At its temperature and percent, in °F as in °C; the sheet's others stay."""
    rest = [(15, 2, 28), (20, 2, 20), (20, 1, 40)]
    (before,) = sheets()
    assert points(before) == [*rest[:2], (25, 2, 14.5), rest[2]]
    (after,) = changed(gel_times=gel_times("77 degF", "12 min"))
    assert points(after) == [*rest[:2], (25, 2, 12), rest[2]]
    assert after.milestones == sheet_milestones()


def test_another_gel_time_joins_the_others() -> None:
    """One at a percent that the sheet does not have yet; of two parts, one without a percent."""
    (before,) = sheets()
    (after,) = changed(gel_times=gel_times("25 degC", "27 min", 1))
    assert points(after) == [*points(before), (25, 1, 27)]
    changed("EPOX", gel_times=gel_times("30 degC", "21 min", None))
    (epoxy,) = changed("EPOX", gel_times=gel_times("20 degC", "41 min", None))
    assert points(epoxy) == [(20, None, 41), (30, None, 21)]


def test_a_partner_that_the_sheet_has_changes_nothing_of_them() -> None:
    """It is named as it would be of several sheets, in any case of letters."""
    changed(partners=["HARD"])
    (after,) = changed(partners=["perox"], hardness_min=40)
    assert after.partners == ["PEROX", "HARD"]


def sheet_milestones() -> dict[str, StageView]:
    """What the yard's sheet has."""
    times = {"recoat_opens": 7200, "recoat_closes": 72_000, "sandable": 28_800}
    return {name: StageView(time, None) for name, time in times.items()}


def test_a_stage_keeps_the_temperature_that_it_was_given_at() -> None:
    """'20 h at 23 °C' becomes '10 h' at 23 °C still."""
    changed(milestones={"sandable": stage("20 h", "23 degC")})
    (after,) = changed(milestones={"sandable": stage("10 h")})
    assert after.milestones["sandable"] == StageView(36_000, 296.15)


def test_one_least_temperature_stands_for_both() -> None:
    """For laying up and for curing, as on a new sheet."""
    (after,) = changed(temperature_min=heat("15 degC"))
    assert (after.apply_min, after.cure_min) == (288.15, 288.15)


def test_of_several_sheets_the_one_that_is_named(books: Database) -> None:
    """By a catalyst that it holds for; which it is must be said."""
    yard.add(products=[makers.catalyst("SLOW")])
    yard.revise("LAM", makers.sheet(), makers.sheet("SLOW"))
    before = sheets()
    later = {"sandable": stage("10 h")}
    after = changed(partners=["slow"], milestones=later)
    assert after[0] == before[0]
    assert after[1].partners == ["SLOW"]
    assert after[1].milestones["sandable"].time == 36_000
    rows = yard.contents(books)
    for named in ({}, {"partners": ["HARD"]}, {"partners": ["SLOW", "PEROX"]}):
        with pytest.raises(errors.CureSheetMissing, match="PEROX; SLOW") as refused:
            changed(milestones=later, **named)
        assert refused.value.pointer == "/cure_change/with"
    assert yard.contents(books) == rows


def test_what_a_sheet_may_not_say_is_refused(books: Database) -> None:
    """The sheet as it would be is judged whole; beside a whole sheet there is no change."""
    before = yard.contents(books)
    with pytest.raises(errors.CureSheetInconsistent):
        changed(milestones={"recoat_closes": stage("1 h")})
    with pytest.raises(errors.CureSheetMissing):
        changed("MICROS", surface="waxed")
    with pytest.raises(errors.Invalid, match="both replaces"):
        add_product.change_product(
            finding.product("LAM"), cure=[SHEET], cure_change={"surface": "waxed"},
            now=NOW, hand=HAND,
        )  # fmt: skip
    assert yard.contents(books) == before


def test_the_first_sheet_may_come_so() -> None:
    """A product that has none yet gets one of what is typed, if that is a sheet."""
    add_product.add_product(code="TOP", name="Top", role="coating", now=NOW, hand=HAND)
    (only,) = changed("TOP", **SHEET)
    assert only.milestones == sheet_milestones()


def test_a_least_hardness_has_its_scale() -> None:
    """Barcol 934-1 unless it is said; the least alone may change later."""
    (after,) = changed(hardness_min=40)
    assert (after.hardness_min, after.hardness_scale) == (40, "barcol_934_1")
    (after,) = changed(hardness_min=80, hardness_scale="shore_d")
    assert (after.hardness_min, after.hardness_scale) == (80, "shore_d")


def test_a_sheet_of_before_the_scales_is_read() -> None:
    """Its least was named for Barcol."""
    (kept,) = current(finding.product("LAM").id)
    read = from_plain(as_plain(kept.sheet) | {"barcol_min": 45})
    assert (read.hardness_min, read.hardness_scale) == (45, "barcol_934_1")
