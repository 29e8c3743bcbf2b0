"""What the commands of wetness ask, and what they print."""

from __future__ import annotations

from typing import Any

import pytest

from .at_server import sent, typed

AT = "2026-03-20T10:00:00+00:00"
READING = {
    "id": 8, "job": "26-014", "place": "keel", "meter": "CAP-1", "mode": "deep",
    "measures": "points", "placements": [30, 31, 100], "reading": 53.67, "at_least": True,
    "u": 23.17, "surface_temperature": {"value": 4.0, "unit": "degC"}, "dew_point": None,
    "bay": None, "dry_place": False, "counted": False,
    "uncounted": [{"why": "scale_end", "words": "A placement is at the end."}],
    "at": AT, "who": "Ines", "verified": True, "recorded_at": AT, "withdrawn": None,
}  # fmt: skip
SAMPLE = {
    "id": 1, "job": "26-014", "place": "keel", "wet": {"value": 18.42, "unit": "g"},
    "dried": {"value": 15.9, "unit": "g"}, "water_percent": 15.85, "at": AT, "who": "Ines",
    "verified": True, "recorded_at": AT, "withdrawn": None,
}  # fmt: skip
WETNESS = {
    "job": "26-014",
    "places": [
        {"place": "keel", "dry_place": False, "samples": [SAMPLE],
         "film": {"drops": True, "uncounted": None},
         "series": [{
            "meter": "CAP-1", "mode": "deep", "measures": "points", "counted": 6, "last": 26.5,
            "last_at": AT, "figure": 17.0, "since": None, "used": 6,
            "reads": "It reads 26.5 points, over 17.0.",
            "since_read": "Since then it was rained on.",
            "measure_again": {"earliest": "2026-05-02", "at": "2026-05-13", "latest": "2026-05-26",
                              "why": None, "words": "From 2 May 2026 to 26 May 2026."},
        }]},
        {"place": "skeg", "film": None, "samples": [], "series": [], "dry_place": False},
        {"place": "topside", "film": None, "samples": [], "series": [], "dry_place": True},
    ],
    "references": [
        {"meter": "CAP-1", "mode": "deep", "measures": "points", "places": 3, "reference": 12.0,
         "u": 1.0, "figure": 17.0, "uncounted": []},
        {"meter": "PINS", "mode": "wood", "measures": "percent", "places": 1, "reference": None,
         "u": None, "figure": None, "uncounted": ["after_water"]},
    ],
    "cautions": ["Never that it is dry on a day."], "sources": ["A code of practice."],
}  # fmt: skip


def test_a_reading_as_asked(server: Any) -> None:
    """Its placements as they were read; what was not said is not sent."""
    server.answer(server.reply(READING, 201))
    line = ("moisture", "read", "26-014", "keel", "30", "31.5", "100", "--meter", "CAP-1",
            "--mode", "deep", "--surface", "4 degC")  # fmt: skip
    asked = sent(server, *line)
    assert (asked.method, asked.path) == ("POST", "/v1/jobs/26-014/moisture-readings")
    assert asked.json == {
        "place": "keel", "placements": [30, 31.5, 100], "meter": "CAP-1", "mode": "deep",
        "surface_temperature": "4 degC",
    }  # fmt: skip
    assert sent(server, *line, "--dry").json["dry_place"] is True


def test_a_reading_in_words(server: Any) -> None:
    """'At least', points and never percent, and why it does not count."""
    server.answer(server.reply(READING, 201))
    shown = typed(server, "moisture", "read", "26-014", "keel", "30", "31", "100", "--meter",
                  "CAP-1", "--mode", "deep", "--surface", "4 degC").output  # fmt: skip
    assert "at least 53.67 points\n" in shown
    assert "±" not in shown
    assert "nobody measured the air" in shown
    assert "! A placement is at the end." in shown
    assert "%" not in shown


def test_wetness_in_words(server: Any) -> None:
    """Each place, the reference, the window of days, what else is known, and the cautions."""
    server.answer(server.reply(WETNESS))
    shown = typed(server, "moisture", "show", "26-014").output
    for words in (
        "dry places read 12 points, ± 1 point; dry at or under 17 points",
        "1 of 3 dry places; others don't count: after water",
        "> keel, CAP-1 deep: Since then it was rained on. From 2 May 2026 to 26 May 2026.",
        "keel: drops under a film.",
        "keel: a sample has 15.85 % of water.", "skeg: nobody measured it.",
        "topside: it was read as a dry place alone.",
        "- Never that it is dry on a day.",
    ):  # fmt: skip
        assert words in shown


