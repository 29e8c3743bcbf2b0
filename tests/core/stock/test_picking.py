"""First expired, first out: against a plain statement of the rule."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import permutations

import pytest
from cureyard_service.core.amounts.quantities import Measure
from cureyard_service.core.errors import NoSinglePiece, ShortStock
from cureyard_service.core.stock.picking import Pick, Shelved, pick
from hypothesis import assume, given
from hypothesis import strategies as st

TODAY = date(2026, 5, 1)
shelves = st.lists(
    st.builds(
        Shelved,
        st.integers(1, 99),
        st.none() | st.integers(0, 3).map(lambda n: TODAY + timedelta(days=n)),
        st.integers(0, 6),
    ),
    max_size=6, unique_by=lambda lot: lot.id,
)  # fmt: skip


measures = st.sampled_from(["mass", "length"])


def drawn(amount: int, lots: list[Shelved], *, measure: Measure = "mass") -> dict[int, int]:
    """What is taken of each lot."""
    return {p.lot: p.amount for p in pick(amount, lots, measure=measure, what="mat")}


def the_rule_s_next(left: int, lots: list[Shelved]) -> Shelved:
    """The rule in words: the earliest date; of those, one that serves rather than one that
    doesn't; of those, the one that leaves or has least; of those, the lowest id."""
    dates = sorted({lot.last_day or date.max for lot in lots if lot.free})
    first = [lot for lot in lots if lot.free and (lot.last_day or date.max) == dates[0]]
    serving = [lot for lot in first if lot.free >= left] or first
    least = [lot for lot in serving if lot.free == min(other.free for other in serving)]
    return next(lot for lot in lots if lot.id == min(other.id for other in least))


@given(st.integers(1, 20), shelves)
def test_several_lots_follow_the_rule(amount: int, lots: list[Shelved]) -> None:
    """Each pick is the rule's next, emptied before another is begun."""
    assume(sum(lot.free for lot in lots) >= amount)
    left, waiting = amount, list(lots)
    for picked in pick(amount, lots, measure="mass", what="mat"):
        expected = the_rule_s_next(left, waiting)
        assert picked == Pick(expected.id, min(left, expected.free))
        left -= picked.amount
        waiting.remove(expected)
    assert left == 0


@given(st.integers(1, 20), shelves)
def test_nothing_goes_out_before_what_expires_earlier(amount: int, lots: list[Shelved]) -> None:
    """A lot is touched only when every lot of an earlier date is gone."""
    assume(sum(lot.free for lot in lots) >= amount)
    taken = drawn(amount, lots)
    assert sum(taken.values()) == amount
    for lot in lots:
        if taken.get(lot.id):
            for other in lots:
                if (other.last_day or date.max) < (lot.last_day or date.max):
                    assert taken.get(other.id, 0) == other.free


@given(st.integers(1, 8), shelves)
def test_one_piece_is_one_lot(amount: int, lots: list[Shelved]) -> None:
    """The earliest that has it whole, even where an earlier one has a part of it."""
    fitting = [lot for lot in lots if lot.free >= amount]
    if not fitting:
        with pytest.raises((NoSinglePiece, ShortStock)):
            drawn(amount, lots, measure="length")
        return
    ((chosen, taken),) = drawn(amount, lots, measure="length").items()
    assert taken == amount
    assert chosen == the_rule_s_next(amount, fitting).id


@given(st.integers(1, 8), shelves.filter(lambda lots: len(lots) < 5), measures)
def test_the_order_on_the_shelf_is_nothing(
    amount: int, lots: list[Shelved], measure: Measure
) -> None:
    """However the store lists its lots, the same ones go out."""
    have = [lot.free for lot in lots]
    assume((max(have, default=0) if measure == "length" else sum(have)) >= amount)
    answers = [drawn(amount, list(order), measure=measure) for order in permutations(lots)]
    assert all(answer == answers[0] for answer in answers)


def test_of_equal_dates_the_least_remainder_that_serves() -> None:
    """5 of 8, 6 and 4: the 6 serves and leaves least; with no date at all it is last."""
    same = [Shelved(1, TODAY, 8), Shelved(2, TODAY, 6), Shelved(3, TODAY, 4)]
    assert drawn(5, same) == {2: 5}
    assert drawn(5, [Shelved(9, TODAY, 6), *same]) == {2: 5}
    assert drawn(5, [Shelved(1, None, 5), Shelved(2, TODAY, 3)]) == {2: 3, 1: 2}


def test_short_stock_tells_free_and_wanted() -> None:
    """A person sees how far it goes."""
    with pytest.raises(ShortStock) as caught:
        drawn(10, [Shelved(1, TODAY, 4), Shelved(2, None, 5)])
    assert caught.value.fields == {"free": 9, "wanted": 10}
    assert caught.value.advice


def test_ends_of_two_rolls_are_no_piece() -> None:
    """4 and 5 are 9 together, but no 6 in one piece; the longest is told."""
    with pytest.raises(NoSinglePiece) as caught:
        drawn(6, [Shelved(1, TODAY, 4), Shelved(2, None, 5)], measure="length")
    assert caught.value.fields == {"longest": 5, "wanted": 6}


@given(st.integers(1, 20), shelves, st.integers(0, 3))
def test_an_amount_may_miss_what_there_is_by_the_spare(
    amount: int, lots: list[Shelved], spare: int
) -> None:
    """No more is taken than is there, and it misses what is asked by no more than the spare."""
    loose = [replace(lot, spare=spare) for lot in lots]
    assume(sum(lot.free for lot in lots) + (spare if lots else 0) >= amount)
    taken = drawn(amount, loose)
    assert abs(sum(taken.values()) - amount) <= spare
    assert all(taken[lot.id] <= lot.free for lot in lots if lot.id in taken)
    assert not any(0 < lot.free - taken[lot.id] <= spare for lot in lots if lot.id in taken)


def test_what_serves_but_for_rounding_serves() -> None:
    """The next drum is not begun for the 2 mg that this one lacks; a roll is cut to its end."""
    lots = [Shelved(1, TODAY, 998, spare=5), Shelved(2, TODAY, 5000, spare=5)]
    assert drawn(1000, lots) == {1: 998}
    assert drawn(1000, lots, measure="length") == {1: 998}
    assert drawn(996, lots) == {1: 998}
    assert drawn(1004, lots) == {2: 1004}
