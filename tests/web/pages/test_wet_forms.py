"""Forms of wetness and of bags by thumb: numbers as a pad writes them, places, slips."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from ...putting import post
from ..conftest import Clock
from ..metered import metered
from ..sent_forms import fill, followed, hidden, send
from .test_thumb import board, words

DAY = 86_400
MOISTURE, LEAK = "/jobs/J-1/moisture", "/jobs/J-1/leak-test"
FILM, SURFACE = "/jobs/J-1/film", "/jobs/J-1/surface"
READ = {
    "place": "Keel", "meter": "CAP / deep", "first": "36", "second": "35.5", "third": "36.5",
    "surface_temperature": "15", "for_what": "reading",
}  # fmt: skip


@pytest.fixture
def yard(client: FlaskClient, clock: Clock) -> FlaskClient:
    """A yard with a meter, a bay and one job that was opened long ago."""
    return metered(client, clock)


def kept(client: FlaskClient, noun: str = "moisture-readings") -> list[Any]:
    """What is on record of the job, the last first."""
    return list(client.get(f"/v1/jobs/J-1/{noun}").json["items"])


@pytest.mark.parametrize(
    ("typed", "value"), [("36,5", 36.5), ("36.5", 36.5), ("0,125", 0.125), (" 36 ", 36)]
)
def test_a_placement_may_have_a_comma(yard: FlaskClient, typed: str, value: float) -> None:
    """As the face and the gauge have it: a pad has the sign of its language alone."""
    followed(yard, fill(yard, MOISTURE, **READ | {"first": typed}))
    assert kept(yard)[0]["placements"][0] == value


def test_other_plain_numbers_of_forms_too(yard: FlaskClient) -> None:
    """The humidity of a bay."""
    followed(yard, fill(yard, "/bays/SHED", temperature="19,5", humidity_percent="64,5"))
    assert yard.get("/v1/bays/SHED/readings").json["items"][0]["humidity_percent"] == 64.5


@pytest.mark.parametrize("typed", ["wet", "36 %", "36.123456789012345", "1,250", "3,6,5", "1e1"])
def test_no_number_is_said_in_words_of_a_form(yard: FlaskClient, typed: str) -> None:
    """Nobody who fills in a form gives quotes."""
    answer = fill(yard, MOISTURE, **READ | {"second": typed})
    assert answer.status_code == 422
    assert "This must be a number. Write it in digits, with at most 12 decimals" in answer.text
    assert "quotes" not in answer.text
    assert kept(yard) == []


def test_limits_are_said_in_digits(yard: FlaskClient) -> None:
    """Never as 1e+06."""
    answer = fill(yard, MOISTURE, **READ | {"second": "99999999"})
    assert "It must be from -1000000 to 1000000." in words(answer.text)


@pytest.mark.parametrize("typed", ["-2.5", "-2,5"])
def test_a_face_may_be_under_zero(yard: FlaskClient, typed: str) -> None:
    """A winter's face; not every decimal pad has a minus, so its field asks for none."""
    page = yard.get(MOISTURE).text
    field = page[page.index('id="surface_temperature"') :].partition(">")[0]
    assert 'inputmode="text"' in field
    told = followed(yard, fill(yard, MOISTURE, **READ | {"surface_temperature": typed}))
    assert "face -2.5 °C" in board(told).replace("\N{NO-BREAK SPACE}", " ")


def test_a_gauge_is_said_to_what_it_shows(yard: FlaskClient) -> None:
    """26 inHg are 880.46 hPa (3386.389 Pa each): a gauge shows no hundredths."""
    typed = {"place": "keel", "first": "26 inHg", "second": "25.9 inHg", "waited": "10"}
    followed(yard, fill(yard, LEAK, **typed, shows="below"))
    page = words(yard.get("/jobs/J-1").text).replace("\N{NO-BREAK SPACE}", " ")
    assert "880 hPa" in page
    assert "0.3 hPa" in page
    assert "880.4" not in page


@pytest.mark.parametrize("day", ["2006-03-18", "2026-02-17"])
def test_film_that_was_on_for_a_month_is_refused(yard: FlaskClient, day: str) -> None:
    """A slip of the year, or of the month; whoever says it."""
    typed = {"place": "Keel", "taped_at": "07:30", "drops": "no"}
    answer = fill(yard, FILM, **typed, taped_day=day)
    assert answer.status_code == 422
    assert "The film would have been on for more than 30 days." in answer.text
    assert 'id="taped_at-fault"' in answer.text
    told = {"place": "Keel", "taped_at": f"{day}T07:30:00Z", "drops": False}
    assert post(yard, "jobs/J-1/film-tests", told, 422)["pointer"] == "/taped_at"
    assert kept(yard, "film-tests") == []
    followed(yard, fill(yard, FILM, **typed, taped_day="2026-02-19"))


def test_the_film_form_says_when_it_is_filled(yard: FlaskClient) -> None:
    """Nobody looks for a way to note the film as it goes on."""
    assert "noted when it comes off: write day and time on the film" in yard.get(FILM).text


