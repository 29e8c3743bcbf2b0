"""Wetness over HTTP: what is found, measured and noted of a job, and what it says."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from flask.testing import FlaskClient

from ...putting import post
from ..conftest import MORNING, Clock
from ..metered import METER, metered
from ..read_page import BROWSER
from ..sent_forms import fill, followed, hidden, send

H, DAY = 3600, 86_400

FALLS = (58.0, 46.0, 39.5, 34.0, 30.0, 26.5)


def stamp(moment: float) -> str:
    """A moment as the interface takes it."""
    return datetime.fromtimestamp(moment, UTC).isoformat()


@pytest.fixture
def yard(client: FlaskClient, clock: Clock) -> FlaskClient:
    """A yard with a meter, a bay and one job that was opened long ago."""
    return metered(client, clock)


def read(client: FlaskClient, at: float, value: float, status: int = 201, **more: Any) -> Any:
    """A reading of three equal placements."""
    body = {
        "place": "Keel", "meter": "cap", "mode": "DEEP", "placements": [value] * 3,
        "surface_temperature": "15 degC", "at": stamp(at), **more,
    }  # fmt: skip
    return post(client, "jobs/J-1/moisture-readings", body, status)


def dry_places(client: FlaskClient, at: float) -> None:
    """The reference 12 ± 1."""
    for place, value in (("a", 11), ("b", 12), ("c", 13)):
        read(client, at, value, place=place, dry_place=True)


def noted(client: FlaskClient, kind: str, at: float, **more: Any) -> Any:
    """A surface note."""
    return post(client, "jobs/J-1/surface-notes", {"kind": kind, "at": stamp(at), **more})


def wetness(client: FlaskClient) -> Any:
    """How wet the job's places read."""
    answer = client.get("/v1/jobs/J-1/wetness")
    assert answer.status_code == 200, answer.json
    return answer.json


def again(client: FlaskClient) -> Any:
    """When to measure its one place again."""
    (place,) = wetness(client)["places"]
    (series,) = place["series"]
    return series["measure_again"]


def gate(client: FlaskClient) -> Any:
    """What the gate of dryness says."""
    gates = client.get("/v1/jobs/J-1/gates").json["gates"]
    return next(each for each in gates if each["gate"] == "dry")


def test_the_made_hull_over_six_weeks(yard: FlaskClient) -> None:
    """The made table: six readings a week apart, 61.84 72.71 85.68 days after the first."""
    dry_places(yard, MORNING - 35 * DAY)
    for week, value in enumerate(FALLS):
        told = read(yard, MORNING - 35 * DAY + week * 7 * DAY, value)
        assert (told["reading"], told["u"], told["counted"]) == (value, 1.0, True)
    days = [datetime.fromtimestamp(MORNING - 35 * DAY + d * DAY, UTC).date()
            for d in (61.84, 72.71, 85.68)]  # fmt: skip
    told = again(yard)
    assert [told["earliest"], told["at"], told["latest"]] == [day.isoformat() for day in days]
    assert "in 90 of 100" in told["words"]
    assert wetness(yard)["references"] == [{
        "meter": "CAP", "mode": "deep", "measures": "points", "places": 3, "reference": 12.0,
        "u": 1.0, "figure": 17.0, "uncounted": [],
    }]  # fmt: skip


def test_why_no_day_is_said(yard: FlaskClient, clock: Clock) -> None:
    """No reference, too few readings, too short a stretch, at the figure."""
    read(yard, MORNING - 28 * DAY, 58)
    assert again(yard)["why"] == "no_reference"
    dry_places(yard, MORNING - 28 * DAY)
    for week, value in ((1, 46), (2, 39.5), (3, 34)):
        assert again(yard)["why"] == "few_readings"
        read(yard, MORNING - (28 - 7 * week) * DAY, value)
    assert again(yard)["why"] is None
    noted(yard, "washed", MORNING - 20 * DAY, place="skeg")
    assert again(yard)["why"] is None
    wash = noted(yard, "washed", MORNING - 20 * DAY, place="KEEL")
    told = wetness(yard)["places"][0]["series"][0]
    assert (told["measure_again"]["why"], told["used"]) == ("few_readings", 2)
    post(yard, f"jobs/J-1/surface-notes/{wash['id']}/withdrawal", {"reason": "another keel"})
    assert again(yard)["why"] is None
    read(yard, MORNING, 16)
    assert again(yard)["why"] == "at_figure"


