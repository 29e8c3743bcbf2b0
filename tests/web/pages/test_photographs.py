"""Photographs on pages: the form, the page that follows, who sees what, and what paper has."""

from __future__ import annotations

import re
from contextlib import closing
from io import BytesIO
from typing import Any

import pytest
from cureyard_service.store import tables
from cureyard_service.web.http.bodies import FORM_LIMIT, PICTURE_LIMIT
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import EnvironBuilder, TestResponse

from ... import makers, pictures
from ...putting import by_client, post
from ..sent_forms import OWN, followed, hidden, opened, send
from ..tokened import given

PLACES = ("/jobs/D-7", "/layups/1", "/lots/1")
FOUND = {
    "place": "keel", "side": "port", "kind": "blister", "length": "12 mm", "width": "8 mm",
    "found_by": "by eye",
}  # fmt: skip


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A yard with a job, a lot and a layup, in an open yard's browser."""
    by_client(
        client, products=[makers.catalyst(), makers.resin()], bays=[makers.bay()],
        jobs=[makers.job()], lots=[makers.lot()], layups=[makers.layup()],
    )  # fmt: skip
    return client


def file(colour: Any = pictures.GREY) -> tuple[BytesIO, str]:
    """A file of a form."""
    return BytesIO(pictures.jpeg(colour)), "IMG_0001.jpg"


def keep(client: FlaskClient, place: str, told: dict[str, str] | None = None,
         colour: Any = pictures.GREY, **typed: Any) -> TestResponse:  # fmt: skip
    """Send a photograph from a thing's page."""
    address = f"{place}/photographs"
    given = opened(client, address) if told is None else told
    return send(client, address, given | {"shows": "a taper", "picture": file(colour)} | typed)


def rows() -> int:
    """How many are on record."""
    return int(tables.Photograph.select().count())


@pytest.mark.parametrize("place", PLACES)
def test_one_is_kept_shown_and_taken_back(yard: FlaskClient, place: str) -> None:
    """The page that follows has the picture, the way to another, and an undo."""
    page = followed(yard, keep(yard, place))
    (image,) = set(re.findall(r'src="(/photographs/\d+\.jpg)"', page))
    assert yard.get(image).mimetype == "image/jpeg"
    assert ">Kept<" in page
    assert f'href="{place}/photographs"' in page
    undo = image.replace(".jpg", "/undo")
    gone = followed(yard, send(yard, undo, hidden(page)))
    assert ">Taken back<" in gone
    assert ".jpg" not in gone
    assert yard.get(image).status_code == 404
    assert image not in yard.get(place).text


def test_one_of_a_finding(yard: FlaskClient) -> None:
    """The way to it is beside the finding; the ninth is refused with what was typed."""
    post(yard, "jobs/D-7/findings", FOUND)
    here = "/jobs/D-7/findings/1"
    assert f'href="{here}/photographs"' in yard.get("/jobs/D-7").text
    page = followed(yard, keep(yard, here, shows="before it was opened"))
    assert ">Kept<" in page
    assert "Back to the finding" not in page
    assert "before it was opened, finding 1" in yard.get("/jobs/D-7").text
    for number in range(7):
        followed(yard, keep(yard, here, colour=(20 * number, 9, 9)))
    answer = keep(yard, here, colour=(250, 9, 9), shows="one more")
    assert (answer.status_code, rows()) == (422, 8)
    assert "Finding 1 has 8 photographs already." in answer.text
    assert 'value="one more"' in answer.text
    told = hidden(page)
    gone = followed(yard, send(yard, "/photographs/1/undo", told))
    assert ">Taken back<" in gone
    assert yard.get(f"{here}/photographs").status_code == 200
    assert yard.get("/jobs/D-7/findings/2/photographs").status_code == 404


def test_a_picture_too_large_has_a_way_back(yard: FlaskClient) -> None:
    """The form again, with words about pictures; nothing is kept."""
    large = BytesIO(bytes(PICTURE_LIMIT + FORM_LIMIT + 1)), "IMG_0002.jpg"
    told = opened(yard, "/lots/1/photographs") | {"shows": "a taper", "picture": large}
    builder = EnvironBuilder("/lots/1/photographs", method="POST", data=told, headers=OWN)
    with closing(builder), builder.get_environ()["wsgi.input"] as body:
        answer = yard.post(
            "/lots/1/photographs", input_stream=body, content_type=builder.content_type,
            content_length=builder.content_length, headers=OWN,
        )  # fmt: skip
    assert (answer.status_code, rows()) == (413, 0)
    assert "The picture is larger than 20 MB." in answer.text
    assert "send it from the computer" in answer.text
    assert 'type="file"' in answer.text
    assert "Back to the lot" in answer.text
    assert "in parts" not in answer.text


