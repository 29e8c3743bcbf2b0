"""Moments as a person types them."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from cureyard_client.clock import day, is_spoken, moment, shown, today
from cureyard_client.clock import face as clock_face
from cureyard_client.exits import Stopped
from cureyard_client.rendering import moments
from cureyard_client.rendering.columns import View
from hypothesis import given
from hypothesis import strategies as st

NOW = datetime(2026, 3, 4, 15, 30, tzinfo=UTC)


def lisbon() -> str:
    """The yard's zone."""
    return "Europe/Lisbon"


def madrid() -> str:
    """A zone an hour ahead."""
    return "Europe/Madrid"


def nobody() -> str:
    """A zone that must not be asked for."""
    raise AssertionError("the yard was asked for its zone")


@pytest.mark.parametrize(
    ("text", "exact"),
    [
        ("14:35", "2026-03-04T14:35:00+01:00"),
        ("today 7:05", "2026-03-04T07:05:00+01:00"),
        ("yesterday 23:10", "2026-03-03T23:10:00+01:00"),
        ("2026-02-27 14:35", "2026-02-27T14:35:00+01:00"),
        ("2025-07-01T14:35", "2025-07-01T14:35:00+02:00"),
    ],
)
def test_on_the_yards_clock(text: str, exact: str) -> None:
    """A clock time is the yard's, with the offset of that day."""
    assert moment(text, NOW, madrid) == exact


@pytest.mark.parametrize(
    ("text", "exact"),
    [
        ("now", "2026-03-04T15:30:00+00:00"),
        ("20 min ago", "2026-03-04T15:10:00+00:00"),
        ("2 h ago", "2026-03-04T13:30:00+00:00"),
        ("3 d ago", "2026-03-01T15:30:00+00:00"),
        ("2026-03-04T14:35:00+05:30", "2026-03-04T14:35:00+05:30"),
        ("2026-03-04T14:35:00Z", "2026-03-04T14:35:00Z"),
    ],
)
def test_without_the_yards_clock(text: str, exact: str) -> None:
    """What is exact by itself does not ask the yard."""
    assert moment(text, NOW, nobody) == exact


@pytest.mark.parametrize(
    ("text", "exact"),
    [
        ("tomorrow 8am", "2026-03-05T08:00:00+01:00"),
        ("tomorrow at 8:30 pm", "2026-03-05T20:30:00+01:00"),
        ("8 a.m. Tomorrow", "2026-03-05T08:00:00+01:00"),
        ("8pm", "2026-03-04T20:00:00+01:00"),
        ("12am", "2026-03-04T00:00:00+01:00"),
        ("2026-07-01 noon", "2026-07-01T12:00:00+02:00"),
        ("tomorrow 16:30", "2026-03-05T16:30:00+01:00"),
        ("in 2h", "2026-03-04T17:30:00+00:00"),
        ("in 90min", "2026-03-04T17:00:00+00:00"),
        ("in 1.5 h", "2026-03-04T17:00:00+00:00"),
        ("in 2 h and 30 min", "2026-03-04T18:00:00+00:00"),
        ("an hour ago", "2026-03-04T14:30:00+00:00"),
        ("3 days from now", "2026-03-07T15:30:00+00:00"),
        ("1 week ago", "2026-02-25T15:30:00+00:00"),
        ("2 h and 30 min ago", "2026-03-04T13:00:00+00:00"),
        ("3 d 4 h ago", "2026-03-01T11:30:00+00:00"),
        ("Thu 10:00", "2026-02-26T10:00:00+01:00"),
        ("Wed 10:00", "2026-03-04T10:00:00+01:00"),
        ("friday 8am", "2026-02-27T08:00:00+01:00"),
        ("16 Nov 10:05", "2025-11-16T10:05:00+01:00"),
        ("Sun 16 Nov 10:05", "2025-11-16T10:05:00+01:00"),
        ("march 3 8am", "2026-03-03T08:00:00+01:00"),
        ("16 Nov 2024, 10:05", "2024-11-16T10:05:00+01:00"),
        ("Wed 2026-03-04 18:30", "2026-03-04T18:30:00+01:00"),
        ("this morning 9:00", "2026-03-04T09:00:00+01:00"),
        ("this afternoon at 2:30", "2026-03-04T14:30:00+01:00"),
        ("yesterday evening 8:00", "2026-03-03T20:00:00+01:00"),
        ("tonight 21:00", "2026-03-04T21:00:00+01:00"),
    ],
)
def test_as_people_say_it(text: str, exact: str) -> None:
    """Words that can mean one moment only are that moment."""
    assert moment(text, NOW, madrid) == exact
    assert is_spoken(text)


@pytest.mark.parametrize(
    "text",
    ["31 Dec 9999 23:59", "9999-12-31 23:59", "Fri 9999-12-31 8pm", "1 Jan 0001 00:00",
     "0001-01-01 00:00", "3000-01-01 00:00"],
)  # fmt: skip
@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "America/Los_Angeles"])
def test_a_year_that_is_out_of_range(text: str, zone: str) -> None:
    """In words: on some clock such a moment is not in the calendar any more."""
    with pytest.raises(Stopped, match="out of range"):
        moment(text, NOW, lambda: zone)