def test_what_levels_off_holds_water(yard: FlaskClient) -> None:
    """The made table: it settles at 34.31, and no day is said."""
    dry_places(yard, MORNING - 35 * DAY)
    for week, value in enumerate((58, 47, 41, 38, 36.5, 35.5)):
        read(yard, MORNING - 35 * DAY + week * 7 * DAY, value)
    told = again(yard)
    assert (told["why"], told["earliest"]) == ("levelling_off", None)
    assert "34.3 points" in told["words"]
    assert "something holds water" in told["words"]


def test_a_bay_that_turns_cold_begins_a_stretch(yard: FlaskClient) -> None:
    """Its log is off its mean by 5 K from the third reading on."""
    dry_places(yard, MORNING - 28 * DAY)
    start = MORNING - 28 * DAY
    for week, value in enumerate((58, 46, 39.5, 34, 30)):
        read(yard, start + week * 7 * DAY, value, bay="SHED")
    assert again(yard)["why"] is None
    hours = [
        {"at": stamp(start + n * 2 * H), "temperature": f"{18 if n < 14 * 12 else 12} degC"}
        for n in range(28 * 12)
    ]
    post(yard, "bays/SHED/readings", {"readings": hours})
    (place,) = wetness(yard)["places"]
    told = place["series"][0]
    assert told["measure_again"]["why"] == "few_readings"
    assert datetime.fromisoformat(told["since"]).timestamp() == start + 14 * DAY


def test_why_a_reading_is_kept_but_does_not_count(yard: FlaskClient) -> None:
    """At the scale's end, cold, near the dew point of the air told or of its bay, after rain."""

    def why(told: Any) -> list[str]:
        assert told["counted"] == (not told["uncounted"])
        return [each["why"] for each in told["uncounted"]]

    at = MORNING - DAY
    told = read(yard, at, 100)
    assert (why(told), told["at_least"]) == (["scale_end"], True)
    assert why(read(yard, at, 30, surface_temperature="4 degC")) == ["cold"]
    damp = {"air": "15 degC", "humidity_percent": 90}
    assert why(read(yard, at, 30, **damp)) == ["near_dew_point"]
    assert why(read(yard, at, 30)) == []
    reading = {"at": stamp(at - H), "temperature": "15 degC", "humidity_percent": 95}
    post(yard, "bays/SHED/readings", {"readings": [reading]})
    told = read(yard, at, 30)
    assert (why(told), told["bay"]) == (["near_dew_point"], "SHED")
    dry = {"air": "15 degC", "humidity_percent": 40}
    rain = noted(yard, "rain", at - 2 * H)
    assert why(read(yard, at, 30, **dry)) == ["after_water"]
    post(yard, f"jobs/J-1/surface-notes/{rain['id']}/withdrawal", {"reason": "next door"})
    listed = yard.get("/v1/jobs/J-1/moisture-readings").json["items"]
    assert [why(each) for each in listed] == [
        [], ["near_dew_point"], ["near_dew_point"], ["near_dew_point"], ["cold", "near_dew_point"],
        ["scale_end", "near_dew_point"],
    ]  # fmt: skip


