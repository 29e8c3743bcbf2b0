"""Needs against stock: nothing kept that is not there, nor more than is wanted."""

from __future__ import annotations

from datetime import date, timedelta

from cureyard_service.core.stock.reserving import Stocked, Want, assign, cut_down, still_wanted
from hypothesis import given
from hypothesis import strategies as st

TODAY = date(2026, 3, 20)
days = st.none() | st.integers(-5, 60).map(lambda n: TODAY + timedelta(days=n))
amounts = st.integers(1, 1000)
shelves = st.lists(st.tuples(days, amounts), max_size=6).map(
    lambda rows: [Stocked(n, *row) for n, row in enumerate(rows, start=1)]
)
wishes = st.lists(
    st.tuples(st.integers(1, 3), st.lists(amounts, max_size=4).map(tuple), st.booleans(), days),
    max_size=6,
).map(lambda rows: [Want(n, *row) for n, row in enumerate(rows, start=1)])


@given(wishes, shelves)
def test_free_is_never_below_zero(wants: list[Want], lots: list[Stocked]) -> None:
    """No lot keeps more than it has, no need is kept more than it wants, none out of date."""
    kept = assign(wants, lots, TODAY)
    for lot in lots:
        mine = [k for k in kept if k.lot == lot.id]
        assert 0 <= sum(k.amount for k in mine) <= lot.on_hand
        for k in mine:
            by = wants[k.need - 1].by or TODAY
            assert lot.last_day is None or lot.last_day >= max(by, TODAY)
    for want in wants:
        assert sum(k.amount for k in kept if k.need == want.need) <= want.amount


@given(wishes, shelves)
def test_no_need_is_short_while_a_good_lot_has_some(wants: list[Want], lots: list[Stocked]) -> None:
    """What is poured is kept to the last drop; a piece is short only where no lot has it."""
    kept = assign(wants, lots, TODAY)
    left = {lot.id: lot.on_hand - sum(k.amount for k in kept if k.lot == lot.id) for lot in lots}
    for want in wants:
        mine = sorted(k.amount for k in kept if k.need == want.need)
        missing = list(want.parts)
        if want.whole:
            for amount in mine:
                missing.remove(amount)
        elif sum(mine) == want.amount:
            missing = []
        good = [
            left[lot.id] for lot in lots
            if lot.last_day is None or lot.last_day >= max(want.by or TODAY, TODAY)
        ]  # fmt: skip
        for part in missing:
            assert all(free < part if want.whole else free == 0 for free in good)


def test_the_soonest_need_takes_what_expires_first() -> None:
    """By hand: 4 due tomorrow from the lot that goes first, then 5 from what is left of both."""
    soon, late = Stocked(1, TODAY + timedelta(9), 6), Stocked(2, None, 10)
    first = Want(2, 20, (4,), by=TODAY + timedelta(1))
    then = Want(1, 10, (5,), by=TODAY + timedelta(5))
    kept = assign([then, first], [late, soon], TODAY)
    assert [(k.need, k.lot, k.amount) for k in kept] == [(2, 1, 4), (1, 1, 2), (1, 2, 3)]


def test_a_lot_out_of_date_on_the_day_serves_no_need_of_that_day() -> None:
    """It is good today, and is kept for nobody who uses it later."""
    lot = Stocked(1, TODAY + timedelta(3), 5)
    assert assign([Want(1, 1, (5,), by=TODAY + timedelta(4))], [lot], TODAY) == []
    assert len(assign([Want(1, 1, (5,), by=TODAY + timedelta(3))], [lot], TODAY)) == 1


steps = st.lists(st.tuples(st.integers(0, 50), st.integers(-50, 50)), max_size=8)


@given(steps)
def test_what_is_left_lies_between_nothing_and_all(history: list[tuple[int, int]]) -> None:
    """Whatever was drawn and brought back; a further draw never raises it."""
    left = still_wanted(history)
    assert 0 <= left <= sum(amount for amount, _ in history)
    assert still_wanted([*history, (0, 7)]) == max(0, left - 7)


def test_what_was_drawn_beyond_a_need_fills_no_later_one() -> None:
    """5 wanted and 8 drawn; then 4 more are wanted: all 4, not 1."""
    assert still_wanted([(5, 8), (4, 0)]) == 4
    assert still_wanted([(5, 3), (4, 0)]) == 6
    assert still_wanted([(5, 5), (0, -2)]) == 2


@given(st.lists(amounts, max_size=6), st.integers(0, 6000))
def test_cutting_down_keeps_the_sum(pieces: list[int], drawn: int) -> None:
    """What is left to cut and what was drawn make all, and no piece is longer than before."""
    left = cut_down(pieces, drawn)
    assert sum(left) == max(0, sum(pieces) - drawn)
    assert all(length > 0 for length in left)
    assert len(left) <= len(pieces)


def test_a_drawn_piece_is_the_one_that_is_done() -> None:
    """Of 3 and 2, drawing 2 leaves the 3, and drawing 4 leaves 1 of the 2."""
    assert cut_down([3, 2], 2) == (3,)
    assert cut_down([3, 2], 4) == (1,)
