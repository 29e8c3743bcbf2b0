"""Structural work over HTTP: held back, asked, signed off; and the new facts on every face."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...acts import sample_yard as acts
from ...putting import post
from ..conftest import MORNING, Clock
from ..read_page import BROWSER, read

ANY = {"If-Match": "*"}
H, DAY = 3600, 86_400
SHEET = makers.sheet(post_cure={"from": "55 degC", "to": "65 degC", "time": "15 h"})
LAYUP = makers.layup(job=None)
LEAVE = {"reason": "the surveyor agreed"}


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """The acts' yard, with a job that names no authority and one of which nobody said."""
    acts.set_up()
    acts.receive("MAT", "30 m")
    acts.add(jobs=[makers.job("K-1", "yes", authority=None), makers.job("U-1", "unknown")])
    return client


def stamp(moment: int) -> str:
    """A moment as the interface takes it."""
    return datetime.fromtimestamp(moment, UTC).isoformat()


def slug(told: dict[str, Any]) -> str:
    """The last part of a problem's type."""
    return str(told["type"]).rpartition("/")[2]


def test_structural_work_waits_for_its_authority(yard: FlaskClient) -> None:
    """409 at needs, layups and cut lists, page and drawing too; then the job names it."""
    needs = {"needs": [{"product": "MAT", "pieces": [{"length": "1 m", "count": 2}]}]}
    cut = {"product": "MAT", "job": "K-1", "plies": [{"length": "1 m", "width": "1 m"}]}
    for path, body in (
        ("jobs/K-1/needs", needs), ("layups", {**LAYUP, "job": "K-1"}), ("estimates/roll", cut),
    ):  # fmt: skip
        told = post(yard, path, body, 409)
        assert (slug(told), told["job"], told["changed"]) == ("authority-missing", "K-1", False)
    for path in ("/jobs/K-1/cuts", "/jobs/K-1/cuts/1.svg", "/jobs/U-1/cuts"):
        assert yard.get(path, headers=BROWSER).status_code == 409
    told = read(yard, "/jobs/U-1/cuts", 409)
    assert "Nobody has said whether job U-1 is structural" in told.words
    named = yard.patch("/v1/jobs/K-1", json={"authority": "report 12"}, headers=ANY)
    assert named.status_code == 200
    post(yard, "jobs/K-1/needs", needs)
    assert post(yard, "layups", {**LAYUP, "job": "K-1"})["job"] == "K-1"
    assert "MAT" in read(yard, "/jobs/K-1/cuts").words


def test_a_lead_answers_for_it_on_record(yard: FlaskClient) -> None:
    """With the need, or for a day by the gate; the trail has both."""
    needs = {"needs": [{"product": "MAT", "quantity": "1 m"}], "override": LEAVE}
    post(yard, "jobs/K-1/needs", needs)
    post(yard, "jobs/U-1/gates", {"gate": "authority", "reason": "a locker lid"})
    for job in ("K-1", "U-1"):
        read(yard, f"/jobs/{job}/cuts")
    trail = yard.get("/v1/overrides").json["items"]
    assert {(row["slug"], row["job"]) for row in trail} == {
        ("authority-missing", "K-1"), ("authority-missing", "U-1")
    }  # fmt: skip


def test_a_part_is_handed_over_by_what_is_on_record(yard: FlaskClient, clock: Clock) -> None:
    """409 with what is missing; after 7 h and 8 h at 60 °C it goes, and each face says so."""
    yard.patch("/v1/products/LAM", json={"cure": SHEET}, headers=ANY)
    layup = post(yard, "layups", {**LAYUP, "job": "S-1"})["id"]
    clock.moment = MORNING + 6 * DAY
    told = post(yard, f"layups/{layup}/observations", {"kind": "handed_over"}, 409)
    assert (slug(told), told["layup"]) == ("not-cured", layup)
    assert "0 h of 15 h" in told["missing"][-1]
    assert "55 °C to 65 °C" in told["detail"]
    for day, hours in ((2, 7), (4, 8)):
        start = MORNING + day * DAY
        ticks = range(start, start + hours * H + 1, H)
        heat = [{"at": stamp(at), "temperature": "60 degC"} for at in ticks]
        post(yard, "bays/SHED/readings", {"readings": heat})
    shown = yard.get(f"/v1/layups/{layup}?units=us").json["post_cure"]
    assert shown["from"] == {"value": pytest.approx(131), "unit": "degF"}
    assert (shown["time"]["value"], shown["measured"]["value"], shown["done"]) == (15, 15, True)
    assert shown["done_at"] == "2026-03-24T17:46:40+00:00"
    assert "15 h of 15 h at 55 °C to 65 °C" in read(yard, f"/layups/{layup}").words
    assert "post-cured 15 h of 15 h" in read(yard, "/jobs/S-1").words
    gate = yard.get("/v1/jobs/S-1/gates?bay=SHED").json["gates"][-1]
    assert (gate["gate"], gate["verdict"]) == ("hard-enough", "pass")
    assert post(yard, f"layups/{layup}/observations", {"kind": "handed_over"})["closed_at"]


def test_an_override_of_what_is_not_cured(yard: FlaskClient) -> None:
    """Where nobody has a login the named hand answers for it."""
    layup = post(yard, "layups", {**LAYUP, "job": "S-1"})["id"]
    seen = {"kind": "handed_over", "override": LEAVE}
    assert post(yard, f"layups/{layup}/observations", seen)["state"] == ["finished"]
    assert yard.get("/v1/overrides").json["items"][0]["slug"] == "not-cured"


@pytest.mark.parametrize("band", [("65 degC", "55 degC"), ("60 degC", "60 degC")])
def test_a_post_cure_without_a_band_is_no_post_cure(
    yard: FlaskClient, band: tuple[str, str]
) -> None:
    """The lesser temperature is not below the greater: typed wrong."""
    sheet = {**SHEET, "post_cure": {"from": band[0], "to": band[1], "time": "15 h"}}
    told = yard.patch("/v1/products/LAM", json={"cure": sheet}, headers=ANY)
    assert (told.status_code, slug(told.json)) == (422, "cure-sheet-inconsistent")


def test_promoter_binder_and_an_old_hull_over_the_wire(yard: FlaskClient) -> None:
    """Kept with the product, the pot and the layup; on the card and the page as well."""
    for code, facts in (("LAM", {"promoted": False}), ("MAT", {"binder": "powder"})):
        told = yard.patch(f"/v1/products/{code}", json=facts, headers=ANY).json
        assert {name: told[name] for name in facts} == facts
    assert "stir it in first" in read(yard, "/products/LAM").words
    for product in ("LAM", "PEROX", "COBALT"):
        acts.receive(product, "5 kg")
    pot = post(yard, "batches", {
        "resin": "LAM", "amount": "1 kg", "job": "D-7", "temperature": "20 degC",
        "catalyst_percent": 2, "promoter": {"product": "COBALT", "quantity": "5 g"},
    })  # fmt: skip
    assert pot["promoter"] == {"product": "COBALT", "mass": {"value": 5, "unit": "g"}}
    assert "First, on its own: stir COBALT" in read(yard, f"/batches/{pot['id']}").words
    facts = {"job": "D-7", "title": "Skin", "kind": "laminate", "bay": "SHED"}
    layup = post(yard, "layups", {**facts, "batches": [pot["id"]], "over_surface": "polystyrene"})
    assert layup["over_surface"] == "polystyrene"
    words = read(yard, f"/layups/{layup['id']}").words
    assert "styrene dissolves polystyrene" in words
    assert yard.get("/v1/jobs/D-7/usage").json["layups"][0]["over_surface"] == "polystyrene"
