"""A lot's life: its last day, its states in order, its extension, its hours too warm."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from cureyard_service.core.stock import lots
from cureyard_service.core.stock.lots import DAY_S, Life, State, expires_on, state
from hypothesis import given
from hypothesis import strategies as st

from ..makers import HOUR, kelvin, steady, trace

MADE = date(2026, 1, 1)
days = st.integers(0, 2000).map(lambda n: MADE + timedelta(days=n))
maybe = st.none() | days


def standing(life: Life, on: date, on_hand: int = 1, held: bool = False) -> State:
    """A lot's state on a day, with stock and not held unless told otherwise."""
    return state(life, on=on, on_hand=on_hand, held=held)


@given(maybe, maybe, maybe, st.none() | st.integers(0, 900), st.none() | st.integers(0, 90))
def test_a_lot_ends_by_its_label_else_by_its_life(
    labelled: date | None,
    made: date | None,
    opened: date | None,
    shelf: int | None,
    open_days: int | None,
) -> None:
    """The label's date, else made-on and shelf life, else receipt and that; or its open life.

    Where there is a shelf life it has a last day in any case.
    """
    life = Life(
        MADE,
        labelled,
        made,
        opened,
        None if shelf is None else shelf * DAY_S,
        None if open_days is None else open_days * DAY_S,
    )
    ends = [labelled] if labelled else []
    if made and shelf is not None and not labelled:
        ends.append(made + timedelta(days=shelf))
    if shelf is not None and not ends:
        ends.append(MADE + timedelta(days=shelf))
    if opened and open_days is not None:
        ends.append(opened + timedelta(days=open_days))
    assert expires_on(life) == (min(ends) if ends else None)
    assert (lots.expires_basis(life) == "none") == (not ends)
    assert lots.is_assumed(life) == (shelf is not None and not labelled and not made)


@pytest.mark.parametrize(
    ("known", "basis", "note"),
    [
        ({"labelled": MADE}, "stated", None),
        ({"made_on": MADE, "shelf_life": 90 * DAY_S}, "made_on", None),
        ({"shelf_life": 90 * DAY_S}, "received_on", lots.ASSUMED),
        ({"shelf_life": 90 * DAY_S, "opened_on": MADE, "open_life": DAY_S}, "opened_on",
         lots.UNREAD),
        ({"opened_on": MADE, "open_life": DAY_S}, "opened_on", lots.UNKNOWN),
        ({"made_on": MADE}, "none", lots.UNKNOWN),
        ({"labelled": MADE, "extended_to": MADE + timedelta(5)}, "extended", None),
    ],
)  # fmt: skip
def test_what_a_last_day_rests_on(known: dict[str, Any], basis: str, note: str | None) -> None:
    """What was given is sure; what was not is said, and asked for where it can't last for ever."""
    life = Life(MADE, **known)
    assert lots.expires_basis(life) == basis
    assert lots.note(life, lively=True) == note
    assert lots.note(life, lively=False) == (None if note == lots.UNKNOWN else note)


def test_each_bound_is_named_and_an_extension_replaces_label_and_shelf_life() -> None:
    """By hand: 10 days from 1 March, 5 open days from 3 March; extended, the open days stay."""
    made, opened = date(2026, 3, 1), date(2026, 3, 3)
    life = Life(made, labelled=date(2026, 4, 1), made_on=made, opened_on=opened,
                shelf_life=10 * DAY_S, open_life=5 * DAY_S)  # fmt: skip
    assert lots.bounds(life) == [
        ("label", date(2026, 4, 1)),
        ("open life", date(2026, 3, 8)),
    ]
    assert lots.bounds(replace(life, labelled=None)) == [
        ("shelf life", date(2026, 3, 11)),
        ("open life", date(2026, 3, 8)),
    ]
    assert lots.bounds(replace(life, extended_to=date(2026, 3, 20))) == [
        ("extended", date(2026, 3, 20)),
        ("open life", date(2026, 3, 8)),
    ]
    assert lots.bounds(Life(made)) == []