@pytest.mark.parametrize(
    ("text", "exact"),
    [
        ("2026-03-31", "2026-03-31"), ("today", "2026-03-05"), ("Tomorrow", "2026-03-06"),
        ("yesterday", "2026-03-04"), ("in 3 days", "2026-03-08"), ("in 2 weeks", "2026-03-19"),
        ("in 12 months", "2027-03-05"), ("in 1 year", "2027-03-05"), ("31 Jan 2027", "2027-01-31"),
        ("Wed 2026-11-25", "2026-11-25"), ("Tue 2026-11-25", "Tue 2026-11-25"),
        ("16 Nov", "2025-11-16"), ("Sep 3", "2025-09-03"), ("friday", "2026-02-27"),
        ("next friday", "next friday"), ("31/03/2026", "31/03/2026"), ("30 Feb", "30 Feb"),
    ],
)  # fmt: skip
def test_a_day(text: str, exact: str) -> None:
    """Days in words, on the yard's calendar; other texts are left for the service to judge."""
    assert day(text, NOW, lambda: "Pacific/Kiritimati") == exact


@given(
    st.integers(0, 9999),
    st.sampled_from([("min", 1), ("minutes", 1), ("h", 60), ("hours", 60), ("d", 1440)]),
    st.booleans(),
)
def test_so_long_off_is_so_long_off(count: int, unit: tuple[str, int], ahead: bool) -> None:
    """So many minutes, hours or days, either way."""
    text = f"in {count} {unit[0]}" if ahead else f"{count} {unit[0]} ago"
    off = timedelta(minutes=count * unit[1])
    assert datetime.fromisoformat(moment(text, NOW, madrid)) == NOW + (off if ahead else -off)


@pytest.mark.parametrize(
    ("text", "exact"),
    [("Thu 10:00", "2026-03-05T10:00:00+01:00"), ("Wed 10:00", "2026-03-04T10:00:00+01:00"),
     ("3 Mar 10:05", "2027-03-03T10:05:00+01:00"), ("16 Nov 10:05", "2026-11-16T10:05:00+01:00")],
)  # fmt: skip
def test_of_what_is_to_come(text: str, exact: str) -> None:
    """A weekday or a date without its year is the next one where something is planned."""
    assert moment(text, NOW, madrid, ahead=True) == exact


@given(
    st.integers(-30 * 24 * 60, 30 * 24 * 60).map(lambda count: timedelta(minutes=count)),
    st.sampled_from(["Europe/Lisbon", "Asia/Kathmandu"]),
)
def test_what_is_printed_is_taken(off: timedelta, zone: str) -> None:
    """Each face of a moment that the program prints is read back as that moment."""
    now = NOW.replace(month=6)  # no clock changes near it
    view = View(100, now)
    at = now + off
    local = at.astimezone(ZoneInfo(zone))
    printed = [
        moments.clock(local, view), moments.when(local.isoformat(), view),
        clock_face(local.isoformat()), shown(local.isoformat(), zone), f"{local:%d %b %Y %H:%M}",
    ]  # fmt: skip
    if abs(off) < timedelta(days=1):
        printed.append(moments.away(at, view))
    for text in printed:
        read = datetime.fromisoformat(moment(text, now, lambda: zone, ahead=off > timedelta(0)))
        assert read == at, text


def test_read_back() -> None:
    """What was understood, as the yard's clock and calendar show it."""
    assert shown("2026-03-04T17:30:00+00:00", "Europe/Madrid") == "Wed 2026-03-04 18:30"


@given(st.text(st.sampled_from("0123456789 :aphindmkowgotrue"), max_size=24))
def test_words_are_a_moment_or_refused(text: str) -> None:
    """Whatever is typed."""
    with suppress(Stopped):
        assert datetime.fromisoformat(moment(text, NOW, madrid)).tzinfo


@pytest.mark.parametrize(
    "text",
    [
        "", "25:00", "14:60", "tomorrow", "2026-02-30 10:00", "half past two", "14.35",
        "next friday 8am", "Thu 2026-03-04 8am", "next week", "8", "at 8", "tonight", "13pm",
        "in 2", "2h", "half an hour ago", "3/4 8am", "30 feb 8am", "in 2h tomorrow", "midnight",
        "this morning 14:00", "this morning 8pm", "this evening 2:00", "this morning", "Thu 10",
    ],
)  # fmt: skip
def test_no_moment(text: str) -> None:
    """What is no moment is refused, with how to write one."""
    with pytest.raises(Stopped) as caught:
        moment(text, NOW, lisbon)
    assert caught.value.exit_code == 2
    assert "14:35" in caught.value.advice


@pytest.mark.parametrize("text", ["2026-03-29 01:30", "2026-10-25 01:30"])
def test_a_night_when_the_clocks_change(text: str) -> None:
    """A clock time that comes never or twice is not guessed at."""
    with pytest.raises(Stopped, match="twice or never") as caught:
        moment(text, NOW, lisbon)
    assert "+01:00" in caught.value.advice
    assert "+00:00" in caught.value.advice


def test_today_is_the_yards() -> None:
    """At 15:30 UTC it is already tomorrow in the far east."""
    assert today(NOW, "Pacific/Kiritimati") == "2026-03-05"
    assert today(NOW, "Europe/Lisbon") == "2026-03-04"


@given(st.integers(0, 2 * 24 * 60), st.sampled_from(["Europe/Lisbon", "Asia/Kathmandu"]))
def test_a_clock_face_round_trips(minutes: int, zone: str) -> None:
    """Any minute of a common day, typed as the yard's clock shows it, is that minute."""
    at = datetime(2026, 6, 1, tzinfo=UTC) + timedelta(minutes=minutes)
    face = f"{at.astimezone(ZoneInfo(zone)):%Y-%m-%d %H:%M}"
    assert datetime.fromisoformat(moment(face, NOW, lambda: zone)) == at


def test_what_was_is_cut_to_its_minute() -> None:
    """As the pages and the service's own sentences do: one event has one time everywhere."""
    view = View(100, NOW)
    assert moments.short("2026-03-04T14:28:59+00:00", view) == "today 14:28"
    assert moments.when("2026-03-04T15:00:31+00:00", view) == "today 15:00, 30 min ago"
