"""The demo's temperatures are the real ones, and only their dates are moved."""

from __future__ import annotations

import csv
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from zoneinfo import ZoneInfo

import pytest
from cureyard_client.demo_yard import series

SEATTLE = ZoneInfo("America/Los_Angeles")


def test_row_for_row_the_published_series() -> None:
    """Every hour equals that hour of `seattle-temps.csv` in vega_datasets (NOAA, public domain)."""
    text = files("vega_datasets").joinpath("_data/seattle-temps.csv").read_text(encoding="utf-8")
    published = {row["date"]: row["temp"] for row in csv.DictReader(text.splitlines())}
    ours = {f"{at:%Y/%m/%d %H:%M}": heat for at, heat in series.rows()}
    assert len(ours) == 5 * 24
    assert ours == {at: published[at] for at in ours}
    assert (min(ours), max(ours)) == ("2010/07/12 00:00", "2010/07/16 23:00")


def test_moved_to_end_today() -> None:
    """The last hours are today's up to now; the time of day and the temperature stay."""
    now = datetime(2026, 11, 3, 22, 20, tzinfo=UTC)  # 14:20 there
    moved = series.moved(now, SEATTLE)
    assert len(moved) == 4 * 24 + 15
    assert moved[-1][0].isoformat() == "2026-11-03T14:00:00-08:00"
    as_measured = list(series.rows())
    assert [heat for _, heat in moved] == [heat for _, heat in as_measured][: len(moved)]
    assert {at.hour for at, _ in moved} == set(range(24))


@pytest.mark.parametrize("minutes", range(0, 24 * 60, 97))
def test_never_in_the_future(minutes: int) -> None:
    """At any time of day the series ends within the last hour."""
    now = datetime(2026, 7, 1, 7, 0, tzinfo=UTC) + timedelta(minutes=minutes)
    last = series.moved(now, SEATTLE)[-1][0]
    assert timedelta(0) <= now - last < timedelta(hours=1)


def test_a_skipped_hour_is_left_out() -> None:
    """The hour that the clock jumps over in a spring night does not exist."""
    now = datetime(2026, 3, 9, 20, 0, tzinfo=UTC)  # the day after 02:00 to 03:00 was skipped
    moved = series.moved(now, SEATTLE)
    faces = [at.strftime("%m-%d %H") for at, _ in moved]
    assert "03-08 02" not in faces
    assert {"03-08 01", "03-08 03"} <= set(faces)
    instants = [at.astimezone(UTC) for at, _ in moved]
    assert instants == sorted(set(instants))


def test_as_a_loggers_file() -> None:
    """The table is what a bay reads: a heading, then moment with offset and degrees."""
    text = series.table(series.moved(datetime(2026, 11, 3, 22, 20, tzinfo=UTC), SEATTLE)[:2])
    assert text == (
        "at,temperature\n2026-10-30T00:00:00-07:00,60.0 degF\n2026-10-30T01:00:00-07:00,58.9 degF\n"
    )
