"""Shelf life and rotation by class societies' rules and a shelf-life manual.

Sources:
- Lloyd's Register, Rules for the Manufacture, Testing and Certification of Materials, July 2022,
  Ch 14 Sec 5.3.3 to 5.3.8; Iranian Classification Society, Rules for the Classification of FRP
  Ships (2014), part 13, 301.2: no batch after its date, batches used systematically and in
  sequence, each traceable.
- DoD 4140.27-M, Shelf-Life Management Manual (2003): life types I and II.
- A general text, maker not named: polyester keeps 12 months at most.
"""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.jobs.trace import trace_lot
from cureyard_service.acts.stock.cup_test import cup_lot
from cureyard_service.acts.stock.draw import draw
from cureyard_service.acts.stock.extend_lot import extend_lot
from cureyard_service.acts.stock.receive import receive_lot
from cureyard_service.acts.yard import finding
from cureyard_service.acts.yard.settings import seed_yard
from cureyard_service.core.amounts import quantities
from cureyard_service.core.errors import ExpiredLot
from cureyard_service.core.stock.lots import DAY_S, Life, expires_on
from cureyard_service.store.yard.hands import Hand
from peewee import Database

from .. import makers
from ..putting import by_acts

LEAD = Hand("Rui", verified=True, role="lead")
BORN = date(2026, 1, 1)


def at(day: str) -> int:
    """Ten in the morning of a day, epoch s."""
    return int(datetime.fromisoformat(f"{day}T10:00").replace(tzinfo=UTC).timestamp())


def amount(text: str) -> quantities.Given:
    """A quantity as a hand types it."""
    return quantities.parse_any(text, (quantities.MASS, quantities.LENGTH))


@pytest.fixture
def shop(store: Database) -> Database:
    """A store with a resin, its peroxide, a mat and a job."""
    now = at("2026-01-01")
    seed_yard(zone="UTC", units="metric", currency="EUR", address=None, now=now)
    sheet = makers.sheet("mekp", gel_times=[makers.gel_time("20 degC", "30 min", 1.5)])
    by_acts(
        now,
        LEAD,
        products=[makers.catalyst("mekp"), makers.resin("po-1", cure=sheet), makers.mat("mat")],
        jobs=[makers.job("J1", "unknown")],
    )
    return store


def received(product: str, number: str, until: str | None, text: str = "20 kg") -> int:
    """Receive a lot on new year's day; its id."""
    lot = receive_lot(
        product=product, number=number, quantity=amount(text), now=at("2026-01-01"), hand=LEAD,
        made_on=BORN, expires_on=date.fromisoformat(until) if until else None,
    )  # fmt: skip
    return int(lot.id)


def drawn(day: str, text: str, **which: Any) -> list[tuple[str, int]]:
    """Draw to the job on a day; the lots' numbers and what each gave, in base units."""
    answer = draw(kind="draw", quantity=amount(text), now=at(day), hand=LEAD, job="J1", **which)
    return [(m.number, abs(int(m.quantity[0]))) for m in answer.movements]


@pytest.mark.usefixtures("shop")
def test_no_batch_after_its_date() -> None:
    """Lloyd's Register 5.3.4, ICS 301.2(4): good through its last day, refused the next morning."""
    lot = received("po-1", "A", "2026-06-30")
    assert drawn("2026-06-30", "1 kg", lot=lot) == [("A", 1_000_000)]
    for which in ({"lot": lot}, {"product": "po-1"}):
        with pytest.raises(ExpiredLot, match="out of date since 2026-06-30"):
            drawn("2026-07-01", "1 kg", **which)


@pytest.mark.usefixtures("shop")
def test_batches_in_sequence() -> None:
    """Lloyd's Register 5.3.3: first expired, first out, whichever lot came first."""
    for number, until in (("C", "2026-12-31"), ("A", "2026-06-30"), ("B", "2026-09-30")):
        received("po-1", number, until)
    assert drawn("2026-05-01", "45 kg", product="po-1") == [
        ("A", 20_000_000), ("B", 20_000_000), ("C", 5_000_000),
    ]  # fmt: skip


