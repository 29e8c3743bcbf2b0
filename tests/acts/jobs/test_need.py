"""Needs reserve stock: for whom it is kept, who is refused, and when it is let go.

OWASP API Security Top 10 (2023): API6 unrestricted access to sensitive business flows (nobody
draws what another job has reserved).
"""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from cureyard_service.acts.jobs import job, need
from cureyard_service.acts.jobs.need import NeedView
from cureyard_service.acts.pots.card import show_batch
from cureyard_service.acts.stock import draw, reverse
from cureyard_service.acts.stock.lot import show_lot
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.store import tables
from cureyard_service.store.engine.database import db
from hypothesis import given, settings
from hypothesis import strategies as st
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, q

pytestmark = pytest.mark.usefixtures("books")
KG = 1_000_000


def needs(job: str, *wanted: dict[str, Any], now: int = NOW) -> list[NeedView]:
    """Needs added to a job, and all that it has then."""
    return need.add_needs(finding.job(job), wanted=wanted, now=now, hand=HAND).needs


def of(product: str, quantity: str, **facts: Any) -> dict[str, Any]:
    """One need."""
    return {"product": product, "quantity": q(quantity), **facts}


def shown(job: str) -> list[NeedView]:
    """A job's needs in force."""
    return need.show_needs(finding.job(job), NOW).needs


def take(quantity: str, job: str, **facts: Any) -> dict[str, Any]:
    """A draw to a job."""
    asked = {"kind": "draw", "now": NOW, "hand": HAND} | facts
    return draw.draw(quantity=q(quantity), job=job, **asked)


def free(lot: tables.Lot) -> tuple[int, int]:
    """Reserved and free of a lot, as it is shown."""
    told = show_lot(finding.lot(lot.id), NOW)
    assert told.reserved[0] + told.free[0] == told.on_hand[0]
    return told.reserved[0], told.free[0]