def test_the_gate_from_unknown_to_dry(yard: FlaskClient, clock: Clock) -> None:
    """Nothing measured; found; wet; dry once; twice without film; with film."""
    assert gate(yard)["verdict"] == "caution"
    post(yard, "jobs/J-1/findings", {
        "place": "keel", "side": "port", "kind": "blister", "length": "10 mm", "width": "8 mm",
        "found_by": "eye",
    })  # fmt: skip
    assert "no counted reading" in gate(yard)["found"]
    dry_places(yard, MORNING)
    read(yard, MORNING, 40)
    by_class(yard)
    assert gate(yard)["verdict"] == "stop"
    clock.moment = MORNING + 10 * DAY
    read(yard, clock.moment, 16)
    assert gate(yard)["verdict"] == "caution"
    clock.moment += 7 * DAY
    read(yard, clock.moment, 15)
    assert "no film" in gate(yard)["found"]
    film = {"place": "KEEL", "taped_at": stamp(clock.moment), "drops": False}
    clock.moment += DAY
    post(yard, "jobs/J-1/film-tests", film)
    assert gate(yard)["verdict"] == "pass"
    drops = {**film, "drops": True, "looked_at": stamp(clock.moment)}
    wet = post(yard, "jobs/J-1/film-tests", drops)
    assert gate(yard)["verdict"] == "stop"
    post(yard, f"jobs/J-1/film-tests/{wet['id']}/withdrawal", {"reason": "dew above it"})
    assert gate(yard)["verdict"] == "pass"


def by_class(client: FlaskClient) -> None:
    """From now on the yard goes by the hard profile."""
    told = client.patch("/v1/yard", json={"profile": "class"}, headers={"If-Match": "*"})
    assert told.json["profile"] == "class"


@pytest.mark.parametrize(
    ("path", "body", "slug"),
    [
        ("meters", {**METER, "code": "cap"}, "already-exists"),
        ("meters", {**METER, "code": "X", "scale_from": 100}, "validation"),
        ("meters", {**METER, "code": "X", "modes": [{"name": "a"}, {"name": "A"}]}, "validation"),
        ("meters", {**METER, "code": "X", "modes": [{"name": "a", "measures": "percent"}]},
         "validation"),
        ("jobs/J-1/moisture-readings", {"placements": [1, 2]}, "validation"),
        ("jobs/J-1/moisture-readings", {"placements": [1, 2, 101]}, "validation"),
        ("jobs/J-1/moisture-readings", {"meter": "NONE"}, "unknown-reference"),
        ("jobs/J-1/moisture-readings", {"mode": "core"}, "unknown-reference"),
        ("jobs/J-1/moisture-readings", {"bay": "NONE"}, "unknown-reference"),
        ("jobs/J-1/moisture-readings", {"air": "15 degC"}, "validation"),
        ("jobs/J-1/surface-notes", {"kind": "rain", "water": "beads"}, "validation"),
        ("jobs/J-1/film-tests", {"place": "a", "taped_at": stamp(MORNING), "drops": False},
         "validation"),
        ("jobs/J-1/weighed-samples", {"place": "a", "wet": "9 g", "dried": "10 g"}, "validation"),
        ("jobs/J-1/weighed-samples", {"place": "a", "wet": "9 g", "dried": "0.0001 g"},
         "validation"),
        ("jobs/J-1/findings", {"place": "a", "side": "port", "kind": "hole", "found_by": "eye",
                               "length": "0.0001 mm", "width": "1 mm"}, "validation"),
        ("jobs/J-1/findings/7/withdrawal", {"reason": "x"}, "not-found"),
    ],
)  # fmt: skip
def test_what_is_refused_changes_nothing(
    yard: FlaskClient, path: str, body: dict[str, Any], slug: str
) -> None:
    """Each with its slug, and nothing of it is on record."""
    if path.endswith("moisture-readings"):
        body = {
            "place": "keel", "meter": "CAP", "mode": "deep", "placements": [1, 2, 3],
            "surface_temperature": "15 degC", **body,
        }  # fmt: skip
    answer = yard.post(f"/v1/{path}", json=body)
    assert (answer.status_code >= 400, answer.json["slug"]) == (True, slug)
    assert wetness(yard)["places"] == []
    assert len(yard.get("/v1/meters").json["items"]) == 1


