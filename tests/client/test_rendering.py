"""Answers as text: amounts, moments and columns, wide and narrow."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from cureyard_client.rendering import amounts, columns, moments, products
from hypothesis import given
from hypothesis import strategies as st

NOW = datetime(2026, 3, 4, 11, 20, tzinfo=UTC)
"""A Wednesday."""
VIEW = columns.View(80, NOW)


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (12.5, "kg", "12.5 kg"),
        (20.0, "kg", "20 kg"),
        (0.0198, "kg", "19.8 g"),
        (0, "kg", "0 kg"),
        (-2.4, "m", "-2.4 m"),
        (3000, "g", "3 kg"),
        (17.25, "mL", "17.25 mL"),
        (27.557783, "lb", "27.558 lb"),
        (0.00012, "kg/L", "0.00012 kg/L"),
        (22.2222, "degC", "22.2 °C"),
        (-3.0, "degF", "-3 °F"),
        (3.6, "delta_degF", "3.6 °F"),
        (450, "g/m**2", "450 g/m²"),
        (1, "piece", "1 piece"),
        (2, "piece", "2 pieces"),
    ],
)
def test_amounts(value: float, unit: str, text: str) -> None:
    """A number with its unit, short, and in a unit that a scale shows."""
    assert amounts.amount({"value": value, "unit": unit}) == text


def test_nothing_is_nothing() -> None:
    """What is null in an answer is no text."""
    assert amounts.amount(None) == ""
    assert amounts.span(None) == ""
    assert amounts.percent(None) == ""
    assert amounts.money(None) == ""
    assert moments.when(None, VIEW) == ""


@pytest.mark.parametrize(
    ("value", "unit", "way", "text"),
    [
        (24.9, "min", "down", "24 min"),
        (24.1, "min", "up", "25 min"),
        (24.4, "min", "near", "24 min"),
        (1.5, "h", "near", "1 h 30 min"),
        (2, "h", "near", "2 h"),
        (180, "d", "near", "180 d"),
        (30, "h", "near", "1 d 6 h"),
        (0, "min", "near", "0 min"),
        (25.0000004, "min", "up", "25 min"),
    ],
)
def test_spans(value: float, unit: str, way: amounts.Way, text: str) -> None:
    """Times in whole minutes, rounded the way that is safe for what they mean."""
    assert amounts.span({"value": value, "unit": unit}, way) == text


def test_money() -> None:
    """Two decimals and the currency."""
    assert amounts.money({"amount": 120.5, "currency": "EUR"}) == "120.50 EUR"


@pytest.mark.parametrize(
    ("moment", "text"),
    [
        ("2026-03-04T13:30:00+00:00", "today 13:30, in 2 h 10 min"),
        ("2026-03-04T11:00:00+00:00", "today 11:00, 20 min ago"),
        ("2026-03-04T11:20:10+00:00", "today 11:20, now"),
        ("2026-03-05T11:20:00+00:00", "Thu 11:20, in 1 d"),
        ("2026-03-03T09:20:00+00:00", "3 Mar 09:20, 1 d 2 h ago"),
        ("2026-03-11T11:20:00+00:00", "11 Mar 11:20, in 7 d"),
        ("2025-03-04T11:20:00+00:00", "2025-03-04 11:20, 365 d ago"),
    ],
)
def test_moments(moment: str, text: str) -> None:
    """On the clock, with how far off it is."""
    assert moments.when(moment, VIEW) == text


def test_today_is_the_yards_day() -> None:
    """The moment's own offset says which day it is there: at 11:20 UTC it is past midnight."""
    assert moments.when("2026-03-05T00:40:00+13:00", VIEW) == "today 00:40, in 20 min"


@pytest.mark.parametrize(
    ("face", "step", "way", "stepped"),
    [
        ("10:52:00", 5, "down", "10:50:00"),
        ("10:52:00", 5, "up", "10:55:00"),
        ("10:52:00", 15, "up", "11:00:00"),
        ("10:52:00", 15, "down", "10:45:00"),
        ("10:45:00", 15, "up", "10:45:00"),
        ("10:45:01", 15, "up", "11:00:00"),
        ("23:55:00", 15, "up", "00:00:00"),
    ],
)
def test_steps(face: str, step: int, way: amounts.Way, stepped: str) -> None:
    """Clock times on steps, one way; what stands on a step stays."""
    at = moments.read(f"2026-03-04T{face}+01:00")
    assert moments.stepped(at, step, way).strftime("%H:%M:%S") == stepped


@given(st.integers(0, 86_399), st.sampled_from([5, 15]))
def test_steps_are_inwards(second: int, step: int) -> None:
    """A window shown in steps never opens early, never closes late, and loses less than a step."""
    at = datetime(2026, 3, 4, tzinfo=UTC) + timedelta(seconds=second)
    down, up = moments.stepped(at, step, "down"), moments.stepped(at, step, "up")
    assert down <= at <= up
    assert up - down in (timedelta(0), timedelta(minutes=step))
    assert down.minute % step == 0
    assert down.second == 0


def test_between() -> None:
    """The day is said once where it is the same."""
    first = moments.read("2026-03-04T22:00:00+00:00")
    assert moments.between(first, first + timedelta(hours=1), VIEW) == "today 22:00 to 23:00"
    assert moments.between(first, first + timedelta(hours=9), VIEW) == "today 22:00 to Thu 07:00"


@given(st.integers(0, 86_400 * 2), st.integers(0, 86_400 * 2))
def test_a_window_is_inside_the_true_one(last: int, first: int) -> None:
    """It opens late and closes early; of one moment see `core/amounts/test_hours.py`."""
    start = datetime(2026, 3, 4, tzinfo=UTC)
    opens, closes = sorted(start + timedelta(seconds=s) for s in (first, last))
    shown = moments.inwards(opens.isoformat(), closes.isoformat())
    assert opens <= shown[0] <= shown[1] <= closes


