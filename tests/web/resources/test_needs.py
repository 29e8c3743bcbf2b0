"""Needs over HTTP: added, shown, refused; lots answer what is reserved and free."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...putting import by_client, post


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A yard with 20 kg of filler, 10 m of mat and two jobs."""
    by_client(
        client,
        products=[
            makers.product("MICROS", "filler", supplier="Quay", reorder_at="2 kg"), makers.mat(),
        ],
        lots=[makers.lot("MICROS", "20 kg", "M-1"), makers.lot("MAT", "10 m", "R-1")],
        jobs=[makers.job("J-1"), makers.job("J-2")],
    )  # fmt: skip
    return client


def test_needs_are_added_and_shown(yard: FlaskClient) -> None:
    """With what is kept and short; the lot says what is reserved and free."""
    wanted = [
        {"product": "MICROS", "quantity": "6 kg", "by": "2026-04-02"},
        {"product": "MAT", "pieces": [{"length": "4 m", "count": 3}]},
    ]
    told = post(yard, "jobs/J-1/needs", {"needs": wanted})
    assert told == yard.get("/v1/jobs/J-1/needs").json
    filler, mat = told["needs"]
    assert (filler["by"], filler["reserved"]) == ("2026-04-02", {"value": 6, "unit": "kg"})
    assert mat["short"] == {"value": 4, "unit": "m"}
    assert mat["pieces"] == [{"length": {"value": 4, "unit": "m"}, "count": 3}]
    lot = yard.get("/v1/lots/1").json
    assert (lot["reserved"]["value"], lot["free"]["value"]) == (6, 14)


def test_another_jobs_draw_is_refused(yard: FlaskClient) -> None:
    """409 reserved-stock; with a reason it goes, and is on the trail of overrides."""
    post(yard, "jobs/J-1/needs", {"needs": [{"product": "MICROS", "quantity": "15 kg"}]})
    draw = {"kind": "draw", "product": "MICROS", "quantity": "6 kg", "job": "J-2"}
    refused = post(yard, "movements", draw, 409)
    assert refused["type"].endswith("/reserved-stock")
    assert refused["jobs"] == ["J-1"]
    post(yard, "movements", draw | {"override": {"reason": "launch day"}})
    (row,) = yard.get("/v1/overrides").json["items"]
    assert (row["slug"], row["reason"]) == ("reserved-stock", "launch day")


@pytest.mark.parametrize(
    ("need", "status"),
    [
        ({"product": "MICROS"}, 422),
        ({"product": "MICROS", "quantity": 6}, 422),
        ({"product": "MICROS", "quantity": "0 kg"}, 422),
        ({"product": "MICROS", "quantity": "1 kg", "pieces": [{"length": "1 m"}]}, 422),
        ({"product": "MAT", "pieces": []}, 422),
        ({"product": "MAT", "pieces": [{"length": "0 m"}]}, 422),
        ({"product": "MAT", "pieces": [{"length": "1 m", "count": 0}]}, 422),
        ({"product": "MICROS", "quantity": "1 kg", "by": "tomorrow"}, 422),
        ({"product": "MICROS", "quantity": "1 kg", "replaces": 7}, 422),
        ({"product": "NONE", "quantity": "1 kg"}, 422),
    ],
)
def test_a_bad_need_is_a_problem(yard: FlaskClient, need: dict[str, Any], status: int) -> None:
    """Refused in words, and the job needs nothing after it."""
    told = post(yard, "jobs/J-1/needs", {"needs": [need]}, status)
    assert told["changed"] is False
    assert yard.get("/v1/jobs/J-1/needs").json["needs"] == []


def test_needs_of_no_job_and_of_a_closed_one(yard: FlaskClient) -> None:
    """404, and 409."""
    assert yard.get("/v1/jobs/NONE/needs").status_code == 404
    stands = {"If-Match": yard.get("/v1/jobs/J-1").headers["ETag"]}
    assert yard.patch("/v1/jobs/J-1", json={"state": "closed"}, headers=stands).status_code == 200
    wanted = {"needs": [{"product": "MICROS", "quantity": "1 kg"}]}
    assert post(yard, "jobs/J-1/needs", wanted, 409)["type"].endswith("/job-closed")