def test_the_jobs_page_and_its_sheet_say_it(yard: FlaskClient) -> None:
    """Findings, readings with meter and reference, the window of days, and the cautions."""
    empty = yard.get("/jobs/J-1", headers=BROWSER).text
    assert "Moisture readings" not in empty
    assert "Nothing was found or measured" in empty
    post(yard, "jobs/J-1/findings", {
        "place": "<keel>", "side": "port", "kind": "wet_core", "length": "10 mm", "width": "8 mm",
        "found_by": "eye",
    })  # fmt: skip
    dry_places(yard, MORNING - 35 * DAY)
    for week, value in enumerate(FALLS):
        read(yard, MORNING - 35 * DAY + week * 7 * DAY, value)
    read(yard, MORNING, 100)
    noted(yard, "touched", MORNING - H)
    post(yard, "jobs/J-1/film-tests", {
        "place": "Keel", "taped_at": stamp(MORNING - DAY), "drops": True,
    })  # fmt: skip
    page = " ".join(yard.get("/jobs/J-1", headers=BROWSER).text.split())
    for word in (
        "&lt;keel&gt;, port", "wet core", "not opened", "3 dry places of the boat read 12.0 points",
        "at or under 17.0 points", "26.5 points ± 1.0",
        "It reads 26.5 points, over 17.0 points",
        "Drops were under the film.", "drops under it",
        "in 90 of 100 it comes to the figure in these days", "a dry skin hides a wet core",
        "never that it is dry", "touched", "dry place",
    ):  # fmt: skip
        assert word in page, word


def test_a_reading_by_thumb(yard: FlaskClient) -> None:
    """Noted, said whether it counts, and taken back; a wrong number is asked for again."""
    here = "/jobs/J-1/moisture"
    typed = {
        "place": "Keel", "meter": "CAP / deep", "first": "58", "second": "57", "third": "59",
        "surface_temperature": "15", "for_what": "reading",
    }  # fmt: skip
    page = followed(yard, fill(yard, here, **typed))
    assert "58.0 points" in page
    assert "It counts." in page
    (read,) = yard.get("/v1/jobs/J-1/moisture-readings").json["items"]
    assert (read["place"], read["mode"], read["placements"]) == ("Keel", "deep", [58, 57, 59])
    page = followed(yard, fill(yard, here, **typed | {"first": "100"}))
    assert "at least" in page
    assert "does not count" in page
    told = hidden(page)
    page = followed(yard, send(yard, f"{here}/undo", told))
    assert "Taken back" in page
    for wrong, word in (
        ({"first": "101"}, "off the scale"), ({"meter": "CAP / core"}, "no mode core"),
        ({"third": ""}, ""), ({"surface_temperature": "warm"}, ""),
    ):  # fmt: skip
        answer = fill(yard, here, **typed | wrong)
        assert (answer.status_code, word in answer.text) == (422, True), wrong
        assert 'value="Keel"' in answer.text
    assert len(yard.get("/v1/jobs/J-1/moisture-readings").json["items"]) == 2


def test_film_by_thumb(yard: FlaskClient) -> None:
    """When it was taped on is on the yard's clock; drops or none is one tap; and taken back."""
    here = "/jobs/J-1/film"
    typed = {"place": "Keel", "taped_day": "2026-03-18", "taped_at": "07:30", "drops": "no"}
    page = followed(yard, fill(yard, here, **typed))
    assert "Keel: no drops" in page
    assert "under" not in page.split("</section>")[0]
    (film,) = yard.get("/v1/jobs/J-1/film-tests").json["items"]
    assert film["taped_at"].startswith("2026-03-18T07:30:00")
    wet = followed(yard, fill(yard, here, **typed | {"drops": "yes"}))
    assert "It is wet" in wet
    short = followed(yard, fill(yard, here, **typed | {"taped_day": "2026-03-20"}))
    assert "It was on for under 24\N{NO-BREAK SPACE}h" in short
    followed(yard, send(yard, f"{here}/undo", hidden(short)))
    listed = yard.get("/v1/jobs/J-1/film-tests").json["items"]
    assert [each["withdrawn"] is None for each in listed] == [False, True, True]
    for wrong, name in (
        ({"taped_day": "2026-03-21"}, "taped_at"), ({"taped_day": ""}, "taped_day"),
        ({"taped_at": "noon"}, "taped_at"), ({"place": ""}, "place"), ({"drops": "few"}, "drops"),
    ):  # fmt: skip
        answer = fill(yard, here, **typed | wrong)
        assert (answer.status_code, f'id="{name}-fault"' in answer.text) == (422, True), wrong
    assert '<option value="Keel">' in yard.get(here).text


