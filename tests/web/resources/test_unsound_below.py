"""A layer that is not sound, over HTTP: refused by its slug, and in trouble on each page."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from ... import makers
from ...acts import sample_yard as yard
from ...acts.sample_yard import NOW, H
from ...putting import post
from ..conftest import Clock

LAYUP = makers.layup(title="Skin")
BY_LEAVE = {"override": {"reason": "the surveyor wants it so"}}


@pytest.fixture
def client(app: Flask, clock: Clock) -> FlaskClient:
    """The service on the acts' yard, with a layup that was wet at two hours."""
    yard.set_up()
    client = app.test_client()
    clock.moment = NOW - 3 * H
    post(client, "layups", LAYUP)
    clock.moment = NOW - H
    post(client, "layups/1/observations", {"kind": "not_gelled"})
    clock.moment = NOW
    return client


def text_of(client: FlaskClient, page: str) -> str:
    """A page's words."""
    return re.sub(r"\s+", " ", unescape(client.get(page).text))


@pytest.mark.parametrize(
    ("path", "body"),
    [("layups", {**LAYUP, "over": 1}), ("layups/1/observations", {"kind": "covered"})],
)
def test_it_is_refused_and_then_by_leave_on_record(
    client: FlaskClient, path: str, body: dict[str, Any]
) -> None:
    """409, with what it is and what would help; a lead's reason stands in the trail."""
    refused = post(client, path, body, 409)
    assert refused["type"].endswith("/problems/unsound-below")
    assert (refused["layup"], refused["changed"]) == (1, False)
    assert "suspect" in refused["state"]
    assert "scrape it off" in refused["advice"]
    assert client.get("/problems/unsound-below").status_code == 200
    post(client, path, body | BY_LEAVE)
    (row,) = client.get("/v1/overrides").json["items"]
    assert (row["slug"], row["reason"]) == ("unsound-below", BY_LEAVE["override"]["reason"])


def test_in_trouble_on_every_page_until_a_word(client: FlaskClient) -> None:
    """Now, the wall, its own sheet, the gates, the lists, the calendar; then on none."""
    post(client, "layups", {**LAYUP, "title": "Next", "over": 1} | BY_LEAVE)
    now = client.get("/v1/now").json
    assert [a["action"] for a in now["actions"] if a["layup"] == 1] == ["probe"]
    wall = text_of(client, "/")
    assert 'href="#s-unsettled"' in wall
    assert "left unsound" in wall
    assert "2 in trouble" in wall  # and what lies on it
    assert "left unsound" in text_of(client, "/layups/1")
    gates = {g["gate"]: g for g in client.get("/v1/jobs/D-7/gates").json["gates"]}
    assert gates["sound-below"]["verdict"] == "stop"
    assert 1 in [x["id"] for x in client.get("/v1/layups?curing=true").json["items"]]
    ics = client.get("/v1/calendar.ics").text
    assert "Skin: in trouble\\, do not cover: ask a lead" in ics.replace("\r\n ", "")
    told = post(client, "layups/1/observations", {"kind": "scraped_off"})
    assert (told["state"], told["next"]["text"]) == (
        ["finished"], "Scraped off: nothing more is watched.",
    )  # fmt: skip
    assert 1 not in [a["layup"] for a in client.get("/v1/now").json["actions"]]
    events = client.get("/v1/calendar.ics").text.split("BEGIN:VEVENT")
    assert all("STATUS:CANCELLED" in each for each in events if "Skin:" in each)
    gates = {g["gate"]: g for g in client.get("/v1/jobs/D-7/gates").json["gates"]}
    assert gates["sound-below"]["verdict"] == "pass"


def test_a_pot_not_laid_up_is_on_the_wall(client: FlaskClient) -> None:
    """And in 'now', until when it can be worked; laid up it is gone."""
    yard.stocked()
    pot = yard.pot().id
    (told,) = client.get("/v1/now").json["pots"]
    assert (told["id"], told["resin"], told["amount"]) == (
        pot, "LAM", {"value": 1000.0, "unit": "g"},
    )  # fmt: skip
    wall = text_of(client, "/")
    assert "1 pot to spread" in wall
    assert f"Pot {pot}, LAM" in wall
    yard.laid(pot)
    assert client.get("/v1/now").json["pots"] == []
    assert f"Pot {pot}, LAM" not in text_of(client, "/")


def test_a_layer_felt_wet_only_by_the_clock_is_a_caution(client: FlaskClient, clock: Clock) -> None:
    """What has gelled by the clock alone is to be felt; a hand's word is enough."""
    post(client, "layups/1/observations", {"kind": "gelled"})
    clock.moment = NOW + 5 * H
    post(client, "layups", {**LAYUP, "title": "Keel", "applied_at": "2026-03-20T10:00:00Z"})

    def verdict() -> str:
        gates = client.get("/v1/jobs/D-7/gates").json["gates"]
        return str(next(g["verdict"] for g in gates if g["gate"] == "sound-below"))

    assert verdict() == "caution"
    post(client, "layups/2/observations", {"kind": "no_transfer"})
    assert verdict() == "pass"