def test_a_need_reserves_what_expires_first() -> None:
    """It says from which lot, and what is short; the lots say what is free."""
    late = yard.receive("MICROS", "2 kg", expires_on=yard.day(90))
    soon = yard.receive("MICROS", "1 kg", expires_on=yard.day(30))
    (told,) = needs("D-7", of("MICROS", "1.5 kg"))
    assert [(lot.id, lot.quantity[0]) for lot in told.lots] == [
        (soon.id, KG), (late.id, KG // 2),
    ]  # fmt: skip
    assert (told.short[0], told.drawn[0]) == (0, 0)
    assert (free(soon), free(late)) == ((KG, 0), (KG // 2, 3 * KG // 2))


def test_its_own_draw_fills_it_first() -> None:
    """And what is drawn is not reserved any more."""
    lot = yard.receive("MICROS", "2 kg")
    needs("D-7", of("MICROS", "1.5 kg"))
    take("1 kg", "D-7", product="MICROS")
    (told,) = shown("D-7")
    assert (told.drawn[0], told.reserved[0]) == (KG, KG // 2)
    assert free(lot) == (KG // 2, KG // 2)


def test_what_was_drawn_before_it_fills_nothing() -> None:
    """A need is of what the job will take from now on."""
    yard.receive("MICROS", "4 kg")
    take("1 kg", "D-7", product="MICROS")
    (told,) = needs("D-7", of("MICROS", "1.5 kg"))
    assert (told.drawn[0], told.reserved[0]) == (0, 3 * KG // 2)


def test_an_undone_draw_is_wanted_again() -> None:
    """The mirror gives the need back what it had filled."""
    yard.receive("MICROS", "2 kg")
    needs("D-7", of("MICROS", "1.5 kg"))
    line = take("1 kg", "D-7", product="MICROS").movements[0].id
    reverse.reverse(reverses=line, reason="typed wrong", now=NOW, hand=HAND)
    assert shown("D-7")[0].reserved[0] == 3 * KG // 2


def test_another_job_is_refused_below_free(books: Database) -> None:
    """By product and by lot; the free part it may have, and nothing changes by a refusal."""
    lot = yard.receive("MICROS", "2 kg")
    needs("D-7", of("MICROS", "1.5 kg"))
    before = yard.contents(books)
    for asked in ({"product": "MICROS"}, {"lot": lot.id}):
        with pytest.raises(errors.ReservedStock, match="D-7"):
            take("0.6 kg", "S-1", **asked)
    assert yard.contents(books) == before
    take("0.5 kg", "S-1", product="MICROS")
    assert free(lot) == (3 * KG // 2, 0)
    with pytest.raises(errors.ShortStock):
        take("5 kg", "S-1", product="MICROS")


def test_an_override_is_recorded() -> None:
    """With its reason, the job that took it, and the lot; the need is short from then on."""
    lot = yard.receive("MICROS", "2 kg")
    needs("D-7", of("MICROS", "1.5 kg"))
    told = take("1 kg", "S-1", product="MICROS", override={"reason": "boat goes out"})
    assert told.warnings == [f"Lot {lot.number}/1 (MICROS) was reserved: overridden."]
    (row,) = yard.overrides()
    assert (row.slug, row.reason, row.lot_id, row.job.number) == (
        "reserved-stock", "boat goes out", lot.id, "S-1",
    )  # fmt: skip
    assert shown("D-7")[0].short[0] == KG // 2


def test_another_lot_that_serves_as_well_lets_it_go() -> None:
    """A draw of one lot is refused only where the need would get less for it."""
    first = yard.receive("MICROS", "1 kg", expires_on=yard.day(30))
    yard.receive("MICROS", "1 kg", expires_on=yard.day(60))
    needs("D-7", of("MICROS", "1 kg"))
    assert free(first) == (KG, 0)
    take("1 kg", "S-1", lot=first.id)
    assert shown("D-7")[0].short[0] == 0
    assert yard.overrides() == []


def test_a_pot_for_another_job_is_refused_too() -> None:
    """Mixing draws, so it keeps to what is free."""
    yard.stocked()
    needs("D-7", of("LAM", "19.5 kg"))
    with pytest.raises(errors.ReservedStock):
        yard.pot("1 kg", job="S-1")
    assert tables.Batch.select().count() == 0
    assert show_batch(finding.batch(yard.pot("1 kg", job="D-7").id)).job == "D-7"


def test_closing_a_job_lets_its_stock_go() -> None:
    """Nothing is reserved for it, and it may not need more."""
    lot = yard.receive("MICROS", "2 kg")
    needs("D-7", of("MICROS", "1.5 kg"))
    job.change_job(finding.job("D-7"), state="closed", now=NOW, hand=HAND)
    assert free(lot) == (0, 2 * KG)
    assert shown("D-7") == []
    with pytest.raises(errors.JobClosed):
        needs("D-7", of("MICROS", "1 kg"))


def test_what_will_be_out_of_date_is_not_kept() -> None:
    """A lot that is good today and not on the day of use is told, and the need is short."""
    lot = yard.receive("MICROS", "2 kg", expires_on=yard.day(10))
    by: date = yard.day(11)
    (told,) = needs("D-7", of("MICROS", "1 kg", by=by))
    assert (told.short[0], told.lots) == (KG, [])
    assert [row.id for row in told.out_of_date] == [lot.id]
    assert free(lot) == (0, 2 * KG)


def test_a_held_lot_serves_no_need() -> None:
    """It may not be drawn, so it is not kept either."""
    lot = yard.receive("MICROS", "2 kg")
    tables.Lot.update(held=True, hold_reason="suspect").where(tables.Lot.id == lot.id).execute()
    (told,) = needs("D-7", of("MICROS", "1 kg"))
    assert (told.short[0], told.out_of_date) == (KG, [])


def test_a_piece_is_kept_on_one_roll() -> None:
    """Two rolls of 2 m hold no piece of 3 m; and a kept piece is not cut into for another."""
    roll = yard.receive("MAT", "2 m")
    yard.receive("MAT", "2 m")
    (told,) = needs("D-7", {"product": "MAT", "pieces": [{"length": 3_000_000, "count": 1}]})
    assert told.short[0] == 3_000_000
    two = {"product": "MAT", "pieces": [{"length": 1_500_000, "count": 2}], "replaces": told.id}
    (told,) = needs("D-7", two)
    assert (told.short[0], len(told.lots)) == (0, 2)
    with pytest.raises(errors.ReservedStock):
        take("1 m", "S-1", product="MAT")
    take("0.5 m", "S-1", lot=roll.id)
    take("1.5 m", "D-7", product="MAT")
    assert shown("D-7")[0].drawn[0] == 1_500_000


def test_an_offcut_is_no_sheet() -> None:
    """It serves no need of sheets, and drawing one fills none."""
    sheet = yard.receive("PLY-4", "1 piece")
    piece = tables.Lot.create(
        product_id=sheet.product_id, number=sheet.number, number_key=sheet.number.casefold(),
        container="1.1",
        received_at=NOW, received_on=yard.day(0), parent_id=sheet.id,
    )  # fmt: skip
    tables.Lot.update(on_hand=1000).where(tables.Lot.id == piece.id).execute()
    (told,) = needs("D-7", of("PLY-4", "2 pieces"))
    assert told.short[0] == 1000
    assert free(finding.lot(piece.id)) == (0, 1000)


def test_a_need_is_corrected_and_withdrawn() -> None:
    """The later one stands in its place, with its day; nothing of it withdraws it."""
    yard.receive("MICROS", "4 kg")
    (first,) = needs("D-7", of("MICROS", "1 kg", by=yard.day(3)))
    (second,) = needs("D-7", of("MICROS", "2 kg", replaces=first.id))
    assert (second.quantity[0], second.by) == (2 * KG, yard.day(3))
    with pytest.raises(errors.AlreadyExists):
        needs("D-7", of("MICROS", "3 kg", replaces=first.id))
    assert needs("D-7", of("MICROS", "0 kg", replaces=second.id)) == []


@pytest.mark.parametrize(
    ("wanted", "refusal"),
    [
        (of("MICROS", "0 kg"), errors.Invalid),
        (of("NOWHERE", "1 kg"), errors.UnknownReference),
        (of("MICROS", "1 m"), errors.UnitMismatch),
        (of("MICROS", "1 kg", replaces=99), errors.UnknownReference),
        ({"product": "MICROS"}, errors.Invalid),
        ({"product": "MICROS", "pieces": [{"length": 5, "count": 1}]}, errors.Invalid),
        ({"product": "MAT", "pieces": [{"length": 5, "count": 201}]}, errors.Invalid),
    ],
)
def test_a_need_that_can_t_be_is_refused_whole(
    books: Database, wanted: dict[str, Any], refusal: type[errors.Refusal]
) -> None:
    """The good one before it is not kept either."""
    before = yard.contents(books)
    with pytest.raises(refusal):
        needs("D-7", of("MICROS", "1 kg"), wanted)
    assert yard.contents(books) == before


@settings(max_examples=15)
@given(
    st.lists(
        st.tuples(st.sampled_from(["need", "take"]), st.sampled_from(["D-7", "S-1"]),
                  st.integers(1, 9)),
        max_size=8,
    )
)  # fmt: skip
def test_no_draw_takes_what_another_job_was_kept(acts: list[tuple[str, str, int]]) -> None:
    """Whatever is needed and drawn in turn, another job's kept amount never falls by a draw."""
    with db.atomic() as undone:
        lots = [yard.receive("MICROS", "6 kg", expires_on=yard.day(d)) for d in (20, 40)]
        for act, job, kilos in acts:
            other = "S-1" if job == "D-7" else "D-7"
            before = sum(row.reserved[0] for row in shown(other))
            try:
                if act == "need":
                    needs(job, of("MICROS", f"{kilos} kg"))
                else:
                    take(f"{kilos} kg", job, product="MICROS")
                    assert sum(row.reserved[0] for row in shown(other)) >= before
            except (errors.ShortStock, errors.ReservedStock):
                assert act == "take"
            for lot in lots:
                assert min(free(lot)) >= 0
        undone.rollback()
