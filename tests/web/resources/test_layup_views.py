"""A layup over the wire: both its windows, why its moments are unsure, and a test for green."""

from __future__ import annotations

import re
from datetime import UTC, datetime

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...putting import by_client, post
from ..conftest import Clock

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

H = 3600


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A yard with stock, a pot in a layup, and one layup of no pot."""
    by_client(client, **makers.yard(), **makers.shelf())
    by_client(client, batches=[makers.pot()], layups=[makers.layup(1), makers.layup()])
    return client


def test_both_windows(yard: FlaskClient) -> None:
    """The sure one lies inside the one for a touch test."""
    told = yard.get("/v1/layups/1").json
    sure, touch = told["window"], told["touch_window"]
    assert touch["from"] < sure["from"] < sure["until"] < touch["until"]
    assert touch["from"] == told["milestones"]["recoat_opens"]["at"]
    assert touch["until"] == told["milestones"]["recoat_closes"]["at"]


def test_a_touch_test_is_a_state_and_something_to_do(yard: FlaskClient, clock: Clock) -> None:
    """Between the likely and the sure opening: of the layup, in 'now', on the wall, in its page."""
    clock.moment += int(2.3 * H)
    told = yard.get("/v1/layups/1").json
    assert "recoat_touch" in told["state"]
    assert told["next"]["action"] == "touch"
    assert told["next"]["text"].startswith("It may be open already: touch it with a glove")
    actions = yard.get("/v1/now").json["actions"]
    assert {each["action"] for each in actions} == {"touch"}
    for page in ("/", "/layups/1"):
        text = yard.get(page).text
        assert 'href="#s-recoat_touch"' in text
        assert "touch test" in text
    assert "With a touch test:" in yard.get("/layups/1").text


def test_green_is_noted_and_counts(yard: FlaskClient, clock: Clock) -> None:
    """16 h on, acetone makes it tacky: open now, and for how long; never 'green' of a pot's cup."""
    clock.moment += 16 * H
    assert "recoat_touch" in yard.get("/v1/layups/1").json["state"]
    told = post(yard, "layups/1/observations", {"kind": "green"})
    assert told["observations"][-1]["kind"] == "green"
    assert "recoat_open" in told["state"]
    assert told["next"]["action"] == "coat"
    assert told["window"]["until"] < told["touch_window"]["until"]
    post(yard, "batches/1/observations", {"kind": "green"}, 422)


def test_the_budget_of_a_layup_is_told_where_it_is_asked_for(yard: FlaskClient) -> None:
    """Shares of the whole, and what would help: a cup only where there is a lot to test."""
    assert yard.get("/v1/layups/1").json["budget"] is None
    of_lot = yard.get("/v1/layups/1?budget=true").json["budget"]
    stated = yard.get("/v1/layups/2?budget=true").json["budget"]
    for budget in (of_lot, stated):
        assert [each["of"] for each in budget] == ["gel", "recoat_opens", "recoat_closes"]
        for each in budget:
            percents = [share["percent"] for share in each["shares"]]
            assert sum(percents) == pytest.approx(100, abs=0.5)
            assert percents == sorted(percents, reverse=True)
            assert all(10 <= help_["percent"] < 100 for help_ in each["would_help"])
    assert {help_["measure"] for help_ in of_lot[0]["would_help"]} == {"temperature", "cup"}
    assert {help_["measure"] for help_ in stated[0]["would_help"]} == {"temperature"}
    assert yard.get("/v1/layups/1?budget=perhaps").status_code == 422


def test_the_budget_of_a_dose_is_told_where_it_is_asked_for(yard: FlaskClient) -> None:
    """And the working time at worst beside the likely one."""
    told = post(yard, "doses", makers.dose(mixing="3 min"), 200)
    assert told["budget"] is None
    worst, likely = (told["working_time"][name]["value"] for name in ("at_worst", "likely"))
    assert worst == pytest.approx(0.6 * told["gel"]["earliest"]["value"] - 3, abs=0.01)
    assert likely == pytest.approx(0.6 * told["gel"]["time"]["value"] - 3, abs=0.01)
    assert told["pot"]["working_time"]["value"] == worst
    budget = post(yard, "doses", makers.dose(budget=True), 200)["budget"]
    assert budget["of"] == "gel"
    assert sum(share["percent"] for share in budget["shares"]) == pytest.approx(100, abs=0.5)


def test_a_layer_that_was_laid_by_touch_is_told_so(yard: FlaskClient, clock: Clock) -> None:
    """On the job's page: neither sure inside the window of the layer below nor past it."""
    clock.moment += int(2.3 * H)
    by_client(yard, layups=[makers.layup(over=1)])
    page = yard.get("/jobs/D-7")
    assert page.status_code == 200
    assert re.search(r"layup 1, [a-z][^;<]* window", page.text)


def test_a_gel_is_shown_as_it_was_seen(yard: FlaskClient, clock: Clock) -> None:
    """On the job's page: the moment of the look, not the likely one before it."""
    clock.moment += 1040  # on the minute
    post(yard, "layups/1/observations", {"kind": "gelled"})
    seen = datetime.fromtimestamp(clock.moment, UTC).strftime("%H:%M")
    words = " ".join(re.sub("<[^>]+>", "", yard.get("/jobs/D-7").text).split())
    assert re.search(rf"gel seen (\S+ )*{seen}", words)