def test_what_is_over_is_to_be_done_at_once() -> None:
    """A pot is spread by its minute."""
    at = "2026-03-04T13:52:40+00:00"
    assert moments.by_minute(at, VIEW) == "by 13:52"
    assert moments.by_minute(at, columns.View(80, NOW + timedelta(hours=3))) == "at once"


def test_rows_for_a_program() -> None:
    """Tabs between, every column, nothing cut, moments exact."""
    view = columns.View(20, NOW, plain=True)
    exact = moments.short("2026-03-04T13:52:40+01:00", view, 15, "down")
    assert exact == "2026-03-04T13:52:40+01:00"
    assert columns.table(("a", ">b", "c"), [("long " * 9 + "x", "", exact)], view) == [
        "a\tb\tc",
        f"{'long ' * 9}x\t\t{exact}",
    ]


def test_the_longest_column_is_wrapped() -> None:
    """A table stays a table on a screen that has room for its words."""
    rows = [("26-014", "Engine bed, plies one to four, port side", "by 16:35")]
    assert columns.table(("job", "title", ">do"), rows, columns.View(40, NOW)) == [
        "job     title                         do",
        "26-014  Engine bed, plies one   by 16:35",
        "        to four, port side",
    ]


def test_a_time_stays_beside_its_day() -> None:
    """And a number beside its unit, in a column that is wrapped."""
    rows = [("x" * 20, "2030-03-20 14:45 to 2030-03-21 19:40", "read 19.5 °C, 4 d 13 h ago")]
    told = columns.table(("", "between", "read"), rows, columns.View(56, NOW))
    assert [line[22:] for line in told] == [
        "between              read",
        "2030-03-20 14:45 to  read 19.5 °C,",
        "2030-03-21 19:40     4 d 13 h ago",
    ]


HEADS = ("code", ">on hand", "bay", "nothing")
ROWS = [("LAM-PE", "18.5 kg", "STORE", ""), ("MAT-450", "9 m", "", "")]


def test_columns() -> None:
    """Aligned, amounts to the right, an empty column left out."""
    assert columns.table(HEADS, ROWS, VIEW) == [
        "code     on hand  bay",
        "LAM-PE   18.5 kg  STORE",
        "MAT-450      9 m",
    ]


def test_columns_on_a_narrow_screen() -> None:
    """What does not fit comes as labelled lines, a block a row."""
    assert columns.table(HEADS, ROWS, columns.View(20, NOW)) == [
        "code     LAM-PE",
        "on hand  18.5 kg",
        "bay      STORE",
        "",
        "code     MAT-450",
        "on hand  9 m",
    ]


def test_an_empty_table() -> None:
    """No rows, no heads."""
    assert columns.table(HEADS, [], VIEW) == []


TEXTS = st.text(st.characters(codec="ascii", categories=["L", "N", "P", "Zs"]), max_size=60)


@given(st.lists(st.tuples(TEXTS, TEXTS, TEXTS), max_size=5), st.integers(40, 120))
def test_nothing_is_wider_than_the_screen(rows: list[tuple[str, str, str]], width: int) -> None:
    """From 40 columns on, every line fits."""
    lines = columns.table(("code", "title", "bay"), rows, columns.View(width, NOW))
    lines += columns.labelled([("title", row[1]) for row in rows], width)
    lines += columns.marked([row[2] for row in rows], width)
    assert [line for line in lines if len(line) > width] == []


@given(st.text(max_size=40))
def test_nothing_reaches_the_terminal_that_it_would_obey(text: str) -> None:
    """No control character, escape sequence or line break of a name survives."""
    (line,) = columns.table(("name",), [("x" + text,)], columns.View(10_000, NOW))[1:]
    assert line.isprintable()
    assert line.startswith("x")


def test_long_words_of_a_label_are_hung() -> None:
    """A wrapped text stands under its own beginning."""
    assert columns.labelled([("next", "Wet: leave it alone until it has gelled.")], 30) == [
        "next  Wet: leave it alone",
        "      until it has gelled.",
    ]


@pytest.mark.parametrize(
    ("cups", "films", "words"),
    [
        (1, 0, "by 1 cup"),
        (0, 2, "by 2 layups"),
        (3, 1, "by 3 cups and 1 layup"),
    ],
)
def test_what_a_pair_s_gel_time_was_learned_from(cups: int, films: int, words: str) -> None:
    """Cups, layups that were looked at twice, or both."""
    pair = {"catalyst": "PEROX", "factor": 1.1, "spread_percent": 9.0, "cups": cups}
    view = columns.View(100, datetime(2026, 3, 4, tzinfo=UTC))
    line = " ".join(products.scored({"pairs": [pair | {"films": films}]}, view))
    assert line.endswith(words)


@given(
    st.recursive(st.text(max_size=20), lambda inner: st.dictionaries(st.text(max_size=5), inner))
)
def test_json_has_nothing_that_a_terminal_obeys_and_the_same_values(body: Any) -> None:
    """Whatever the server escaped itself; another JSON reader agrees."""
    for came in (json.dumps(body), json.dumps(body, ensure_ascii=False, indent=1)):
        shown = columns.json_text(came)
        assert shown.replace("\n", "").isprintable()
        assert json.loads(shown) == body


def test_json_between_whose_values_are_tabs_stays_json() -> None:
    """RFC 8259, 2: tabs and returns may stand between values."""
    assert json.loads(columns.json_text('{\t"a":\r\n1}')) == {"a": 1}
