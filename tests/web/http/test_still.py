"""The ETag of `now` and of the wall: the same while every word, hour and state in them holds.

RFC 9110, 8.8.1 and 13.1.2: a weak validator, and a 304 without a body where it is the request's.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ... import makers
from ...acts import sample_yard as yard
from ...acts.sample_yard import DAY, MIN, NOW, H
from ..conftest import Clock

LAID = NOW - 110 * MIN
LOOKS = ("/v1/now", "/")


@pytest.fixture
def made(client: FlaskClient) -> FlaskClient:
    """A yard with a pot that cures in a warm shed, and a drum that soon is out of date."""
    yard.set_up()
    yard.receive("LAM", "20 kg", expires_on=yard.day(2))
    yard.receive("PEROX", "1 kg")
    yard.receive("MICROS", "5 kg")
    yard.laid(yard.pot(now=LAID).id, now=LAID)
    reading(NOW - 20 * MIN, "20 degC")(client)
    return client


def sent(method: str, path: str, body: Any) -> Callable[[FlaskClient], None]:
    """A request that must go well."""

    def send(client: FlaskClient) -> None:
        answer = client.open(path, method=method, json=body, headers={"If-Match": "*"})
        assert answer.status_code in (200, 201), answer.text

    return send


def stamp(at: int) -> str:
    """A moment (epoch s) as it is sent."""
    return datetime.fromtimestamp(at, UTC).isoformat()


def moment(text: str) -> int:
    """Epoch s of a moment as it is told."""
    return int(datetime.fromisoformat(text).timestamp())


def reading(at: int, temperature: str, bay: str = "SHED", **more: Any) -> Any:
    """A reading of a bay."""
    told = {"at": stamp(at), "temperature": temperature, **more}
    return sent("post", f"/v1/bays/{bay}/readings", {"readings": [told]})


def look(client: FlaskClient, path: str, tag: str | None = None) -> TestResponse:
    """A look, perhaps with a kept answer's ETag."""
    return client.get(path, headers={} if tag is None else {"If-None-Match": tag})


WITHDRAWN = {"reason": "another part"}
CHANGES = {
    "a draw": sent("post", "/v1/movements", makers.draw()),
    "a count": sent("post", "/v1/movements", {"kind": "count", "lot": 1, "quantity": "18 kg"}),
    "a need": sent("post", "/v1/jobs/D-7/needs", {"needs": [
        {"product": "WAX", "quantity": "1 kg"}]}),
    "a pot": sent("post", "/v1/batches", makers.pot()),
    "a look": sent("post", "/v1/layups/1/observations", {"kind": "gelled"}),
    "a layup": sent("post", "/v1/layups", {
        "job": "D-7", "title": "More", "kind": "laminate", "bay": "SHED", "product": "LAM",
        "catalyst_percent": 2}),
    "a layup taken back": sent("post", "/v1/layups/1/withdrawal", WITHDRAWN),
    "a new title": sent("patch", "/v1/layups/1", {"title": "Plies 1 to 4"}),
    "a move": sent("patch", "/v1/layups/1", {"bay": "TENT"}),
    "a hold": sent("patch", "/v1/lots/3", {"held": True, "reason": "lumpy"}),
    "another last day": sent("patch", "/v1/lots/3", {
        "expires_on": "2026-03-21", "reason": "read again"}),
    "another craft": sent("patch", "/v1/jobs/D-7", {"craft": "the ketch Teal"}),
    "a bay's title": sent("patch", "/v1/bays/BARN", {"title": "The old barn"}),
    "a bay less well known": sent("patch", "/v1/bays/SHED", {"uncertainty": "5 K"}),
    "a colder night": sent("patch", "/v1/bays/SHED", {"night": "12 degC"}),
    "a reading that moves an hour": reading(NOW - 10 * MIN, "30 degC"),
    "a reading that is corrected": reading(
        NOW - 20 * MIN, "28 degC", replaces=True, reason="misread"),
    "a probe's jump": sent("post", "/v1/bays/SHED/readings", {"probe": True, "readings": [
        {"at": stamp(NOW - MIN), "temperature": "45 degC"}]}),
    "a cup test": sent("post", "/v1/lots/1/cup-tests", {
        "catalyst_lot": 2, "mass": "100 g", "temperature": "20 degC", "catalyst_percent": 2,
        "gel_times": ["14 min"]}),
    "the yard's sureness": sent("patch", "/v1/yard", {"sureness": 97}),
    "the yard's zone": sent("patch", "/v1/yard", {"zone": "Europe/Helsinki"}),
    "the yard's units": sent("patch", "/v1/yard", {"units": "us"}),
}  # fmt: skip
"""A change of each kind that the yard's answers rest on."""


