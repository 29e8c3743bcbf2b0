"""Chain plans over HTTP: planned, kept for a job, replanned, refused."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...putting import by_client

HOURS = {"days": ["mon", "tue", "wed", "thu", "fri"], "from": "08:00", "until": "17:00"}
STAGES = {
    "recoat_opens": "2 h", "recoat_closes": "24 h", "sandable": "8 h", "full_cure": "7 d",
}  # fmt: skip
SHEET = makers.sheet(
    "PEROX-9",
    reference={"temperature": "20 degC", "catalyst_percent": 1.5},
    gel_times=[
        makers.gel_time("15 degC", "42 min", 1.5), makers.gel_time("25 degC", "21 min", 1.5),
        makers.gel_time("20 degC", "45 min", 1), makers.gel_time("20 degC", "22 min"),
    ],
    catalyst_percent_max=2.5,
    milestones=STAGES,
)  # fmt: skip
READY = makers.one_part_sheet(reference={"temperature": "20 degC"}, milestones=STAGES)


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A resin with its sheet, a heated shed, and a job; it is Friday 20 March 2026, 9:46."""
    by_client(
        client,
        products=[
            makers.catalyst("PEROX-9"),
            makers.resin("LAM-PE", cure=SHEET),
            makers.product("EPO", "filler", chemistry="epoxy", cure=READY),
        ],
        bays=[makers.bay("SHED", "21 degC", "18 degC", day_until="18:00")],
        jobs=[makers.job("J-1")],
    )
    return client


def ply(title: str, **changes: Any) -> dict[str, Any]:
    """A step of laminating resin."""
    step = {"title": title, "product": "LAM-PE", "catalyst_percent": 1.5, "work": "60 min",
            "abrade": "45 min"}  # fmt: skip
    return {name: value for name, value in {**step, **changes}.items() if value is not None}


def ask(
    client: FlaskClient, *steps: dict[str, Any], status: int = 200, to: str = "/v1/plans",
    **changes: Any,
) -> Any:  # fmt: skip
    """What a plan of some steps answers."""
    body = {"bay": "SHED", "hours": HOURS, "steps": list(steps), **changes}
    put = client.put if to.endswith("/plan") else client.post
    answer = put(to, json=body)
    assert answer.status_code == status, answer.json
    return answer.json


def test_layers_follow_each_other_in_their_windows(yard: FlaskClient) -> None:
    """Two plies and grinding: whole hours, in words, over the weekend."""
    told = ask(
        yard, ply("Plies 1, 2"), ply("Ply 3"), {"title": "Flush", "kind": "work", "work": "2 h"}
    )
    first, second, flush = told["steps"]
    assert flush["prepare"] == [
        "confirm that it is hard below the tack",
        "solvent-wipe, let dry 15 min",
    ]
    assert first["start"] == "2026-03-20T10:00:00+00:00"
    assert first["bound"] == "start"
    assert second["abrade"] is None
    assert first["recoat_opens"] <= second["start"]
    assert second["end"] <= first["recoat_closes"]
    assert (second["bound"], second["prepare"]) == ("window", [])
    assert flush["start"] == "2026-03-23T08:00:00+00:00"
    assert flush["why"] == "at the first hours of the shop that hold it"
    assert told["finish"] == flush["end"]
    assert (told["abrades"], told["night_work"]["value"]) == (0, 0)


def test_what_is_past_its_window_is_prepared(yard: FlaskClient) -> None:
    """Laid on Friday afternoon and not covered the same day: solvent, then grinding."""
    told = ask(
        yard, ply("Plies 1, 2", work="3 h"), {"title": "Survey", "kind": "hold",
        "until": "2026-03-23T09:00:00+00:00"}, ply("Ply 3"),
    )  # fmt: skip
    third = told["steps"][2]
    assert third["abrade"] == {"value": 0.75, "unit": "h"}
    assert third["start"] == "2026-03-23T09:00:00+00:00"
    assert third["laid_from"] == "2026-03-23T09:45:00+00:00"
    assert third["prepare"][-1] == "grind to dull"
    assert told["abrades"] == 1