def test_a_lot_is_good_through_the_end_of_its_last_day() -> None:
    """On the day it may be drawn, on the next it may not."""
    life = Life(MADE, labelled=date(2026, 6, 30))
    assert standing(life, date(2026, 6, 30)) == "soon"
    assert standing(life, date(2026, 7, 1)) == "expired"


@pytest.mark.parametrize(
    ("held", "on", "on_hand", "expected"),
    [
        (True, date(2027, 1, 1), 0, "held"),
        (False, date(2027, 1, 1), 0, "expired"),
        (False, date(2026, 12, 30), 0, "empty"),
        (False, date(2026, 12, 30), 1, "soon"),
        (False, date(2026, 2, 1), 1, "good"),
    ],
)
def test_states_in_their_order(held: bool, on: date, on_hand: int, expected: State) -> None:
    """Held outranks expired, expired empty, empty soon, soon good."""
    assert standing(Life(MADE, labelled=date(2026, 12, 31)), on, on_hand, held) == expected


def test_soon_is_the_last_quarter_of_the_life() -> None:
    """Of 100 days: with 25 left good, with 24 soon; from receipt where made-on is unknown."""
    end = MADE + timedelta(days=100)
    for life in (Life(date(2026, 3, 1), end, made_on=MADE), Life(MADE, end)):
        assert standing(life, MADE + timedelta(days=75)) == "good"
        assert standing(life, MADE + timedelta(days=76)) == "soon"


def test_without_any_date_it_never_ends() -> None:
    """Glass without a date is good for ever, and has no extension."""
    assert standing(Life(MADE), date(2099, 1, 1)) == "good"
    assert lots.longest_extension(Life(MADE)) is None


def test_hours_of_life_are_whole_days_only() -> None:
    """36 hours of open life end with the next day, not with the one after."""
    assert expires_on(Life(MADE, opened_on=MADE, open_life=int(36 * HOUR))) == date(2026, 1, 2)


def test_an_extension_is_a_quarter_of_the_life_at_most() -> None:
    """100 days may become 125; opening is another life that no extension lengthens."""
    life = Life(MADE, made_on=MADE, shelf_life=100 * DAY_S)
    assert lots.longest_extension(life) == MADE + timedelta(days=125)
    extended = Life(
        MADE, made_on=MADE, shelf_life=100 * DAY_S, extended_to=MADE + timedelta(days=125),
        opened_on=MADE, open_life=110 * DAY_S,
    )  # fmt: skip
    assert expires_on(extended) == MADE + timedelta(days=110)


def test_a_life_beyond_the_calendar_ends_with_it() -> None:
    """A century from the last year there is, and its extension, are the last day there is."""
    life = Life(MADE, made_on=date(9990, 1, 1), shelf_life=36_600 * DAY_S)
    assert expires_on(life) == lots.longest_extension(life) == date.max


def test_hours_outside_the_label_s_limits_add_up() -> None:
    """From 20 to 40 °C in 10 h it is over 30 °C for 5; cold counts where there is a low limit."""
    warm = trace([0, 10, 10, 12], [20, 40, 10, 10])
    assert lots.seconds_outside(warm, None, kelvin(30)) == pytest.approx(5 * HOUR)
    assert lots.seconds_outside(warm, kelvin(15), kelvin(30)) == pytest.approx(7 * HOUR)
    assert lots.seconds_outside(warm, kelvin(15), None) == pytest.approx(2 * HOUR)
    assert lots.seconds_outside(warm, None, None) == 0
    assert lots.seconds_outside(steady(30), kelvin(30), kelvin(30)) == 0


@pytest.mark.parametrize(
    ("hours", "word"), [(24, None), (25, "use it first"), (14 * 24, "use it"), (15 * 24, "hold it")]
)
def test_hours_too_warm_become_words(hours: float, word: str | None) -> None:
    """Over a day a caution, over two weeks held for a cup test."""
    warnings = lots.storage_warnings(hours * HOUR)
    assert [word in line for line in warnings] == ([True] if word else [])
