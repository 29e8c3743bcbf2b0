"""Moments as a person types them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from cureyard_client.clock import moment, today
from cureyard_client.exits import Stopped
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
    "text", ["", "25:00", "14:60", "tomorrow", "2026-02-30 10:00", "half past two", "14.35"]
)
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