@pytest.mark.usefixtures("shop")
def test_an_expired_batch_is_passed_over_in_the_sequence() -> None:
    """The earliest date is the last that may be used, not the last that is there."""
    received("po-1", "A", "2026-06-30")
    received("po-1", "B", "2026-09-30")
    assert drawn("2026-07-01", "1 kg", product="po-1") == [("B", 1_000_000)]


@pytest.mark.usefixtures("shop")
def test_reinforcement_in_sequence_by_the_piece() -> None:
    """A ply is one piece: the earliest roll that has it whole."""
    received("mat", "A", "2026-06-30", "3 m")
    received("mat", "B", "2026-09-30", "9 m")
    assert drawn("2026-05-01", "4 m", product="mat") == [("B", 4_000_000)]
    assert drawn("2026-05-01", "3 m", product="mat") == [("A", 3_000_000)]


@pytest.mark.usefixtures("shop")
def test_each_part_is_traceable_to_its_batches() -> None:
    """From the lot to the job that it went into, with its amounts."""
    lot = received("po-1", "A", "2026-06-30")
    drawn("2026-05-01", "2 kg", lot=lot)
    trace = trace_lot(finding.lot(lot), at("2026-05-02"))
    assert [job.number for job in trace.jobs] == ["J1"]
    assert [move.kind for move in trace.movements].count("draw") == 1


def gelled_as_printed(lot: int, catalyst: int, day: str) -> None:
    """Two cups of a lot that gel as the sheet says."""
    cup_lot(
        finding.lot(lot), mass=quantities.parse_any("100 g", (quantities.MASS,)),
        temperature=Decimal("293.15"),
        gel_times=[Decimal(1800), Decimal(1810)], now=at(day), hand=LEAD, catalyst_lot=catalyst,
        catalyst_percent=Decimal("1.5"),
    )  # fmt: skip


@pytest.mark.usefixtures("shop")
def test_type_two_is_extended_once_on_a_test_by_a_quarter_at_most() -> None:
    """DoD 4140.27-M: by inspection or test. A quarter, and once: common practice, no source."""
    resin, peroxide = received("po-1", "A", "2026-06-30"), received("mekp", "P", "2026-12-31")
    gelled_as_printed(resin, peroxide, "2026-06-20")
    changes: dict[str, Any] = {"reason": "two cups", "now": at("2026-06-21"), "hand": LEAD}
    extend_lot(finding.lot(resin), until_on=date(2026, 8, 14), **changes)
    assert drawn("2026-08-14", "1 kg", lot=resin) == [("A", 1_000_000)]
    with pytest.raises(ExpiredLot, match="extended before"):
        extend_lot(finding.lot(resin), until_on=date(2026, 8, 20), **changes)
    with pytest.raises(ExpiredLot):
        drawn("2026-08-15", "1 kg", lot=resin)


@pytest.mark.usefixtures("shop")
def test_type_one_ends_for_good() -> None:
    """DoD 4140.27-M, type I: after its date a peroxide has no extension and no override."""
    peroxide = received("mekp", "P", "2026-06-30")
    with pytest.raises(ExpiredLot, match="type I"):
        extend_lot(
            finding.lot(peroxide), until_on=date(2026, 7, 1), reason="looks fine",
            now=at("2026-06-21"), hand=LEAD,
        )  # fmt: skip
    with pytest.raises(ExpiredLot):
        drawn("2026-07-01", "1 kg", lot=peroxide, override={"reason": "looks fine"})


def test_polyester_keeps_a_year_at_most() -> None:
    """A general text, maker not named: 12 months from its making, where no label gives a date."""
    life = Life(BORN, made_on=BORN, shelf_life=365 * DAY_S)
    assert expires_on(life) == date(2027, 1, 1)