def test_advice_is_a_plan_that_was_made(yard: FlaskClient) -> None:
    """A second layer that misses Friday by little: the hours that would save it are named."""
    steps = [ply(f"Ply {n}") for n in (1, 2)]
    hours = {**HOURS, "until": "14:00"}
    told = ask(yard, *steps, hours=hours)
    (advice,) = told["advice"]
    assert advice == "Working until 15:00 saves 3 days and the abrading before 'Ply 2'."
    better = ask(yard, *steps, hours={**HOURS, "until": "15:00"})
    assert told["finish"][:10] == "2026-03-23"
    assert better["finish"][:10] == "2026-03-20"


def test_a_plan_by_touch_is_sooner_and_says_so(yard: FlaskClient) -> None:
    """Each layer waits for the likely opening alone; for what carries no load."""
    steps = [ply(f"Ply {n}") for n in (1, 2, 3)]
    slots = {"slot": "15 min"}
    sure, touch = (ask(yard, *steps, touch=by_touch, **slots) for by_touch in (False, True))
    assert touch["steps"][1]["start"] < sure["steps"][1]["start"]
    assert touch["finish"] < sure["finish"]
    assert touch["warnings"][0].startswith("By touch: a layer goes on only once a glove")
    assert not any(word.startswith("By touch") for word in sure["warnings"])


def test_what_carries_load_is_not_planned_by_touch(yard: FlaskClient) -> None:
    """The job says so; whoever only asks is told what it is for."""
    by_client(yard, jobs=[makers.job("S-1", "yes")])
    refused = ask(yard, ply("Base"), to="/v1/jobs/S-1/plan", status=422, touch=True)
    assert refused["pointer"] == "/touch"
    assert "may carry load" in refused["detail"]
    assert yard.get("/v1/jobs/S-1/plan").status_code == 404
    assert ask(yard, ply("Base"), to="/v1/jobs/J-1/plan", touch=True)["job"] == "J-1"


def test_three_layers_are_each_planned_surer_than_two(yard: FlaskClient) -> None:
    """All bonds of a plan are to hold as surely as one: each waits a little longer."""
    slots = {"slot": "15 min"}
    two, three = (ask(yard, *(ply(f"Ply {n}") for n in range(count)), **slots) for count in (2, 3))
    assert three["steps"][0]["recoat_opens"] > two["steps"][0]["recoat_opens"]
    assert three["steps"][0]["recoat_closes"] < two["steps"][0]["recoat_closes"]


def test_a_job_keeps_its_plan_and_needs_follow_it(yard: FlaskClient) -> None:
    """Replanned an hour later it says what moved; needs without a day take the plan's."""
    yard.post("/v1/jobs/J-1/needs", json={"needs": [{"product": "LAM-PE", "quantity": "6 kg"}]})
    assert yard.get("/v1/jobs/J-1/plan").status_code == 404
    first = ask(yard, ply("Base"), to="/v1/jobs/J-1/plan")
    assert (first["moved"], first["job"], first["who"]) == ([], "J-1", "Ines")
    assert yard.get("/v1/jobs/J-1/plan").json == first
    (need,) = yard.get("/v1/jobs/J-1/needs").json["needs"]
    assert need["by"] == "2026-03-20"
    later = ask(
        yard, ply("Base"), ply("Top"), to="/v1/jobs/J-1/plan", start="2026-03-24T08:00:00+00:00"
    )
    assert later["moved"] == [
        {"title": "Base", "was": first["steps"][0]["start"], "now": "2026-03-24T08:00:00+00:00"}
    ]