@pytest.mark.parametrize(
    ("what", "kind", "water", "said"),
    [
        ("prepared", "prepared", None, "Let the solvent dry"),
        ("sheets", "washed", "sheets", "Washed: water sheets"),
        ("beads", "washed", "beads", "Something greasy is on it"),
        ("rain", "rain", None, "prepared again"),
        ("touched", "touched", None, "prepared again"),
        ("oil", "oil", None, "prepared again"),
        ("dust", "dust", None, "prepared again"),
        ("opened", "opened", None, "Opened"),
        ("heat_on", "heat_on", None, "Heat on"),
        ("heat_off", "heat_off", None, "Heat off"),
        ("hauled_out", "hauled_out", None, "Hauled out"),
    ],
)
def test_what_happened_to_a_surface_by_thumb(
    yard: FlaskClient, what: str, kind: str, water: str | None, said: str
) -> None:
    """One tap each, of a place or of the whole boat; and taken back."""
    here = "/jobs/J-1/surface"
    read(yard, MORNING - H, 30)
    if what == "heat_off":
        noted(yard, "heat_on", MORNING - H)
    page = followed(yard, fill(yard, here, what=what))
    assert said in page
    assert "The whole boat" in page
    if what == "heat_off":
        noted(yard, "heat_on", MORNING, place="Keel")
    page = followed(yard, fill(yard, here, what=what, place="Keel"))
    notes = yard.get("/v1/jobs/J-1/surface-notes").json["items"]
    told = [(each["kind"], each["water"], each["place"]) for each in notes]
    assert [told[0], told[-2 if what == "heat_off" else -1]] == [
        (kind, water, "Keel"), (kind, water, None),
    ]  # fmt: skip
    back = followed(yard, send(yard, f"{here}/undo", hidden(page)))
    assert "Taken back" in back
    notes = yard.get("/v1/jobs/J-1/surface-notes").json["items"]
    assert [each["withdrawn"] is None for each in notes] == [False] + [True] * (len(notes) - 1)
    assert fill(yard, here, what="snow").status_code == 422


def test_a_closed_job_takes_no_reading(yard: FlaskClient) -> None:
    """And what was taken back is not taken back twice."""
    first = read(yard, MORNING, 30)
    path = f"jobs/J-1/moisture-readings/{first['id']}/withdrawal"
    post(yard, path, {"reason": "a slip"})
    assert post(yard, path, {"reason": "a slip"}, 409)["slug"] == "already-exists"
    assert yard.patch(
        "/v1/jobs/J-1", json={"state": "closed", "reason": "done"}, headers={"If-Match": "*"}
    ).json["state"] == "closed"  # fmt: skip
    assert read(yard, MORNING, 30, 409)["slug"] == "job-closed"


def test_a_weighed_sample_is_percent_of_its_dried_mass(yard: FlaskClient) -> None:
    """18.42 g and 15.90 g: 15.85 %; pins in wood are percent too, a meter's points are not."""
    sample = {"place": "core", "wet": "18.42 g", "dried": "15.90 g"}
    assert post(yard, "jobs/J-1/weighed-samples", sample)["water_percent"] == 15.85
    pins = {
        "code": "PINS", "title": "Pins", "kind": "pins", "scale_from": 6, "scale_to": 40,
        "modes": [{"name": "wood", "measures": "percent"}],
    }  # fmt: skip
    assert post(yard, "meters", pins)["modes"] == [{"name": "wood", "measures": "percent"}]
    assert read(yard, MORNING, 14, meter="PINS", mode="wood")["measures"] == "percent"
    assert read(yard, MORNING, 14)["measures"] == "points"
