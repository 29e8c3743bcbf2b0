"""Temperature loggers' files as they come: every layout is told by its headings, or refused."""

from __future__ import annotations

import csv
import io
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from cureyard_service.core.errors import Refusal
from cureyard_service.web.files import days, logger
from hypothesis import given
from hypothesis import strategies as st

LISBON = ZoneInfo("Europe/Lisbon")
SEVEN = datetime(2026, 3, 31, 6, tzinfo=UTC)
"""07:00 in Lisbon, on summer time."""

LAYOUTS = {
    "one column of moments": "at,temperature (degC)\n2026-03-31 07:00,18.5\n",
    "two columns, semicolons, decimal commas": (
        "#;Date;Time;Celsius(°C);Humidity(%rh);Dew point(°C)\n1;31/03/2026;07:00:00;18,5;61,0;11\n"
    ),
    "titles above the headings": (
        'Shed north\nSerial,"12"\n\n#,Timestamp,Temp °C,Alarm\n1,2026-03-31T07:00,18.5,\n'
    ),
    "an offset in the heading, month first, twelve hours": (
        '"#","Date Time, GMT-05:00","Temp, °F (probe 1)"\n1,"03/31/26 01:00:00 AM","65.3"\n'
    ),
    "units in the cells": "Time\tTemp\n2026-03-31T06:00:00Z\t65.3 °F\n",
    "dots between day and month": "Log;x\nDate/Time;Temperature [K]\n31.03.2026 07:00;291,65\n",
    "UTC beside local time": (
        "at (Europe/Lisbon),at (UTC),temperature (degC)\n2026-03-31 07:00,2026-03-31 06:00,18.5\n"
    ),
    "its own zone": "at (Europe/Madrid),temperature_c\n2026-03-31 08:00:00.000,18.5\n",
    "cells over the edge that are empty": "at,temperature (C)\n2026-03-31 07:00,18.5,,\n",
}


@pytest.mark.parametrize("name", LAYOUTS)
def test_a_layout_is_told_by_its_headings(name: str) -> None:
    """Each of them is 18.5 °C at seven on that morning in Lisbon."""
    log = logger.read(LAYOUTS[name], LISBON)
    (line,) = log.lines
    assert line.at == SEVEN
    assert line.temperature.replace("°", "deg").replace("deg", "").split()[0] in (
        "18.5", "65.3", "291.65",
    )  # fmt: skip
    assert any(note.startswith("Moments:") for note in log.notes)


def test_what_was_made_of_it_is_told() -> None:
    """Marks, dates, headings, columns and rows that were not used: all for a person to check."""
    text = LAYOUTS["two columns, semicolons, decimal commas"]
    log = logger.read("Shed\n" + text + "2;31/03/2026;07:15:00;;;\n", LISBON)
    told = " ".join(log.notes)
    assert "Headings in row 2." in told
    assert "semicolons, and a comma in a number is its decimal mark" in told
    assert "Dates begin with the day." in told
    assert "Not used: #, Dew point(°C)." in told
    assert "no temperature: 1 rows, the first is 4" in told


@pytest.mark.parametrize(
    ("table", "word"),
    [
        ("at,temp 1,temp 2\n", "may each be the temperature"),
        ("at,timestamp,temp\n", "may each be the moment"),
        ("date,time,date (UTC),temp\n", "may each be the date"),
        ("at,humidity\n2026-03-31 07:00,60\n", "no column for the temperature"),
        ("temperature (C),humidity\n18,60\n", "no column for the moment"),
        ("at,temp C\n03/04/2026 07:00,18\n", "may be two days"),
        ("at,temp C\n13/04/2026 07:00,18\n04/13/2026 07:00,18\n", "some with the month"),
        ("at,temp C\n31/02/2026 07:00,18\n", "not a date"),
        ("at,temp C\n2026-03-31,18\n", "not a date with its time"),
        ("at,temp C\n31/03/2026 13:00 PM,18\n", "not a date"),
        ("at,temp C\n2026-03-31 07:00,18,5\n", "3 cells for 2 columns"),
        ('at,temp C\n2026-03-31 07:00,"18,5"\n', "decimal mark or one of thousands"),
        ("at;temp C\n2026-03-31 07:00;1.018,5\n", "decimal mark or one of thousands"),
        ("at,temp C\n2026-03-29 01:30,18\n", "never came"),
        ("at,temp C\n2026-10-25 01:30,18\n", "came twice"),
        ("at,temp C\n9999-12-31 23:59,18\n", "year out of range"),
        ("at (UTC-12),temp C\n9999-12-31 23:59,18\n", "year out of range"),
        ("at (UTC+14),temp C\n0001-01-01 00:00,18\n", "year out of range"),
        ("at,temp C\n9999-12-31T23:59:59-12:00,18\n", "year out of range"),
        ("at,temp C\n1970-01-01T00:00:00+14:00,18\n", "year out of range"),
        ("at,temp C\n31.12.9999 23:59,18\n", "year out of range"),
        ("at (GMT+99),temp C\n2026-10-25 01:30,18\n", "is not a time zone"),
    ],
)
def test_what_may_be_two_things_is_refused(table: str, word: str) -> None:
    """In words that name the row, and say what to do."""
    with pytest.raises(Refusal) as caught:
        logger.read(table, LISBON)
    assert word in caught.value.detail
    assert caught.value.advice


