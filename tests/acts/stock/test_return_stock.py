"""Returns: never more than was drawn, and a piece of roll is a lot of its own."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.jobs import job as open_job
from cureyard_service.acts.jobs import usage
from cureyard_service.acts.products import product as add_product
from cureyard_service.acts.stock import draw, return_stock, reverse
from cureyard_service.acts.stock.lot import MoneyView
from cureyard_service.acts.stock.movement import MovedView, MovementView
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.amounts import quantities
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import HAND, NOW, q

pytestmark = pytest.mark.usefixtures("books")


def take(quantity: str, **facts: Any) -> MovedView:
    """A draw to the job."""
    asked = {"kind": "draw", "job": "D-7", "now": NOW, "hand": HAND} | facts
    return draw.draw(quantity=q(quantity), **asked)


def back(quantity: str, **facts: Any) -> MovementView:
    """A return from the job; its one line."""
    asked = {"job": "D-7", "now": NOW, "hand": HAND} | facts
    (line,) = return_stock.return_stock(quantity=q(quantity), **asked).movements
    return line


def test_back_into_the_drum() -> None:
    """A liquid goes back to its lot, on the job's account."""
    drum = yard.receive("LAM", "20 kg")
    take("2 kg", product="LAM")
    line = back("0.5 kg", lot=drum.id)
    assert (line.lot, line.quantity[0], line.job) == (drum.id, 500_000, "D-7")
    assert yard.on_hand(drum) == 18_500_000


def test_never_more_than_was_drawn(books: Database) -> None:
    """What came back before counts; the last gram may come back, one more may not."""
    drum = yard.receive("LAM", "20 kg")
    take("2 kg", product="LAM")
    back("1.2 kg", lot=drum.id)
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match="did not draw so much"):
        back("0.801 kg", lot=drum.id)
    assert yard.contents(books) == before
    back("0.8 kg", lot=drum.id)
    assert yard.on_hand(drum) == 20_000_000


def test_only_what_this_job_drew_and_kept() -> None:
    """Another job's draw, and one that was undone, give nothing back."""
    drum = yard.receive("LAM", "20 kg")
    take("2 kg", product="LAM", job="S-1")
    with pytest.raises(errors.Invalid):
        back("0.1 kg", lot=drum.id)
    (line,) = take("2 kg", product="LAM").movements
    reverse.reverse(reverses=line.id, reason="typed twice", now=NOW, hand=HAND)
    with pytest.raises(errors.Invalid):
        back("0.1 kg", lot=drum.id)
    assert back("0.1 kg", lot=drum.id, job="S-1").job == "S-1"


def test_a_piece_of_roll_is_a_lot_of_its_own() -> None:
    """Its roll does not grow; the piece keeps number, dates and bay, and has its size."""
    roll = yard.receive("MAT", "30 m", number="M-1", bay="SHED", expires_on=yard.day(90))
    take("5 m", product="MAT")
    line = back("2 m", product="MAT")
    piece = finding.lot(line.lot)
    assert yard.on_hand(roll) == 25_000_000
    assert (piece.parent_id, piece.number, piece.container) == (roll.id, "M-1", "1.1")
    assert (piece.on_hand, piece.length_um, piece.width_um) == (2_000_000, 2_000_000, 1_250_000)
    assert (piece.expires_on, piece.bay.code) == (yard.day(90), "SHED")


def test_pieces_count_against_what_was_drawn() -> None:
    """Five metres drawn give two pieces of two, not three; each with a name of its own."""
    yard.receive("MAT", "30 m", number="M-1")
    take("5 m", product="MAT")
    first, second = back("2 m", product="MAT"), back("2 m", product="MAT")
    assert [first.container, second.container] == ["1.1", "1.2"]
    with pytest.raises(errors.Invalid, match="did not draw so much"):
        back("2 m", product="MAT")


def test_a_piece_finds_a_name_that_is_free() -> None:
    """A delivery may have used the name that a piece would get."""
    yard.receive("MAT", "30 m", number="M-1")
    yard.receive("MAT", "4 m", number="M-1", container="1.1")
    take("5 m", lot=1)
    line = back("2 m", lot=1)
    assert line.container not in ("1", "1.1")
    assert yard.on_hand(line.lot) == 2_000_000


def test_a_piece_is_drawn_and_cut_again() -> None:
    """A piece of a piece hangs on the piece; the short piece goes before the roll."""
    roll = yard.receive("MAT", "30 m", number="M-1")
    take("5 m", product="MAT")
    piece = back("2 m", product="MAT").lot
    (line,) = take("1.5 m", product="MAT").movements
    assert line.lot == piece
    (other,) = take("0.3 m", lot=piece).movements
    reverse.reverse(reverses=other.id, reason="not needed", now=NOW, hand=HAND)
    again = finding.lot(back("0.5 m", lot=piece).lot)
    assert (again.parent_id, again.container) == (piece, "1.1.1")
    assert yard.on_hand(roll) == 25_000_000


def test_an_offcut_of_sheet_has_its_sizes() -> None:
    """A part of a sheet comes back with length and width."""
    stack = yard.receive("PLY-4", "6 pieces")
    take("2 pieces", product="PLY-4")
    size = {name: quantities.parse(text, quantities.SIZE)
            for name, text in (("length", "800 mm"), ("width", "600 mm"))}  # fmt: skip
    piece = finding.lot(back("1 piece", lot=stack.id, size=size).lot)
    assert (piece.on_hand, piece.length_um, piece.width_um) == (166, 800_000, 600_000)
    assert yard.on_hand(stack) == 4000