def test_what_was_drawn_fills_the_need_that_is_due_first(yard: FlaskClient) -> None:
    """A need without a day is due when the plan lays it, before one that was said for later."""
    needs = [{"product": "LAM-PE", "quantity": "6 kg", "by": "2026-04-20"},
             {"product": "LAM-PE", "quantity": "2 kg"}]  # fmt: skip
    yard.post("/v1/jobs/J-1/needs", json={"needs": needs})
    lot = {"product": "LAM-PE", "number": "B-1", "quantity": "20 kg"}
    drawn = {"kind": "draw", "product": "LAM-PE", "quantity": "1 kg", "job": "J-1"}
    assert yard.post("/v1/lots", json=lot).status_code == 201
    assert yard.post("/v1/movements", json=drawn).status_code == 201

    def filled() -> list[float]:
        told = yard.get("/v1/jobs/J-1/needs").json["needs"]
        return [need["drawn"]["value"] for need in told]

    assert filled() == [1, 0]
    ask(yard, ply("Base"), to="/v1/jobs/J-1/plan")
    assert filled() == [0, 1]


def test_what_no_step_names_is_due_when_the_plan_begins(yard: FlaskClient) -> None:
    """Cloth and catalyst are short by the plan's day, and kept before what is due later."""
    by_client(
        yard, products=[makers.mat()], jobs=[makers.job("J-2")],
        lots=[makers.lot("PEROX-9", "1 kg", "P-1")],
    )  # fmt: skip
    for job, day in (("J-2", {"by": "2026-04-20"}), ("J-1", {})):
        needs = [{"product": "PEROX-9", "quantity": "0.8 kg", **day}]
        needs += [{"product": "MAT", "quantity": "5 m"}] if job == "J-1" else []
        assert yard.post(f"/v1/jobs/{job}/needs", json={"needs": needs}).status_code == 201

    def short(job: str) -> list[tuple[str | None, float]]:
        rows = yard.get(f"/v1/jobs/{job}/needs").json["needs"]
        return [(row["by"], row["short"]["value"]) for row in rows]

    assert short("J-1") == [(None, 0.6), (None, 5)]
    ask(yard, ply("Base"), to="/v1/jobs/J-1/plan", start="2026-03-24T08:00:00+00:00")
    assert short("J-1") == [("2026-03-24", 0), ("2026-03-24", 5)]
    assert short("J-2") == [("2026-04-20", 0.6)]
    bought = {row["product"]: row["by"] for row in yard.get("/v1/shopping").json["items"]}
    assert bought == {"MAT": "2026-03-24", "PEROX-9": "2026-04-20"}


def test_a_lot_that_ends_before_the_plan_lays_it_is_told(yard: FlaskClient) -> None:
    """Good today, out of date on the day on which the plan uses it."""
    lot = {"product": "LAM-PE", "number": "B-1", "quantity": "20 kg", "expires_on": "2026-03-22"}
    assert yard.post("/v1/lots", json=lot).status_code == 201
    yard.post("/v1/jobs/J-1/needs", json={"needs": [{"product": "LAM-PE", "quantity": "6 kg"}]})
    ask(yard, ply("Base"), to="/v1/jobs/J-1/plan", start="2026-03-23T08:00:00+00:00")
    (need,) = yard.get("/v1/jobs/J-1/needs").json["needs"]
    assert [late["number"] for late in need["out_of_date"]] == ["B-1"]
    assert need["short"]["value"] == 6


def test_the_first_step_goes_on_a_layup_that_is_there(yard: FlaskClient) -> None:
    """In the window that its real milestones have, as of now."""
    laid = yard.post(
        "/v1/layups",
        json={"job": "J-1", "title": "Base", "kind": "laminate", "bay": "SHED",
              "product": "LAM-PE", "catalyst_percent": 1.5},
    ).json  # fmt: skip
    told = ask(yard, ply("Top"), after=laid["id"])
    assert told["steps"][0]["start"] >= laid["window"]["from"]
    assert told["steps"][0]["end"] <= laid["window"]["until"]
    assert told["steps"][0]["bound"] == "window"
    assert "once 'Base' is sure to be ready" in told["steps"][0]["why"]


