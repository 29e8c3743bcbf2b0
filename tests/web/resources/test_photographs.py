"""Photographs over HTTP: sent as they are, shown as pictures, refused in words."""

from __future__ import annotations

import hashlib
from typing import Any

import pytest
from cureyard_service.store import tables
from cureyard_service.web.files import pictures as reading
from cureyard_service.web.http.bodies import PICTURE_LIMIT
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ... import makers, pictures
from ...putting import by_client, post

JPEG, PNG = "image/jpeg", "image/png"
OF = ("jobs/D-7", "layups/1", "lots/1")


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A yard with a job, a lot and a layup."""
    by_client(
        client, products=[makers.catalyst(), makers.resin()], bays=[makers.bay()],
        jobs=[makers.job()], lots=[makers.lot()], layups=[makers.layup()],
    )  # fmt: skip
    return client


def send(
    client: FlaskClient,
    of: str = "jobs/D-7",
    raw: bytes | None = None,
    kind: str = JPEG,
    shows: str = "a taper",
    **headers: str,
) -> TestResponse:
    """A photograph sent to a thing."""
    body = pictures.jpeg() if raw is None else raw
    where = f"/v1/{of}/photographs?shows={shows}"
    return client.post(where, data=body, content_type=kind, headers=headers)


def rows() -> int:
    """How many are on record."""
    return int(tables.Photograph.select().count())


@pytest.mark.parametrize("of", OF)
def test_one_is_kept_listed_and_shown(yard: FlaskClient, of: str) -> None:
    """With its size and digest; the picture has its own type, and no other page may keep it."""
    answer = send(yard, of)
    assert answer.status_code == 201
    one = answer.json
    assert answer.headers["Location"] == f"/v1/photographs/{one['id']}"
    assert not one.pop("kept_before")
    assert yard.get(answer.headers["Location"]).json == one
    assert yard.get(f"/v1/{of}/photographs").json == {"items": [one], "next": None}
    image = yard.get(f"{answer.headers['Location']}/image")
    assert (image.status_code, image.mimetype) == (200, JPEG)
    assert hashlib.sha256(image.data).hexdigest() == one["sha256"]
    assert len(image.data) == one["size_bytes"]
    assert pictures.opened(image.data).size == (one["width_px"], one["height_px"]) == (40, 30)
    assert image.headers["Cache-Control"] == "private, no-cache"
    assert image.headers["X-Content-Type-Options"] == "nosniff"
    assert image.headers["Content-Disposition"] == f'inline; filename="photograph-{one["id"]}.jpg"'
    assert "default-src 'none'" in image.headers["Content-Security-Policy"]


def test_a_picture_that_was_kept_is_not_sent_again(yard: FlaskClient) -> None:
    """RFC 9110, 13.1.2 If-None-Match. Once taken back it is gone, whatever a browser kept."""
    one = send(yard).json
    where = f"/v1/photographs/{one['id']}/image"
    etag = yard.get(where).headers["ETag"]
    again = yard.get(where, headers={"If-None-Match": etag})
    assert (again.status_code, again.data) == (304, b"")
    post(yard, f"photographs/{one['id']}/withdrawal", {"reason": "another boat"})
    gone = yard.get(where, headers={"If-None-Match": etag})
    assert gone.status_code == 404
    assert "taken back" in gone.json["detail"]
    assert yard.get(f"/v1/photographs/{one['id']}").json["withdrawn"]["reason"] == "another boat"


def test_a_png_is_kept_as_a_jpeg(yard: FlaskClient) -> None:
    """What the header says counts less than what the bytes are."""
    raw = pictures.coded(pictures.drawn(), "PNG")
    assert send(yard, raw=raw, kind=PNG).status_code == 201
    assert send(yard, raw=raw, kind=JPEG).json["kept_before"]


def test_a_retry_with_its_key_is_done_once(yard: FlaskClient) -> None:
    """The same answer; another picture, or another word to it, needs another key."""
    first, again = (send(yard, **{"Idempotency-Key": "a"}) for _ in range(2))
    assert first.data == again.data
    assert first.headers["Location"] == again.headers["Location"]
    other = send(yard, raw=pictures.jpeg((1, 2, 3)), **{"Idempotency-Key": "a"})
    assert other.json["slug"] == "idempotency-conflict"
    other = send(yard, shows="a core", **{"Idempotency-Key": "a"})
    assert other.json["slug"] == "idempotency-conflict"
    assert rows() == 1


def test_sent_twice_it_is_kept_once(yard: FlaskClient) -> None:
    """Without a key too, and that is said."""
    assert [send(yard).json["kept_before"] for _ in range(3)] == [False, True, True]
    assert rows() == 1


@pytest.mark.parametrize(
    ("given", "status", "slug"),
    [
        ({"kind": "application/json", "raw": b"{}"}, 415, "media-type"),
        ({"kind": "image/heic"}, 415, "media-type"),
        ({"kind": "multipart/form-data; boundary=x"}, 415, "media-type"),
        ({"Content-Encoding": "gzip"}, 415, "media-type"),
        ({"raw": b""}, 422, "validation"),
        ({"raw": b"no picture"}, 422, "validation"),
        ({"raw": pictures.jpeg(size=(400, 300))[:700]}, 422, "validation"),
        ({"raw": bytes(PICTURE_LIMIT + 1)}, 413, "too-large"),
        ({"shows": ""}, 422, "validation"),
        ({"shows": "x" * 201}, 422, "validation"),
        ({"of": "jobs/NONE"}, 404, "not-found"),
        ({"of": "layups/99"}, 404, "not-found"),
        ({"of": "lots/99"}, 404, "not-found"),
    ],
)
def test_what_is_not_right_is_refused_and_changes_nothing(
    yard: FlaskClient, given: dict[str, Any], status: int, slug: str
) -> None:
    """In words, and never with a fault of the service's own."""
    answer = send(yard, **given)
    assert (answer.status_code, answer.json["slug"]) == (status, slug), answer.text
    assert answer.json["changed"] is False
    assert answer.json["advice"]
    assert rows() == 0