def sized(length: str, width: str) -> dict[str, Decimal]:
    """A piece's sizes as a request has them."""
    sides = {"length": length, "width": width}
    return {side: quantities.parse(text, quantities.SIZE) for side, text in sides.items()}


@pytest.mark.parametrize(
    ("quantity", "size", "share"),
    [
        ("1 piece", ("900 mm", "400 mm"), 125),
        ("0.125 piece", ("900 mm", "400 mm"), 125),
        ("0.13 piece", ("900 mm", "400 mm"), 130),
        ("1 piece", ("2.4 m", "1.2 m"), 1000),
        ("1 piece", ("2403 mm", "1201 mm"), 1000),
        ("1 piece", ("2.4 m", "0.6 m"), 500),
    ],
)
def test_an_offcut_is_its_share_of_a_sheet(
    quantity: str, size: tuple[str, str], share: int
) -> None:
    """By area of the product's 2400 × 1200 mm sheet; the job has used the rest of what it drew."""
    stack = yard.receive("PLY-4", "6 pieces", cost={"amount": Decimal(480), "currency": "EUR"})
    take("1 piece", product="PLY-4")
    line = back(quantity, product="PLY-4", size=sized(*size))
    assert finding.lot(line.lot).on_hand == share
    told = usage.usage(finding.job("D-7"), NOW)
    assert sum(lot.used[0] for lot in told.lots) == 1000 - share
    assert told.totals == [MoneyView(80 * (1000 - share) / 1000, "EUR")]
    assert yard.on_hand(stack) == 5000


@pytest.mark.parametrize(
    ("product", "quantity", "size", "words"),
    [
        ("PLY-4", "0.5 piece", ("900 mm", "400 mm"), "0.125 of a sheet"),
        ("PLY-4", "2 pieces", ("900 mm", "400 mm"), "0.125 of a sheet"),
        ("PLY-4", "1 piece", ("9 m", "400 mm"), "more than a sheet"),
        ("MAT", "2 m", ("2 m", "400 mm"), "whole width"),
        ("MAT", "2 m", ("900 mm", "1.25 m"), "whole width"),
    ],
)
def test_an_amount_that_is_not_what_the_sizes_are(
    books: Database, product: str, quantity: str, size: tuple[str, str], words: str
) -> None:
    """Refused with what fits; nothing is booked. A strip of roll would lie as a whole piece."""
    yard.receive(product, {"PLY-4": "6 pieces", "MAT": "30 m"}[product])
    take({"PLY-4": "3 pieces", "MAT": "5 m"}[product], product=product)
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match=words):
        back(quantity, product=product, size=sized(*size))
    assert yard.contents(books) == before


def test_a_sheet_of_no_known_size_comes_back_as_it_is_typed() -> None:
    """The share can't be reckoned, so it is the person's; a roll's own sizes do no harm."""
    yard.receive("MAT", "30 m")
    take("5 m", product="MAT")
    assert back("2 m", product="MAT", size=sized("2 m", "1250 mm")).quantity[0] == 2_000_000
    add_product.add_product(code="BARE", name="Bare", role="sheet", now=NOW, hand=HAND)
    yard.receive("BARE", "1 piece")
    take("1 piece", product="BARE")
    line = back("0.5 piece", product="BARE", size=sized("900 mm", "400 mm"))
    assert line.quantity[0] == 500


def test_by_product_it_goes_where_it_came_from_last() -> None:
    """Two drums were begun; the rest belongs to the second."""
    yard.receive("LAM", "1 kg", expires_on=yard.day(10))
    second = yard.receive("LAM", "5 kg", expires_on=yard.day(20))
    take("3 kg", product="LAM")
    assert back("0.5 kg", product="LAM").lot == second.id


@pytest.mark.parametrize(
    ("facts", "refusal"),
    [
        ({"lot": 1, "job": "D-99"}, errors.UnknownReference),
        ({"lot": 99}, errors.UnknownReference),
        ({"product": "MICROS"}, errors.Invalid),
        ({"product": "LAM", "lot": 1}, errors.Invalid),
        ({}, errors.Invalid),
        ({"lot": 1, "at": NOW + 3600}, errors.Invalid),
    ],
)
def test_what_is_refused_changes_nothing(
    books: Database, facts: dict[str, Any], refusal: type[errors.Refusal]
) -> None:
    """Nothing comes back from nowhere, and no lot is made for it."""
    yard.receive("LAM", "20 kg")
    take("2 kg", product="LAM")
    before = yard.contents(books)
    with pytest.raises(refusal):
        back("0.5 kg", **facts)
    assert yard.contents(books) == before


def test_a_closed_job_takes_its_returns_back() -> None:
    """What was left over is often found after the job was closed: it is booked there."""
    yard.receive("MAT", "30 m")
    take("5 m", product="MAT")
    open_job.change_job(finding.job("D-7"), state="closed", now=NOW, hand=HAND)
    line = back("2 m", product="MAT")
    assert (line.kind, line.job) == ("return", "D-7")
    with pytest.raises(errors.Invalid, match="did not draw so much"):
        back("4 m", product="MAT")
    with pytest.raises(errors.JobClosed):
        take("1 m", product="MAT")