def test_a_thing_has_its_photographs_on_its_page(yard: FlaskClient) -> None:
    """The job's page those of its layups too; with what each shows, who kept it, its digest."""
    for number, place in enumerate(PLACES):
        keep(yard, place, colour=(80 * number, 9, 9), shows=f"what {number}")
    digests = [row.sha256[:12] for row in tables.Photograph.select().order_by("id")]
    shown = {place: [d in yard.get(place).text for d in digests] for place in PLACES}
    assert shown == {
        "/jobs/D-7": [True, True, False],
        "/layups/1": [False, True, False],
        "/lots/1": [False, False, True],
    }
    assert "what 0. " in yard.get("/jobs/D-7").text
    assert "what 1, layup 1. " in yard.get("/jobs/D-7").text


def test_a_record_that_is_printed_loads_its_pictures_at_once(yard: FlaskClient) -> None:
    """A browser does not print what it has put off; where none is printed they may wait."""
    keep(yard, "/jobs/D-7")
    assert 'loading="lazy"' not in yard.get("/jobs/D-7").text
    assert 'loading="lazy"' in yard.get("/jobs/D-7/photographs").text


def test_the_same_form_again_is_done_once(yard: FlaskClient) -> None:
    """A second tap, a browser that sends again: the same page."""
    told = opened(yard, "/layups/1/photographs")
    first, again = (keep(yard, "/layups/1", told) for _ in range(2))
    assert first.headers["Location"] == again.headers["Location"]
    assert rows() == 1


def test_another_picture_with_a_used_key_is_not_kept(yard: FlaskClient) -> None:
    """It is another form: the page is shown again, with a key of its own."""
    told = opened(yard, "/layups/1/photographs")
    keep(yard, "/layups/1", told)
    other = keep(yard, "/layups/1", told, (1, 200, 30))
    assert (other.status_code, rows()) == (422, 1)
    assert keep(yard, "/layups/1", hidden(other.text), (1, 200, 30)).status_code == 303
    assert rows() == 2


def test_the_same_picture_in_a_new_form_is_kept_once(yard: FlaskClient) -> None:
    """And the page says so."""
    keep(yard, "/lots/1")
    page = followed(yard, keep(yard, "/lots/1"))
    assert "Kept before" in page
    assert rows() == 1


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"picture": (b"no picture", "a.jpg")}, "not a JPEG or a PNG"),
        ({"picture": (b"", "")}, "There is no photograph"),
        ({"shows": ""}, 'id="shows-fault"'),
    ],
)
def test_what_is_refused_is_said_on_the_same_page(
    yard: FlaskClient, typed: dict[str, Any], words: str
) -> None:
    """What was typed is still there, and nothing is kept."""
    if "picture" in typed:
        content, name = typed["picture"]
        typed = {"picture": (BytesIO(content), name)}
    answer = keep(yard, "/lots/1", **typed)
    assert answer.status_code == 422
    assert words in answer.text
    assert "Nothing was changed." in answer.text
    if "shows" not in typed:
        assert 'value="a taper"' in answer.text
    assert rows() == 0


def test_a_photograph_is_not_taken_back_by_another_things_page(yard: FlaskClient) -> None:
    """The address says of which thing; one of another is not shown as kept here."""
    keep(yard, "/lots/1")
    assert ">Kept</p>" not in yard.get("/jobs/D-7/photographs?kept=1").text
    assert ">Kept</p>" not in yard.get("/jobs/D-7/photographs?kept=99").text
    assert yard.get("/photographs/99/undo").status_code == 404


def test_a_viewer_looks_and_has_no_form(app: Flask, yard: FlaskClient) -> None:
    """Nobody without a pass sees a picture."""
    keep(yard, "/layups/1")
    viewer = given("Vic", "viewer")
    browser = app.test_client()
    assert browser.get("/photographs/1.jpg").status_code != 200
    browser.post("/enter", data={"token": viewer.secret}, headers=OWN)
    assert browser.get("/photographs/1.jpg").mimetype == "image/jpeg"
    for place in PLACES:
        page = browser.get(f"{place}/photographs")
        assert (page.status_code, 'type="file"' in page.text) == (200, False)
        assert 'class="press wide camera' not in browser.get(place).text
    page = browser.get("/layups/1/photographs?kept=1").text
    assert "Undo" not in page


def test_nothing_is_added_to_a_layup_that_was_not_laid(yard: FlaskClient) -> None:
    """Its page has no way to the camera, and the form no place."""
    told = opened(yard, "/layups/1/photographs")
    yard.post("/v1/layups/1/withdrawal", json={"reason": "another job"})
    assert 'type="file"' not in yard.get("/layups/1/photographs").text
    assert "camera" not in yard.get("/layups/1").text
    assert keep(yard, "/layups/1", told).status_code == 422
    assert rows() == 0