def test_what_it_shows_must_be_said(yard: FlaskClient) -> None:
    """And is text that can be shown."""
    answer = yard.post("/v1/jobs/D-7/photographs", data=pictures.jpeg(), content_type=JPEG)
    assert answer.status_code == 422
    assert send(yard, shows="%E2%80%AEgnp").status_code == 422
    assert rows() == 0


def test_while_others_are_read_it_is_said_when_to_come_back(
    yard: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """RFC 9110, 10.2.3 Retry-After."""
    monkeypatch.setattr(reading, "PATIENCE_S", 0.01)
    with reading._TURN:
        answer = send(yard)
    assert (answer.status_code, answer.json["slug"]) == (503, "busy")
    assert answer.headers["Retry-After"] == "5"
    assert send(yard).status_code == 201


def test_the_store_is_not_locked_while_a_picture_is_read(
    yard: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Somebody else draws meanwhile."""
    read = reading.read

    def slowly(sent: Any) -> Any:
        other = yard.application.test_client().post("/v1/jobs", json=makers.job("S-1"))
        assert other.status_code == 201
        return read(sent)

    monkeypatch.setattr(reading, "read", slowly)
    assert send(yard).status_code == 201


def test_a_list_has_pages(yard: FlaskClient) -> None:
    """Newest first."""
    for number in range(3):
        send(yard, raw=pictures.jpeg((80 * number, 9, 9)))
    first = yard.get("/v1/jobs/D-7/photographs?limit=2").json
    rest = yard.get(f"/v1/jobs/D-7/photographs?limit=2&after={first['next']}").json
    assert [each["id"] for each in first["items"] + rest["items"]] == [3, 2, 1]
    assert rest["next"] is None