@pytest.mark.parametrize(
    "name", ["UTC", "utc+1", "GMT-05:00", "UTC+0530", "Europe/Lisbon", "Asia/Kathmandu"]
)
def test_clocks(name: str) -> None:
    """Universal time, with hours ahead or behind it, or a zone by its name."""
    assert datetime(2026, 3, 1, tzinfo=days.zone(name)).utcoffset() is not None


@pytest.mark.parametrize("name", ["", "noon", "UTC+24", "../../etc/passwd", "x" * 60, "Europe"])
def test_no_clock(name: str) -> None:
    """What is none is refused, a path on the disk too."""
    with pytest.raises(Refusal):
        days.zone(name)


MOMENTS = st.datetimes(datetime(1990, 1, 1), datetime(2030, 1, 1)).map(
    lambda at: at.replace(microsecond=0)
)


@given(
    st.lists(st.tuples(MOMENTS, st.integers(-400, 900), st.integers(1, 999)), min_size=1,
             max_size=12),
    st.sampled_from(",;\t"),
    st.sampled_from(["\n", "\r\n", "\r"]),
    st.sampled_from([csv.QUOTE_ALL, csv.QUOTE_MINIMAL]),
    st.sampled_from(["%Y-%m-%d %H:%M:%S", "%d.%m.%Y %H:%M:%S", "%Y/%m/%d %I:%M:%S %p"]),
)  # fmt: skip
def test_a_dialect_changes_nothing(
    readings: list[tuple[datetime, int, int]], mark: str, end: str, quotes: int, form: str
) -> None:
    """Whatever stands between cells, ends a line, is quoted, or writes a date: one log."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=mark, lineterminator=end, quoting=quotes)  # type: ignore[arg-type]
    writer.writerow(["at", "temperature (degC)", "humidity"])
    for at, heat, damp in readings:
        numbers = [f"{heat / 10:.1f}", f"{damp / 10:.1f}"]
        if mark != ",":
            numbers = [number.replace(".", ",") for number in numbers]
        writer.writerow([at.strftime(form), *numbers])
    log = logger.read(text.getvalue(), UTC)
    assert [line.at for line in log.lines] == [at.replace(tzinfo=UTC) for at, _, _ in readings]
    assert [line.temperature for line in log.lines] == [
        f"{h / 10:.1f} degC" for _, h, _ in readings
    ]
    assert [line.humidity for line in log.lines] == [f"{d / 10:.1f}" for _, _, d in readings]


@given(st.text(max_size=200))
def test_any_text_is_a_log_or_is_refused(text: str) -> None:
    """Nothing that is sent makes the reader fall over."""
    for body in (text, "at,temperature (C)\n" + text, f"at,temp\n{text},18 C\n"):
        with suppress(Refusal):
            assert logger.read(body, LISBON).lines


@given(MOMENTS)
def test_a_local_time_is_one_moment_or_none(at: datetime) -> None:
    """Typed as the clock shows it, a moment is itself, or is refused as one that is twice."""
    universal = at.replace(tzinfo=UTC)
    face = universal.astimezone(LISBON)
    try:
        read = days.moment(face.strftime("%Y-%m-%d %H:%M:%S"), None, LISBON)
    except Refusal:
        hour = timedelta(hours=1)
        around = {(universal + d).astimezone(LISBON).utcoffset() for d in (-hour, hour)}
        assert len(around) == 2
    else:
        assert read == universal