@pytest.mark.parametrize(("cover", "first"), [("none", False), ("peel_ply", True)])
def test_what_covers_the_layer_below_comes_off_first(
    yard: FlaskClient, cover: str, first: bool
) -> None:
    """A plan from a layup under peel ply says so, as its own answer does."""
    laid = yard.post(
        "/v1/layups",
        json={"job": "J-1", "title": "Base", "kind": "laminate", "bay": "SHED", "cover": cover,
              "product": "LAM-PE", "catalyst_percent": 1.5},
    ).json  # fmt: skip
    steps = ask(yard, ply("Top"), after=laid["id"])["steps"]
    assert ("strip the cover" in steps[0]["prepare"]) == first


def test_polyester_on_epoxy_is_a_stop(yard: FlaskClient) -> None:
    """The chemistry of one step on another is told."""
    told = ask(yard, {"title": "Fair", "product": "EPO", "work": "1 h"}, ply("Gel"))
    assert told["warnings"][0].startswith("Gel on Fair: stop")


@pytest.mark.parametrize(
    ("steps", "changes", "slug", "pointer"),
    [
        ([ply("Big", work="10 h")], {}, "no-plan", "/steps/0"),
        ([ply("A"), ply("B", work="9 h", abrade=None)], {}, "no-plan", "/steps/1"),
        ([ply("A")], {"start": "2026-03-19T08:00:00Z"}, "validation", "/start"),
        ([ply("A")], {"bay": "TENT"}, "unknown-reference", "/bay"),
        ([ply("A")], {"after": 99}, "unknown-reference", "/after"),
        ([ply("A")], {"slot": "1 min"}, "validation", "/slot"),
        ([ply("A")], {"hours": {**HOURS, "days": ["feast"]}}, "validation", "/hours/days/0"),
        ([ply("A", product="NONE")], {}, "unknown-reference", "/steps/0/product"),
        ([ply("A", work=None)], {}, "validation", "/steps/0/work"),
        ([ply("A", work="0 min")], {}, "validation", "/steps/0/work"),
        ([ply("A", catalyst_percent=None)], {}, "validation", "/steps/0/catalyst_percent"),
        ([ply("A", catalyst_percent=3)], {}, "outside-limits", "/steps/0/catalyst_percent"),
        ([ply("A", product="PEROX-9")], {}, "cure-sheet-missing", None),
        ([{"title": "W", "kind": "wait"}], {}, "validation", "/steps/0/wait"),
        ([{"title": "H", "kind": "hold"}], {}, "validation", "/steps/0/until"),
        ([ply("A")] * 1000, {}, "validation", "/steps"),
        ([], {}, "validation", "/steps"),
    ],
)
def test_what_can_t_be_planned_is_refused(
    yard: FlaskClient, steps: list[Any], changes: dict[str, Any], slug: str, pointer: str | None
) -> None:
    """Each with its slug, and where in the body it stands."""
    refused = ask(yard, *steps, status=422, **changes)
    assert refused["type"].endswith(f"/{slug}")
    if pointer is not None:
        found = refused.get("pointer") or refused["errors"][0]["pointer"]
        assert found == pointer


def test_the_longest_plan_is_made_in_bounded_time(yard: FlaskClient) -> None:
    """Two hundred steps in slots of five minutes, though they can't be done in sixty days."""
    steps = [ply(f"Ply {n}", work="4 h") for n in range(200)]
    refused = ask(yard, *steps, status=422, slot="5 min")
    assert "planned days end" in refused["detail"]


def test_a_closed_job_is_planned_no_more(yard: FlaskClient) -> None:
    """409, and nothing is kept."""
    done = {"state": "closed", "reason": "launched"}
    assert yard.patch("/v1/jobs/J-1", json=done, headers={"If-Match": '"1"'}).status_code == 200
    refused = ask(yard, ply("A"), to="/v1/jobs/J-1/plan", status=409)
    assert refused["type"].endswith("/job-closed")
