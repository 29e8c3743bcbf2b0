"""A temperature logger's table, as loggers write them and as they should not."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.store import tables
from flask.testing import FlaskClient

from ... import makers

BAY = makers.bay("SHED", "21 degC", "14 degC")
HEAD = "at,temperature (degC),humidity_percent\n"
GOOD = HEAD + "2026-03-20T07:00:00Z,18.5,62\n2026-03-20T08:00:00Z,19,\n"


@pytest.fixture(autouse=True)
def bay(client: FlaskClient) -> None:
    """A bay to read."""
    client.post("/v1/bays", json=BAY)


def post(client: FlaskClient, table: str | bytes) -> Any:
    """Post a table of readings."""
    return client.post("/v1/bays/SHED/readings", data=table, content_type="text/csv")


@pytest.mark.parametrize(
    "table",
    [
        GOOD,
        "\ufeff" + GOOD,
        GOOD.replace("\n", "\r\n"),
        GOOD.replace("\n", "\r"),
        GOOD + "\n,,\n",
        GOOD.replace(",18.5,", ', "18.5" ,'),
        GOOD.replace(" (degC)", "").replace("18.5", "18.5 degC").replace(",19,", ",66.2 degF,"),
        "temperature (degF),at\n65.3,2026-03-20 07:00\n66.2,2026-03-20 08:00:00\n",
    ],
)
def test_a_table_is_the_readings_that_it_stands_for(client: FlaskClient, table: str) -> None:
    """Whatever its line ends, its quotes, its columns' order and its unit."""
    became = {"recorded": 2, "unchanged": 0, "replaced": 0, "doubted": 0}
    assert post(client, table.encode()).json == became
    kelvin = [row.temperature_mk for row in tables.Reading.select().order_by(tables.Reading.at)]
    assert kelvin == [291_650, 292_150]


@pytest.mark.parametrize(
    ("table", "status"),
    [
        ("", 422),
        ("\n", 422),
        ("time,temp\n2026-03-20T07:00:00Z,18\n", 422),
        ("at,at,temperature\n1,2,3\n", 422),
        (HEAD, 422),
        ("at,temperature\n2026-03-20T07:00:00Z,18.5\n", 422),
        ("at,temperature (degC)\n2026-03-20T07:00:00Z,18,5\n", 422),
        ("at,temperature (bar)\n2026-03-20T07:00:00Z,18\n", 422),
        (HEAD + "2026-03-20T07:00:00Z,18.5,1_0\n", 422),
        (HEAD + "2026-03-20T07:00:00Z,18.5,nan\n", 422),
        (HEAD + "2026-03-20T07:00:00Z,18.5,-5\n", 422),
        (HEAD + "2026-03-20T07:00:00Z,nan,5\n", 422),
        (HEAD + "2026-13-40 07:00,18,5\n", 422),
        (HEAD + "2026-03-20T07:00:00Z\n", 422),
        (HEAD + "\x00,18,5\n", 422),
        (HEAD + '"2026-03-20T07:00:00Z,18,5\n', 422),
        (HEAD + '"' + "x" * 200_000 + '",18,5\n', 400),
        (b"\xff\xfea\x00t\x00", 400),
        (GOOD + "2026-03-20T07:00:00Z,40,62\n", 409),
        (GOOD + "2030-03-20T07:00:00Z,18,62\n", 422),
    ],
)
def test_a_table_is_taken_whole_or_not_at_all(
    client: FlaskClient, table: str | bytes, status: int
) -> None:
    """A decimal comma, a missing unit, half a line: nothing of it is recorded."""
    answer = post(client, table)
    assert answer.status_code == status, answer.text
    assert answer.json["changed"] is False
    assert tables.Reading.select().count() == 0