@pytest.mark.parametrize(
    ("line", "path", "body"),
    [
        (("finding", "undo", "26-014", "2"), "findings/2", "undone"),
        (("surface", "undo", "26-014", "3", "--reason", "x"), "surface-notes/3", "x"),
        (("moisture", "undo", "26-014", "reading", "4"), "moisture-readings/4", "undone"),
        (("moisture", "undo", "26-014", "film", "5"), "film-tests/5", "undone"),
        (("moisture", "undo", "26-014", "sample", "6"), "weighed-samples/6", "undone"),
    ],
)
def test_what_is_taken_back(server: Any, line: tuple[str, ...], path: str, body: str) -> None:
    """Each at its own address, with a reason; it says that it stays on record."""
    taken = {"at": AT, "who": "Ines", "verified": True, "reason": body}
    server.answer(server.reply(taken, 201))
    asked = sent(server, *line)
    assert (asked.path, asked.json) == (f"/v1/jobs/26-014/{path}/withdrawal", {"reason": body})
    server.answer(server.reply(taken, 201))
    assert "stays on record" in typed(server, *line).output


def test_a_film_without_drops_is_said(server: Any) -> None:
    """`--no-drops` is sent, not left out."""
    film = {"id": 1, "job": "26-014", "place": "keel", "taped_at": AT, "looked_at": AT,
            "drops": False}  # fmt: skip
    server.answer(server.reply(film, 201))
    asked = sent(server, "moisture", "film", "26-014", "keel", "--taped-at", AT, "--no-drops")
    assert asked.json["drops"] is False


def test_a_percent_of_a_scale_that_has_none_asks_nobody(server: Any) -> None:
    """A meter's points are no percent: what it shows is typed alone."""
    done = typed(server, "moisture", "read", "26-014", "keel", "20%", "21", "22", "--meter",
                 "CAP-1", "--mode", "deep", "--surface", "15 degC")  # fmt: skip
    assert done.exit_code == 2
    assert "alone" in done.output
    assert not server.requests


def test_a_twin_is_named_with_its_undo(server: Any) -> None:
    """The service names the record; the program, what to type."""
    words = "Moisture reading 7 says the same. Take this 'moisture_reading' back."
    server.answer(server.reply({**READING, "warnings": [words]}, 201))
    shown = typed(server, "moisture", "read", "26-014", "keel", "30", "31", "100", "--meter",
                  "CAP-1", "--mode", "deep", "--surface", "4 degC").output  # fmt: skip
    assert "Type: cureyard moisture undo 26-014 reading 8" in " ".join(shown.split())


def test_an_empty_place_is_not_the_whole_boat(server: Any) -> None:
    """It is refused before anything is sent."""
    done = typed(server, "surface", "note", "26-014", "washed", "--place", "")
    assert (done.exit_code, "The place is empty" in done.output) == (2, True)
    assert not server.requests


def test_sources_are_told_on_request(server: Any) -> None:
    """The cautions always, their sources with --why."""
    server.answer(server.reply(WETNESS))
    assert "A code of practice" not in typed(server, "moisture", "show", "26-014").output
    told = typed(server, "moisture", "show", "26-014", "--why").output
    assert "- A code of practice." in told
    assert "- Never that it is dry on a day." in told


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (("leak", "test", "26-014", "bag", "-880 hPa", "-870 hPa", "--first-at", AT),
         "told below the air, as a plain number"),
        (("moisture", "read", "26-014", "keel", "-5", "5", "5", "--meter", "C", "--mode", "m",
          "--surface", "-3 degC"), "plain number"),
        (("finding", "undo", "2"), "The job comes first: "),
        (("moisture", "undo", "8"), "The job comes first: "),
        (("moisture", "undo", "reading", "8"), "moisture undo JOB reading 8"),
        (("surface", "undo", "8"), "The job comes first: "),
        (("leak", "undo", "8"), "The job comes first: "),
    ],
)  # fmt: skip
def test_what_the_hand_meant_is_said(server: Any, line: tuple[str, ...], words: str) -> None:
    """No option -8, and no argument that is called after a field."""
    done = typed(server, *line)
    assert (done.exit_code, words in " ".join(done.output.split())) == (2, True), done.output
    assert not server.requests