@pytest.mark.parametrize("path", LOOKS)
@pytest.mark.parametrize("name", CHANGES)
def test_every_kind_of_change_changes_it(made: FlaskClient, path: str, name: str) -> None:
    """Who kept an answer gets the whole new one."""
    tag = look(made, path).headers["ETag"]
    assert look(made, path, tag).status_code == 304
    CHANGES[name](made)
    after = look(made, path, tag)
    assert after.status_code == 200
    assert after.headers["ETag"] != tag


@pytest.mark.parametrize("path", LOOKS)
@pytest.mark.parametrize("passed", ["a last day", "a window opening", "a pot's working time"])
def test_time_that_passes_changes_it(
    made: FlaskClient, clock: Clock, path: str, passed: str
) -> None:
    """By its own hours, as `now` told them: a second before each it still holds."""
    if passed == "a pot's working time":
        CHANGES["a pot"](made)
    told = made.get("/v1/now").json
    at = {
        "a last day": NOW - NOW % DAY + 3 * DAY,
        "a window opening": moment(told["layups"][0]["milestones"]["recoat_opens"]["at"]),
        "a pot's working time": moment(
            (told["pots"] or [{"work_until": told["at"]}])[0]["work_until"]
        ),
    }[passed]
    tags = []
    for clock.moment in (at - 2, at - 1, at + 1):
        tags.append(look(made, path).headers["ETag"])
    assert tags[0] == tags[1] != tags[2]


@pytest.mark.parametrize("path", LOOKS)
def test_the_moment_and_the_air_alone_do_not(made: FlaskClient, clock: Clock, path: str) -> None:
    """A minute later, and with another bay read again, the kept answer holds: no body comes."""
    reading(NOW - 5 * MIN, "4 degC", bay="BARN")(made)
    before = look(made, path)
    clock.moment += MIN
    reading(NOW, "4.5 degC", bay="BARN")(made)
    again = look(made, path, before.headers["ETag"])
    assert (again.status_code, again.data) == (304, b"")
    assert again.headers["ETag"] == before.headers["ETag"]
    if path == "/v1/now":
        assert without_air(look(made, path).json) == without_air(before.json)
        assert look(made, path).json != before.json


def without_air(told: dict[str, Any]) -> dict[str, Any]:
    """An answer without the moment and the bays."""
    return {name: value for name, value in told.items() if name not in ("at", "bays")}


def test_a_silent_probe_changes_it(made: FlaskClient, clock: Clock) -> None:
    """That a bay is silent is no figure of its air."""
    probe = {"readings": [{"at": stamp(NOW - each * MIN), "temperature": "4 degC"}
                          for each in (30, 20, 10, 0)], "probe": True}  # fmt: skip
    sent("post", "/v1/bays/BARN/readings", probe)(made)
    clock.moment += 30 * MIN
    for path in LOOKS:
        clock.moment = NOW + 30 * MIN
        tag = look(made, path).headers["ETag"]
        clock.moment = NOW + 2 * H
        assert look(made, path, tag).status_code == 200


def test_units_and_any_etag(made: FlaskClient) -> None:
    """An answer in other units is another one; `*` is whatever there is (RFC 9110, 13.1.2)."""
    tag = made.get("/v1/now").headers["ETag"]
    assert tag.startswith('W/"')
    assert made.get("/v1/now?units=us", headers={"If-None-Match": tag}).status_code == 200
    assert look(made, "/v1/now", '"old", ' + tag).status_code == 304
    assert look(made, "/v1/now", "*").status_code == 304