def test_a_new_place_of_a_surface_is_asked_about(yard: FlaskClient) -> None:
    """Once: a slip of a finger makes no place that nobody looks at again."""
    followed(yard, fill(yard, MOISTURE, **READ))
    followed(yard, fill(yard, SURFACE, place="keel", what="rain"))
    asked = fill(yard, SURFACE, place="Kele", what="rain")
    assert asked.status_code == 422
    assert "New place: Kele?" in asked.text
    assert len(kept(yard, "surface-notes")) == 1
    other = send(yard, SURFACE, hidden(asked.text) | {"place": "Kelp", "what": "rain"})
    assert (other.status_code, "New place: Kelp?" in other.text) == (422, True)
    followed(yard, send(yard, SURFACE, hidden(other.text) | {"place": "Kelp", "what": "rain"}))
    assert kept(yard, "surface-notes")[0]["place"] == "Kelp"
    followed(yard, fill(yard, SURFACE, place="kelp", what="dust"))
    assert '<option value="Kelp">' in yard.get(SURFACE).text


def heat(client: FlaskClient, what: str, place: str = "", status: int = 303) -> None:
    """Heat goes on or off at a place that is known."""
    assert fill(client, SURFACE, what=f"heat_{what}", place=place).status_code == status


def test_heat_goes_off_where_it_is_on(yard: FlaskClient, clock: Clock) -> None:
    """At the place, or by the whole boat's; the whole boat's where any is on."""
    for place in ("Keel", "Skeg"):
        followed(yard, fill(yard, MOISTURE, **READ | {"place": place}))
    heat(yard, "off", "Keel", 422)
    heat(yard, "off", "", 422)
    heat(yard, "on", "Keel")
    clock.moment += 60
    heat(yard, "off", "Skeg", 422)
    heat(yard, "off", "Keel")
    heat(yard, "off", "Keel", 422)
    heat(yard, "on", "Skeg")
    clock.moment += 60
    heat(yard, "off")
    heat(yard, "off", "Skeg", 422)
    heat(yard, "on")
    heat(yard, "off", "Skeg")
    answer = fill(yard, SURFACE, what="heat_off", place="Nowhere", sure="Nowhere")
    assert answer.status_code == 303  # the whole boat is heated


def test_heat_off_without_heat_says_why(yard: FlaskClient) -> None:
    """By the form and by the interface."""
    answer = fill(yard, SURFACE, what="heat_off")
    assert "No heat is noted as on anywhere on the boat." in answer.text
    told = post(yard, "jobs/J-1/surface-notes", {"kind": "heat_off", "place": "Keel"}, 422)
    assert told["detail"] == "No heat is noted as on at Keel."
    assert kept(yard, "surface-notes") == []


@pytest.mark.parametrize(
    ("three", "said"),
    [(("3", "35", "36"), True), (("30", "35", "40"), False), (("29", "35", "40"), True)],
)
def test_placements_that_differ_much_are_said(
    yard: FlaskClient, three: tuple[str, str, str], said: bool
) -> None:
    """Over a tenth of the scale (common practice, no source); kept, with the undo beside it."""
    typed = READ | dict(zip(("first", "second", "third"), three, strict=True))
    page = followed(yard, fill(yard, MOISTURE, **typed))
    assert (f"The placements differ much: {', '.join(three)}." in board(page)) is said
    assert "It counts." in board(page)
    assert "Undo: not so" in page
    back = followed(yard, send(yard, f"{MOISTURE}/undo", hidden(page)))
    assert "differ much" not in back


def place_of(client: FlaskClient, page: str) -> str:
    """What the field of the place begins with."""
    text = client.get(page).text
    field = text[text.index('id="place"') :].partition(">")[0]
    assert " required" in field
    return field.partition('value="')[2].partition('"')[0]


def test_of_several_places_none_is_chosen_before(yard: FlaskClient) -> None:
    """One alone is; a dry place is another; what an address names is chosen."""
    assert place_of(yard, MOISTURE) == ""
    followed(yard, fill(yard, MOISTURE, **READ))
    assert place_of(yard, MOISTURE) == "Keel"
    followed(yard, fill(yard, MOISTURE, **READ | {"place": "Cabin top", "for_what": "dry"}))
    page = yard.get(MOISTURE).text
    assert place_of(yard, MOISTURE) == ""
    assert '<option value="Cabin top">' in page
    assert '<option value="dry" selected>' not in page
    assert place_of(yard, f"{MOISTURE}?place=Keel") == "Keel"
    assert 'id="place-fault"' in fill(yard, MOISTURE, **READ | {"place": ""}).text


def test_of_several_bags_none_is_chosen_before(yard: FlaskClient) -> None:
    """As of places."""
    typed = {"first": "880", "second": "860", "waited": "10", "shows": "below"}
    followed(yard, fill(yard, LEAK, **typed, place="keel"))
    assert place_of(yard, LEAK) == "keel"
    followed(yard, fill(yard, LEAK, **typed, place="skeg"))
    assert place_of(yard, LEAK) == ""
    assert '<option value="keel">' in yard.get(LEAK).text


def test_a_page_names_no_field_of_the_interface(yard: FlaskClient) -> None:
    """What a program calls 'air_pressure' is air pressure to a hand."""
    typed = {"place": "keel", "first": "880", "second": "860", "waited": "10"}
    absolute = fill(yard, LEAK, **typed, shows="absolute")
    assert "Give the air pressure of that hour" in words(absolute.text)
    below = fill(yard, LEAK, **typed, shows="below", air_pressure="1013")
    assert "leave air pressure out" in words(below.text)
