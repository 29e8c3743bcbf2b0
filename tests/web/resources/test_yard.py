"""The yard's own settings, changed by an admin."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...putting import by_client, post

LOT = makers.lot(unit_cost={"amount": 90, "currency": "EUR"})


def changed(client: FlaskClient, body: dict[str, Any], version: str = "*") -> Any:
    """What a change is answered with."""
    return client.patch("/v1/yard", json=body, headers={"If-Match": version})


def test_units_and_clock_change_and_the_record_stays(client: FlaskClient) -> None:
    """The same lot in pounds, its moments on the other clock, its cost as it was paid."""
    by_client(client, products=[makers.product("LAM", "resin")], lots=[LOT])
    before = client.get("/v1/yard")
    told = changed(
        client,
        {"units": "us", "zone": "America/Chicago", "currency": "USD"},
        before.headers["ETag"],
    )
    assert told.status_code == 200
    assert (told.json["units"], told.json["zone"]) == ("us", "America/Chicago")
    lot = client.get("/v1/lots/1").json
    assert lot["on_hand"] == {"value": pytest.approx(44.092, abs=1e-3), "unit": "lb"}
    assert lot["cost"] == {"amount": 90, "currency": "EUR"}
    (entry,) = client.get("/v1/logbook").json["items"]
    assert entry["about"] == "currency USD, units us, zone America/Chicago"
    assert entry["at"].endswith("-05:00")


def test_how_sure_the_yard_wants_to_be(client: FlaskClient) -> None:
    """95 until it says otherwise; then every band that it is told is wider."""
    by_client(client, **makers.yard())
    assert client.get("/v1/yard").json["sureness"] == 95
    layup = post(client, "layups", makers.layup())["id"]

    def edges() -> list[str]:
        opens = client.get(f"/v1/layups/{layup}").json["milestones"]["recoat_opens"]
        return [opens["earliest"], opens["at"], opens["latest"]]

    usual = edges()
    assert changed(client, {"sureness": 99}).json["sureness"] == 99
    wide = edges()
    assert wide[0] < usual[0] < usual[1] == wide[1] < usual[2] < wide[2]


def test_two_changes_at_once_are_one(client: FlaskClient) -> None:
    """The later of two who read the same is told so."""
    version = client.get("/v1/yard").headers["ETag"]
    assert changed(client, {"units": "us"}, version).status_code == 200
    assert changed(client, {"units": "metric"}, version).status_code == 412
    assert client.get("/v1/yard").json["units"] == "us"


@pytest.mark.parametrize(
    "body",
    [{"units": "furlongs"}, {"zone": "Mars/Olympus"}, {"zone": "Europe"}, {"zone": "EST"},
     {"zone": "Etc/GMT+5"}, {"zone": "/etc/passwd"}, {"zone": "../../etc"}, {"zone": ""},
     {"currency": "eur"}, {"currency": "EURO"}, {"address": "yard.example"},
     {"address": "ftp://yard"}, {"address": "http://"}, {"address": "http://[::1"},
     {"address": "http://yard:99999"}, {"version": 7}, {"seeded_at": 0}, {"units": None},
     {"profile": "army"}, {"profile": ""}, {"sureness": 89}, {"sureness": 100},
     {"sureness": 95.5}, {"sureness": "95 %"},
     {"sureness": None}],
)  # fmt: skip
def test_what_can_not_be_is_refused(client: FlaskClient, body: dict[str, Any]) -> None:
    """422, and the yard is as it was."""
    before = client.get("/v1/yard").json
    assert changed(client, body).status_code == 422
    assert client.get("/v1/yard").json == before
