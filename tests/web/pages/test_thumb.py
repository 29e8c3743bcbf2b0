"""What is done by thumb on pages: each act, what the page that follows says, and its undo."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest
from cureyard_service.acts.bays.readings import read_bay
from cureyard_service.acts.yard import tokens
from cureyard_service.store import tables
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ... import makers
from ...acts import sample_yard as yard
from ...acts.sample_yard import MIN, NOW, H
from ...putting import by_client, post
from ..conftest import Clock
from ..sent_forms import OWN, fill, followed, hidden, opened, send
from ..tokened import KEEPER, given

WEIGH = (
    "/mix/weigh?resin=LAM&amount=1&amount.unit=kg&temperature=20&temperature.unit=degC"
    "&target_gel=20&target_gel.unit=min&job=D-7"
)


@pytest.fixture
def client(app: Flask, clock: Clock) -> FlaskClient:
    """The service on the acts' yard, with stock, and a browser at it."""
    yard.set_up()
    client = app.test_client()
    by_client(client, lots=[makers.lot(bay="SHED"), makers.lot("PEROX", "1 kg", "P-1")])
    clock.moment = NOW
    return client


def words(text: str) -> str:
    """A page as it is read."""
    return re.sub(r" ([,.])", r"\1", " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split()))


def board(text: str) -> str:
    """What the page that follows says at its head."""
    found = re.search(r'<div class="board[^"]*" role="status">(.*?)</div>', text, re.DOTALL)
    return words(found[1]) if found else ""


def laid(hours: float = 0.0) -> int:
    """A layup of so many hours ago."""
    made = yard.laid(product="LAM", catalyst_percent=2, now=int(NOW - hours * H))
    return int(made.id)


def done(client: FlaskClient, address: str, **typed: str) -> str:
    """The page that follows a form."""
    return followed(client, fill(client, address, **typed))


def undone(client: FlaskClient, page: str, address: str) -> str:
    """The page that follows the undo on a page."""
    assert "Undo: not so" in page
    return followed(client, send(client, address, hidden(page)))


def kinds() -> list[str]:
    """What was noted of layups, taken back or not."""
    return [row.kind for row in tables.LayupObservation.select().order_by("id")]


@pytest.mark.parametrize(
    ("answer", "said"),
    [("gelled", "Gelled"), ("not_gelled", "Not gelled"), ("no_transfer", "Glove clean"),
     ("green", "Acetone: goes soft"), ("sanded", "Sanded")],
)  # fmt: skip
def test_each_answer_is_noted_and_taken_back(client: FlaskClient, answer: str, said: str) -> None:
    """By one tap each, at the moment of the tap, under the name of whoever has the pass."""
    layup = laid(1)
    page = done(client, f"/layups/{layup}", answer=answer)
    assert board(page).startswith(f"{said}, 09:46")
    assert kinds() == [answer]
    back = undone(client, page, f"/layups/{layup}/undo")
    assert board(back).startswith(f"Taken back: {said}, 09:46 by Ines.")
    assert tables.Withdrawal.get().reason == "not so"
    assert 'name="answer"' in back  # the right answer can be given now


def test_the_six_answers_stand_in_their_places(client: FlaskClient) -> None:
    """The same six whatever the clock waits for; what it waits for is marked."""
    layup = laid()
    page = client.get(f"/layups/{layup}").text
    places = re.findall(r'<(?:button|a) class="press( due)?"[^>]*>.*?<span>([A-Za-z: ]+)', page)
    assert [name.strip() for _, name in places] == [
        "Gelled", "Not gelled", "Glove clean", "Acetone: goes soft", "Sanded", "Hardness"
    ]  # fmt: skip
    assert [name.strip() for due, name in places if due] == ["Gelled", "Not gelled"]


def test_a_bag_goes_on_and_comes_off_by_thumb(client: FlaskClient, clock: Clock) -> None:
    """One press, that of the other word; the page says since when, and until when to hold it."""
    layup = laid()
    here = f"/layups/{layup}"
    assert "Not under a bag." in client.get(here).text
    page = done(client, here, answer="bagged")
    assert board(page).startswith("Bagged, 09:46")
    clock.moment = NOW + 30 * MIN
    shown = client.get(here).text
    assert "Under a bag since 09:46." in shown
    assert "Vacuum until" in words(shown)
    assert re.search(r"Vacuum bag on since 09:46; hold it until \w", words(shown))
    assert 'value="bagged"' not in shown
    told = {name: hidden(shown)[name] for name in ("form", "key")} | {"answer": "bag_off"}
    off = followed(client, send(client, here, told))
    assert board(off).startswith("Bag off, 10:1")
    assert "should have been held until" in words(client.get(here).text)
    undone(client, off, f"{here}/undo")
    assert "Under a bag since 09:46." in client.get(here).text
    assert kinds() == ["bagged", "bag_off"]


def test_a_bag_that_is_due_comes_first(client: FlaskClient, clock: Clock) -> None:
    """Marked, above the six answers; while vacuum is held it stands below them, unmarked."""
    layup = laid()
    done(client, f"/layups/{layup}", answer="bagged")
    held = client.get(f"/layups/{layup}").text
    assert held.index('class="six"') < held.index('value="bag_off"')
    clock.moment = NOW + 48 * H
    due = client.get(f"/layups/{layup}").text
    assert "take the bag off" in words(due).lower()
    assert due.index('value="bag_off"') < due.index('class="six"')
    assert re.search(r'class="press wide due" name="answer" value="bag_off"', due)
    assert due.count('value="bag_off"') == 1


def test_a_jobs_forms_come_before_its_commands(client: FlaskClient) -> None:
    """No thumb can type those; a closed job offers no form."""
    page = client.get("/jobs/D-7").text
    forms = [f'href="/jobs/D-7/{name}"' for name in ("moisture", "surface", "film", "leak-test")]
    assert all(page.index(each) < page.index("<code>cureyard") for each in forms)


@pytest.mark.parametrize("answer", ["gelled", "sanded", "no_transfer"])
def test_a_very_early_answer_is_asked_for_again(
    client: FlaskClient, clock: Clock, answer: str
) -> None:
    """A minute after laying: it opens nothing until it is said again, and can be taken back."""
    layup = laid()
    clock.moment = NOW + MIN
    page = done(client, f"/layups/{layup}", answer=answer)
    assert "Very early: of 1000 layups fewer than one looks like this." in board(page)
    assert 'name="answer"' not in page  # nothing that invites to say it at once
    assert 'class="six"' not in page  # the six places are empty: a glove taps twice
    clock.moment += MIN
    told = opened(client, f"/layups/{layup}")
    del told["observation"]  # of the undo below
    sure = followed(client, send(client, f"/layups/{layup}", told | {"answer": answer}))
    assert "Very early" not in board(sure)
    assert kinds() == [answer, answer]


def test_an_early_hardness_is_asked_for_again(client: FlaskClient, clock: Clock) -> None:
    """Said again with its figure; not on the ground of what is due, which invites."""
    layup = laid()
    clock.moment = NOW + 30 * MIN
    page = done(client, f"/layups/{layup}/hardness", readings="40")
    assert "Nothing goes by it until you say it again, in a minute." in board(page)
    assert "Very early" in board(done(client, f"/layups/{layup}/hardness", readings="40"))
    clock.moment += MIN
    assert "Very early" not in board(done(client, f"/layups/{layup}/hardness", readings="40"))


def test_not_gelled_very_late_counts_at_once(client: FlaskClient) -> None:
    """The words say so: it is on the safe side."""
    page = done(client, f"/layups/{laid(5)}", answer="not_gelled")
    assert board(page).count("It counts at once: nothing goes on it.") == 1
    assert "do not cover" in words(page)


def test_a_green_face_past_its_window_is_asked_once_more(client: FlaskClient) -> None:
    """Who feels the normal tack presses it: what it means is asked first, and nothing is noted."""
    layup = laid(29)
    page = done(client, f"/layups/{layup}", answer="green")
    assert "Acetone on a white rag: the face went soft and sticky?" in board(page)
    assert kinds() == []
    assert 'class="six"' not in page
    told = hidden(page) | {"answer": "green"}
    sure = followed(client, send(client, f"/layups/{layup}", told))
    assert board(sure).startswith("Acetone: goes soft")
    assert kinds() == ["green"]


def test_another_answer_after_the_way_back(client: FlaskClient) -> None:
    """What was kept is said, with the way to its undo; one press more notes both."""
    layup = laid(1)
    here = f"/layups/{layup}"
    told = hidden(client.get(here).text) | {"answer": "gelled"}
    first = send(client, here, told).headers["Location"]
    other = send(client, here, told | {"answer": "no_transfer"})
    assert other.status_code == 422
    assert "The first had: gelled." in words(other.text)
    assert f'href="{first}"' in other.text
    assert kinds() == ["gelled"]
    assert "Undo: not so" in client.get(first).text
    again = {name: hidden(other.text)[name] for name in ("form", "key")}
    followed(client, send(client, here, again | {"answer": "no_transfer"}))
    assert kinds() == ["gelled", "no_transfer"]


def test_who_goes_back_from_a_question_has_noted_nothing(client: FlaskClient) -> None:
    """The form that was only asked about takes another answer."""
    layup = laid(29)
    here = f"/layups/{layup}"
    told = hidden(client.get(here).text) | {"answer": "green"}
    assert "asked=green" in send(client, here, told).headers["Location"]
    page = followed(client, send(client, here, told | {"answer": "no_transfer"}))
    assert board(page).startswith("Glove clean")
    assert kinds() == ["no_transfer"]


def test_a_green_face_of_structural_work_is_asked_once_more(client: FlaskClient) -> None:
    """Inside the window, too; the state that stays tacky has another sign than this button."""
    made = yard.laid(product="LAM", catalyst_percent=2, job="S-1", now=NOW - 8 * H)
    page = client.get(f"/layups/{made.id}").text
    assert '#a-acetone"' in page.split('value="green"')[1].split("</button>")[0]
    assert "Acetone on a white rag" in board(done(client, f"/layups/{made.id}", answer="green"))
    assert kinds() == []


def test_a_likely_answer_is_not_asked_for_again(client: FlaskClient) -> None:
    """The resin gels in 20 min, and in a film later: an hour after laying it has."""
    page = done(client, f"/layups/{laid(1)}", answer="gelled")
    assert "noted by" in board(page)
    assert "again" not in board(page)


def test_the_last_answer_can_be_taken_back_later(client: FlaskClient, clock: Clock) -> None:
    """From the layup's own page, until a day is over; nobody else's by a hand."""
    layup = laid(1)
    done(client, f"/layups/{layup}", answer="gelled")
    clock.moment += 3 * H
    page = client.get(f"/layups/{layup}").text
    assert "Last noted: gelled, 09:46." in words(page)
    back = followed(client, send(client, f"/layups/{layup}/undo", hidden(page)))
    assert "Taken back: Gelled" in board(back)
    assert "Last noted" not in client.get(f"/layups/{layup}").text


def test_a_hand_takes_back_its_own_alone(app: Flask, client: FlaskClient, clock: Clock) -> None:
    """Another's answer is a lead's to take back; after a day one's own too."""
    layup = laid(1)
    passes = {}
    for name, role in (("Rui", "hand"), ("Ada", "hand"), ("Lea", "lead")):
        passes[name] = app.test_client()
        token = {"token": given(name, role).secret}  # type: ignore[arg-type]
        assert passes[name].post("/enter", data=token, headers=OWN).status_code == 303
    done(passes["Rui"], f"/layups/{layup}", answer="gelled")
    offered = {n: "Take it back" in p.get(f"/layups/{layup}").text for n, p in passes.items()}
    assert offered == {"Rui": True, "Ada": False, "Lea": True}
    told = hidden(passes["Ada"].get(f"/layups/{layup}").text) | {"observation": "1"}
    assert send(passes["Ada"], f"/layups/{layup}/undo", told).status_code == 403
    clock.moment += 25 * H
    assert "Take it back" not in passes["Rui"].get(f"/layups/{layup}").text


def test_a_hardness_is_a_figure_or_its_readings(client: FlaskClient) -> None:
    """0 to 100; readings are parted by what a number pad has; a wrong one is refused beside it."""
    layup = laid(48)
    here = f"/layups/{layup}/hardness"
    assert board(done(client, here, readings="38")).startswith("Hardness 38")
    for wrong in ("101", "-1", "3.5", "hard", "", "38 41 hard", "4" * 40):
        answer = fill(client, here, readings=wrong)
        assert answer.status_code == 422, wrong
        assert 'id="readings-fault"' in answer.text, wrong
    assert kinds() == ["hardness"]
    ten = "38.41.44.40.36.43.45.39.42.37."
    met = dict.fromkeys(("thick_enough", "off_edges"), "yes")
    page = done(client, here, readings=ten, scale="barcol_935", face="gel_coat", **met)
    assert "40.5 ± 1.0 Barcol 935 of 10 readings, on gel coat, noted by Ines" in board(page)
    seen = client.get(f"/v1/layups/{layup}").json["observations"][-1]
    assert (seen["value"], seen["met"]) == (40, ["thick_enough", "off_edges"])
    back = undone(client, page, f"/layups/{layup}/undo")
    assert board(back).startswith("Taken back: Hardness 40")


TENTHS = "38.5 41.5 44.5 40.5 36.5 43.5 45.5 39.5 42.5 37.5"


@pytest.mark.parametrize(
    "typed",
    [
        TENTHS,
        TENTHS.replace(" ", "."),
        TENTHS.replace(".", ",").replace(" ", ", "),
        TENTHS.replace(" ", ","),
        "40.5",
        "40,5",
        "38.41.44.40.36.43,45 39, 42 37",
    ],
)
def test_what_may_be_decimals_is_no_series(client: FlaskClient, typed: str) -> None:
    """Ten of 38.5 are never kept as twenty: an impressor's dial is read in whole numbers."""
    answer = fill(client, f"/layups/{laid(48)}/hardness", readings=typed)
    assert answer.status_code == 422
    assert "Readings are whole numbers, parted by one sign." in words(answer.text)
    assert kinds() == []


@pytest.mark.parametrize(
    "typed",
    [
        "38 41 44 40 36 43 45 39 42 37",
        "38, 41, 44, 40, 36, 43, 45, 39, 42, 37",
        "38 9 44 40 36 43 45 39 42 37",
        "38.09.44.40.36.43.45.39.42.37",
        "38,41,44,40,36,43,45,39,100,37",
    ],
)
def test_a_series_has_one_sign(client: FlaskClient, typed: str) -> None:
    """Each that a pad may have; under 10 with a nought where the sign may be a decimal one."""
    page = done(client, f"/layups/{laid(48)}/hardness", readings=typed)
    assert "of 10 readings" in board(page)


def test_too_few_readings_say_how_many(client: FlaskClient) -> None:
    """Ten to thirty."""
    answer = fill(client, f"/layups/{laid(48)}/hardness", readings="38.41.44")
    assert "3 readings are too few for a hardness: it takes 10 to 30." in words(answer.text)


def test_a_hardness_near_its_least_asks_for_more(client: FlaskClient) -> None:
    """And the form keeps what was typed on a scale that is not the sheet's."""
    sheet = makers.sheet(hardness_min=45, hardness_scale="barcol_934_1")
    by_client(client, products=[makers.resin("HARDER", cure=sheet)])
    layup = int(yard.laid(product="HARDER", catalyst_percent=2, now=int(NOW - 48 * H)).id)
    here = f"/layups/{layup}/hardness"
    page = client.get(here).text
    assert "Its cure sheet wants 45 Barcol 934-1." in words(page)
    ten = "38 41 44 40 36 43 45 39 42 37"
    answer = fill(client, here, readings=ten, scale="shore_d", wax_off="yes")
    assert answer.status_code == 422
    assert "unlike scales" in answer.text
    assert f'value="{ten}"' in answer.text
    assert re.search(r'name="wax_off" value="yes" checked', answer.text)
    assert re.search(r'value="shore_d" selected', answer.text)
    assert "Take more readings, up to 30" in board(done(client, here, readings=ten))


def test_a_wipe_with_solvent_is_one_tap(client: FlaskClient) -> None:
    """On the page of the hardness; and taken back."""
    layup = laid(48)
    told = hidden(client.get(f"/layups/{layup}/hardness").text) | {"answer": "solvent_wipe"}
    page = followed(client, send(client, f"/layups/{layup}", told))
    assert board(page).startswith("Solvent wipe, ")
    assert kinds() == ["solvent_wipe"]
    undone(client, page, f"/layups/{layup}/undo")
    assert client.get(f"/v1/layups/{layup}").json["observations"] == []


def test_a_viewer_is_offered_nothing(app: Flask, client: FlaskClient) -> None:
    """On any of the pages that a hand acts on."""
    layup = laid(1)
    vic = app.test_client()
    vic.post("/enter", data={"token": given("Vic", "viewer").secret}, headers=OWN)
    for address in (
        f"/layups/{layup}", f"/layups/{layup}/hardness", "/lots/1", "/bays/SHED", "/mix",
        "/jobs/D-7/moisture", "/jobs/D-7/film", "/jobs/D-7/surface",
    ):  # fmt: skip
        page = vic.get(address)
        assert page.status_code == 200
        assert 'class="press' not in page.text, address
        assert 'method="post"' not in page.text, address
    assert vic.get(WEIGH).status_code == 403


def lot(client: FlaskClient, number: int = 1) -> Any:
    """A lot by the interface."""
    return client.get(f"/v1/lots/{number}").json


def offered(client: FlaskClient, number: int = 1) -> set[str]:
    """What a lot's page offers to do, beside a photograph, which it always does."""
    page = client.get(f"/lots/{number}").text
    return set(re.findall(r'class="press[^"]*"[^>]*>(?:<svg.*?</svg>)?<span>([^<]+)', page)) - {
        "Photograph"
    }


ALL = {"Draw for job", "Open", "Count", "Hold", "Mix from it"}


def test_a_lot_is_opened_by_one_tap(client: FlaskClient) -> None:
    """Today; and it can be taken back, at once or later."""
    assert offered(client) == ALL
    page = done(client, "/lots/1/open")
    assert board(page).startswith("Opened, 09:46")
    assert lot(client)["opened_on"] == "2026-03-20"
    assert offered(client) == ALL - {"Open"}
    back = undone(client, page, "/lots/1/undo")
    assert board(back).startswith("Not opened")
    assert lot(client)["opened_on"] is None
    done(client, "/lots/1/open")
    page = client.get("/lots/1").text
    assert "It is not open" in page
    followed(client, send(client, "/lots/1/undo", hidden(page) | {"event": "opened"}))
    assert lot(client)["opened_on"] is None
    assert [row.kind for row in tables.LotEvent.select().order_by("id")][-4:] == [
        "opened", "not_opened", "opened", "not_opened"
    ]  # fmt: skip


def test_what_was_drawn_from_is_open(client: FlaskClient) -> None:
    """Its opening can't be taken back before the draw is."""
    done(client, "/lots/1/open")
    drawn = done(client, "/lots/1/draw", quantity="2", job="D-7")
    assert "It is not open" not in client.get("/lots/1").text
    told = hidden(client.get("/lots/1/hold").text) | {"event": "opened"}
    assert send(client, "/lots/1/undo", told).status_code == 422
    undone(client, drawn, "/lots/1/undo")
    assert "It is not open" in client.get("/lots/1").text


def test_a_lot_is_held_and_offers_no_draw(client: FlaskClient) -> None:
    """For a reason, under a red board; a hold by mistake is taken back."""
    page = done(client, "/lots/1/hold", reason="skin on top")
    assert board(page).startswith("Held, 09:46 “skin on top”, by Ines.")
    assert offered(client) == {"Count", "Not so: hold it no more", "Let it go"}
    assert "HELD: skin on top" in client.get("/lots/1").text
    asked = client.get("/lots/1/draw")
    assert 'name="quantity"' not in asked.text
    told = hidden(client.get("/lots/1/count").text) | {"quantity": "1 kg", "job": "D-7"}
    refused = send(client, "/lots/1/draw", told)
    assert (refused.status_code, lot(client)["on_hand"]["value"]) == (409, 20)
    undone(client, page, "/lots/1/undo")
    assert (lot(client)["held"], offered(client)) == (False, ALL)


def test_a_lot_out_of_date_offers_no_draw(client: FlaskClient) -> None:
    """Nor an opening, nor a mixing."""
    post(client, "lots", makers.lot(number="B-9", expires_on="2026-03-01"))
    assert offered(client, 3) == {"Count", "Hold"}
    assert "OUT OF DATE since" in client.get("/lots/3").text


def test_a_cup_tests_hold_is_no_mistake(client: FlaskClient) -> None:
    """A lead lets it go, or another test; twice the sheet's time holds it."""
    cup = {"catalyst_lot": 2, "mass": "100 g", "temperature": "20 degC", "catalyst_percent": 2,
           "gel_times": ["60 min"]}  # fmt: skip
    post(client, "lots/1/cup-tests", cup)
    assert lot(client)["held"]
    assert offered(client) == {"Count", "Let it go"}
    told = hidden(client.get("/lots/1/count").text) | {"event": "held"}
    told.pop("quantity.unit")
    assert send(client, "/lots/1/undo", told).status_code == 422
    assert lot(client)["held"]
    assert board(done(client, "/lots/1/release", reason="second cup was right")).startswith(
        "Released"
    )
    assert not lot(client)["held"]


def test_a_lot_is_drawn_for_a_job(client: FlaskClient) -> None:
    """In the unit that the page shows; the undo puts it back."""
    page = done(client, "/lots/1/draw", quantity="2,5", job="D-7")
    assert board(page).startswith("Drawn 2.5 kg, 09:46 for D-7, by Ines. 17.5 kg are left.")
    undone(client, page, "/lots/1/undo")
    assert lot(client)["on_hand"]["value"] == 20


@pytest.mark.parametrize("wrong", ["", "0", "lots", "-1", "99999", "2 m", "1e400"])
def test_a_wrong_draw_keeps_what_was_typed(client: FlaskClient, wrong: str) -> None:
    """And changes nothing."""
    answer = fill(client, "/lots/1/draw", quantity=wrong, job="D-7")
    assert answer.status_code in (409, 422)
    assert f'value="{wrong}"' in answer.text
    assert '<option value="D-7" selected>' in answer.text
    assert lot(client)["on_hand"]["value"] == 20


def test_a_lot_is_counted(client: FlaskClient) -> None:
    """The page says how far the books were off."""
    page = done(client, "/lots/1/count", quantity="18.5")
    assert board(page).startswith("Counted 18.5 kg, 09:46")
    assert "1.5 kg less than the books had" in board(page)
    undone(client, page, "/lots/1/undo")
    assert lot(client)["on_hand"]["value"] == 20


def test_a_count_of_more_than_there_ever_was_is_asked_again(client: FlaskClient) -> None:
    """25 kg of a lot that came with 20 kg is a slip, or else it is said twice."""
    asked = fill(client, "/lots/1/count", quantity="25")
    assert (asked.status_code, lot(client)["on_hand"]["value"]) == (422, 20)
    assert "25 kg is more than this lot ever had" in words(asked.text)
    other = send(client, "/lots/1/count", hidden(asked.text) | {"quantity": "52"})
    assert (other.status_code, lot(client)["on_hand"]["value"]) == (422, 20)
    sure = send(client, "/lots/1/count", hidden(asked.text) | {"quantity": "25"})
    assert board(followed(client, sure)).startswith("Counted 25 kg")
    assert fill(client, "/lots/1/count", quantity="24").status_code == 303
    assert fill(client, "/lots/1/count", quantity="25").status_code == 303  # it had so much once


def test_a_count_without_a_number_names_the_fields_own_unit(client: FlaskClient) -> None:
    """Not every measure that a lot may have."""
    answer = fill(client, "/lots/1/count", quantity="abc")
    assert answer.status_code == 422
    assert "'abc' is no number. Write a number of kg." in words(answer.text)
    assert "area" not in words(answer.text)


def test_the_undo_of_another_lots_line_is_refused(client: FlaskClient) -> None:
    """Each page takes back what is its own."""
    done(client, "/lots/1/draw", quantity="2", job="D-7")
    line = tables.Movement.select().order_by(tables.Movement.id.desc()).first().id
    told = hidden(client.get("/lots/2").text) | {"line": str(line)}
    told.pop("event", None)
    assert send(client, "/lots/2/undo", told).status_code == 404
    assert lot(client)["on_hand"]["value"] == 18


def readings(client: FlaskClient) -> list[Any]:
    """The readings on record of the shed, the newest first."""
    return list(client.get("/v1/bays/SHED/readings").json["items"])


def test_a_thermometer_is_read(client: FlaskClient) -> None:
    """Now, with the humidity or without; and it is taken back."""
    page = done(client, "/bays/SHED", temperature="19.5", humidity_percent="64")
    assert board(page) == "19.5 °C, 64 %, 09:46 noted by Ines"
    (reading,) = readings(client)
    assert (reading["temperature"]["value"], reading["humidity_percent"]) == (19.5, 64)
    assert reading["at"].startswith("2026-03-20T09:46:40")
    back = undone(client, page, "/bays/SHED/undo")
    assert "Taken back: 19.5 °C" in board(back)
    assert readings(client)[0]["withdrawn"]["reason"] == "not so"


@pytest.mark.parametrize("odd", ["115", "-40", "72", "68", "44", "-3"])
def test_an_odd_reading_is_asked_for_again(client: FlaskClient, odd: str) -> None:
    """The shed is taken to be at 20 °C: 115 is 11.5 with a finger too many, 68 and 72 are °F."""
    asked = fill(client, "/bays/SHED", temperature=odd)
    assert (asked.status_code, readings(client)) == (422, [])
    assert "very unlikely here" in asked.text
    assert f'value="{odd}"' in asked.text
    other = hidden(asked.text) | {"temperature": "119" if odd != "119" else "118"}
    assert send(client, "/bays/SHED", other).status_code == 422  # another number is asked again
    sure = send(client, "/bays/SHED", hidden(asked.text) | {"temperature": odd})
    assert board(followed(client, sure)).startswith(f"{odd.replace('-', '-')} °C")
    assert len(readings(client)) == 1


@pytest.mark.parametrize("wrong", ["", "warm", "130", "-300", "20 kg", "nan"])
def test_no_reading_is_refused(client: FlaskClient, wrong: str) -> None:
    """What no bay is stays refused, however often it is said."""
    answer = fill(client, "/bays/SHED", temperature=wrong)
    assert answer.status_code == 422
    again = send(client, "/bays/SHED", hidden(answer.text) | {"temperature": wrong})
    assert (again.status_code, readings(client)) == (422, [])


def test_what_is_not_believed_is_marked(client: FlaskClient) -> None:
    """A probe's jump to 44 °C, entered after a reading of later; the newest moment is first."""
    for at, heat in ((NOW - 3 * 60, "20 degC"), (NOW - 60, "20.5 degC"), (NOW - 120, "44 degC")):
        told = [{"at": at, "temperature": yard.heat(heat)}]
        read_bay(bay="SHED", readings=told, now=NOW, hand=yard.HAND, probe=True)
    rows = re.findall(r"<tr>\s*<th scope=\"row\".*?</tr>", client.get("/bays/SHED").text, re.DOTALL)
    said = [re.findall(r"[\d.]+ °C(?: not believed)?", words(row)) for row in rows]
    assert said == [["20.5 °C"], ["44 °C not believed"], ["20 °C"]]


def test_the_list_of_bays(client: FlaskClient) -> None:
    """Each with its air, and a link to its page."""
    page = client.get("/bays").text
    assert re.findall(r'href="/bays/(\w+)"', page)[:2] == ["SHED", "TENT"]
    assert "20 °C assumed, no recent reading" in words(page)


def pots() -> int:
    """How many pots are on record."""
    return int(tables.Batch.select().count())


def mixed(client: FlaskClient, address: str = WEIGH, **typed: str) -> TestResponse:
    """Step 2 opened and sent."""
    page = client.get(address)
    assert page.status_code == 200, words(page.text)
    return send(client, "/mix/weigh", hidden(page.text) | typed)


def test_a_pot_in_three_steps(client: FlaskClient) -> None:
    """Ask, weigh, card: 2 % of 1000 g are 20 g; nothing is drawn before 'mixed'."""
    asked = client.get("/mix").text
    assert re.findall(r'<(?:input|select) id="(\w+)"', asked)[:4] == [
        "resin",
        "amount",
        "temperature",
        "target_gel",
    ]
    weigh = client.get(WEIGH).text
    assert "1000 g" in words(weigh)
    assert "20 g" in words(weigh)
    assert (pots(), lot(client)["on_hand"]["value"]) == (0, 20)
    page = followed(client, send(client, "/mix/weigh", hidden(weigh)))
    assert board(page).startswith("Pot 1, mixed 09:46 for D-7")
    assert (pots(), lot(client)["on_hand"]["value"]) == (1, 19)
    for words_ in ("spread by", "Organic peroxide"):
        assert words_ in page


def test_what_protects_stands_before_mixed(client: FlaskClient) -> None:
    """In one line, above the amounts; all cautions follow below the button."""
    told = words(client.get(WEIGH).text)
    short = told.index("Gloves, goggles. Peroxide and promoter never together.")
    assert short < told.index("1000 g") < told.index("Mixed, now") < told.index("Organic peroxide")
    assert "TOO HOT" not in told


def test_a_pot_that_can_hardly_be_laid_says_so_first(client: FlaskClient) -> None:
    """At 34 °C with 2 % it gels in minutes: before the amounts, and once."""
    hot = WEIGH.replace("temperature=20&", "temperature=34&").replace(
        "target_gel=20&target_gel.unit=min", "catalyst_percent=2"
    )
    told = words(client.get(hot).text)
    assert told.count("TOO HOT OR TOO MUCH TO LAY") == 1
    assert told.index("TOO HOT OR TOO MUCH TO LAY") < told.index("1000 g")


def test_a_pot_mixed_twice_by_one_form_is_one_pot(client: FlaskClient) -> None:
    """The second tap shows the same card."""
    told = hidden(client.get(WEIGH).text)
    first, second = (send(client, "/mix/weigh", told) for _ in range(2))
    assert first.headers["Location"] == second.headers["Location"]
    assert pots() == 1


def test_what_was_weighed_is_what_is_kept(client: FlaskClient) -> None:
    """Another drum became the first to go meanwhile: nothing is mixed, the new card is shown."""
    told = hidden(client.get(WEIGH).text)
    post(client, "lots", makers.lot(number="B-0", expires_on="2026-03-25"))
    answer = send(client, "/mix/weigh", told)
    assert (answer.status_code, pots()) == (422, 0)
    assert "What is to be weighed has changed" in words(answer.text)
    assert "B-0/1" in answer.text
    again = send(client, "/mix/weigh", hidden(answer.text))
    assert (again.status_code, pots()) == (303, 1)


@pytest.mark.parametrize(
    ("change", "words_"),
    [
        ("amount=1&", "amount=lots&"),
        ("amount=1&", "amount=&"),
        ("amount=1&", "amount=900&"),
        ("temperature=20&", "temperature=&"),
        ("temperature=20&", "temperature=2&"),
        ("resin=LAM", "resin=NONE"),
        ("job=D-7", "job=D-99"),
        ("target_gel=20&", "target_gel=&"),
    ],
)
def test_a_pot_that_can_not_be_is_asked_again(
    client: FlaskClient, change: str, words_: str
) -> None:
    """The first step is shown again with what was typed, and the reason."""
    answer = client.get(WEIGH.replace(change, words_))
    assert answer.status_code in (409, 422)
    assert "step 1 of 3" in answer.text
    assert 'role="alert"' in answer.text
    assert pots() == 0


def test_a_pot_over_the_greatest_is_said_in_words(client: FlaskClient) -> None:
    """Without the field's own name."""
    sheet = makers.sheet()
    sheet.pop("pot_max")
    by_client(client, products=[makers.resin("BIG", cure=sheet)],
              lots=[makers.lot("BIG", "40 kg", "G-1")])  # fmt: skip
    big = WEIGH.replace("LAM", "BIG").replace("amount=1&", "amount=39&")
    told = words(client.get(big).text)
    assert "is over the greatest" in told
    assert "A lead can enter the greatest pot of the data sheet." in told
    assert "pot_max" not in told


def test_a_mix_of_two_parts_needs_no_gel_time(client: FlaskClient) -> None:
    """And one from a lot's page is of that lot."""
    by_client(client, lots=[makers.lot("EPOX", "5 kg", "E-1"), makers.lot("HARD", "2 kg", "H-1")])
    assert "lot E-1/1" in words(client.get("/mix?lot=3").text)
    address = WEIGH.replace("LAM&amount=1&", "EPOX&resin_lot=3&amount=0.3&").replace(
        "target_gel=20", "target_gel="
    )
    page = followed(client, mixed(client, address))
    assert "E-1/1" in page


def test_what_became_of_a_pot(client: FlaskClient) -> None:
    """It gelled in its cup, is lost, or was not mixed at all, which puts the stock back."""
    followed(client, mixed(client))
    for seen, said in (("gelled", "Gelled in its cup"), ("lost", "Lost")):
        page = done(client, "/batches/1", seen=seen)
        assert board(page).startswith(f"{said}, 09:46")
        assert "Taken back" in undone(client, page, "/batches/1/undo")
    page = done(client, "/batches/1", seen="not_mixed")
    assert "went back into stock" in board(page)
    assert "Undo: not so" not in page
    assert lot(client)["on_hand"]["value"] == 20


def test_what_is_done_under_a_pass_has_its_name(app: Flask, client: FlaskClient) -> None:
    """A phone's name is what stands beside what was done with it, proven by its login."""
    phone = given("Ada's phone", "hand")
    layup = laid(1)
    client.post("/enter", data={"token": phone.secret}, headers=OWN)
    page = done(client, f"/layups/{layup}", answer="gelled")
    assert "noted by Ada's phone" in board(page)
    row = tables.LayupObservation.get()
    assert (row.who, row.verified) == ("Ada's phone", True)
    tokens.revoke_token(phone.id, now=NOW, hand=KEEPER)
    told = hidden(page)
    assert send(client, f"/layups/{layup}/undo", told).status_code == 401
    assert tables.Withdrawal.select().count() == 0


def test_one_moment_is_one_time_on_the_card(client: FlaskClient) -> None:
    """Mixed at 09:46:40: the board, the card and 'as of' say 09:46, and the gel adds up to it."""
    page = words(followed(client, send(client, "/mix/weigh", hidden(client.get(WEIGH).text))))
    assert "09:47" not in page
    assert page.count("09:46") >= 3
    gel = re.search(r"it gels (\d+) min after mixing, at (\d\d):(\d\d)", page)
    assert gel is not None
    assert int(gel[2]) * 60 + int(gel[3]) - (9 * 60 + 46) == int(gel[1])