def test_a_reorder_point_is_in_the_products_measure(yard: FlaskClient) -> None:
    """It is kept by length for a roll given by area, and refused where it does not fit."""
    assert yard.get("/v1/products/MICROS").json["reorder_at"] == {"value": 2, "unit": "kg"}
    stands = {"If-Match": yard.get("/v1/products/MAT").headers["ETag"]}
    told = yard.patch("/v1/products/MAT", json={"reorder_at": "12.5 m2"}, headers=stands)
    assert told.json["reorder_at"] == {"value": 10, "unit": "m"}
    body = {"code": "X", "name": "x", "role": "sundry", "reorder_at": "2 kg"}
    assert post(yard, "products", body, 422)["type"].endswith("/unit-mismatch")


def test_a_shopping_list_by_supplier(yard: FlaskClient) -> None:
    """What is short over all jobs, and what is below its reorder point; nothing else."""
    assert yard.get("/v1/shopping").json == {"items": []}
    late, soon = "2026-04-09", "2026-04-02"
    for job, by in (("J-1", late), ("J-2", soon)):
        wanted = [
            {"product": "MICROS", "quantity": "11 kg", "by": by},
            {"product": "MAT", "pieces": [{"length": "6 m"}]},
        ]
        post(yard, f"jobs/{job}/needs", {"needs": wanted})
    filler, mat = yard.get("/v1/shopping").json["items"]
    assert (filler["supplier"], filler["by"], filler["jobs"]) == ("Quay", late, ["J-1"])
    assert [filler[n]["value"] for n in ("short", "below_reorder", "buy", "free")] == [2, 2, 4, 0]
    assert (mat["buy"], mat["longest_piece"]) == ({"value": 6, "unit": "m"},) * 2
    assert mat["jobs"] == ["J-2"]


def test_the_shopping_list_as_a_table(yard: FlaskClient) -> None:
    """By query or by Accept; a name that a spreadsheet would run is made plain."""
    body = {"code": "X", "name": "=1+1", "role": "sundry", "reorder_at": "3 pieces"}
    post(yard, "products", body)
    by_query = yard.get("/v1/shopping?format=csv")
    by_accept = yard.get("/v1/shopping", headers={"Accept": "text/csv"})
    assert by_query.mimetype == by_accept.mimetype == "text/csv"
    assert by_query.text == by_accept.text
    assert by_query.text.splitlines() == [
        "supplier,product,name,buy,unit,longest_piece,by,jobs",
        ",X,'=1+1,3,piece,,,",
    ]
    assert yard.get("/v1/shopping?format=xml").status_code == 422
    described = yard.get("/openapi.json").json["paths"]["/v1/shopping"]["get"]["responses"]["200"]
    assert set(described["content"]) == {"application/json", "text/csv"}


def test_usage_is_answered_in_the_units_asked_for(yard: FlaskClient) -> None:
    """Planned against drawn, also of a job that is closed by now; 404 for none."""
    post(yard, "jobs/J-1/needs", {"needs": [{"product": "MAT", "quantity": "3.048 m"}]})
    post(yard, "movements", {"kind": "draw", "product": "MAT", "quantity": "10 ft", "job": "J-1"})
    stands = {"If-Match": yard.get("/v1/jobs/J-1").headers["ETag"]}
    yard.patch("/v1/jobs/J-1", json={"state": "closed"}, headers=stands)
    (row,) = yard.get("/v1/jobs/J-1/usage?units=us").json["products"]
    assert row["planned"] == row["drawn"]
    assert row["drawn"]["value"] == pytest.approx(10 if row["drawn"]["unit"] == "ft" else 10 / 3)
    assert yard.get("/v1/jobs/NONE/usage").status_code == 404
