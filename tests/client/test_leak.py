"""What `cureyard leak` asks, and what it prints."""

from __future__ import annotations

from typing import Any

from .at_server import sent, typed

AT = "2026-03-20T10:00:00+00:00"
TEST = {
    "id": 3, "job": "26-014", "place": "keel", "first": {"value": 883.0, "unit": "hPa"},
    "first_at": "2026-03-20T09:50:00+00:00", "second": {"value": 380.0, "unit": "hPa"},
    "second_at": AT, "air_pressure": None, "loss": {"value": 50.3, "unit": "hPa"},
    "passed": False, "words": "Not tight enough.", "cautions": ["A small bag fails sooner."],
    "note": None, "who": "Ines", "verified": True, "recorded_at": AT, "withdrawn": None,
}  # fmt: skip


def test_a_test_as_asked(server: Any) -> None:
    """Below the air unless it is said; what was not said is not sent."""
    server.answer(server.reply(TEST, 201))
    line = ("leak", "test", "26-014", "keel", "883 hPa", "380 hPa", "--first-at", "10 min ago")
    asked = sent(server, *line)
    assert (asked.method, asked.path) == ("POST", "/v1/jobs/26-014/leak-tests")
    told = dict(asked.json)
    assert told.pop("first_at")
    assert told == {"place": "keel", "first": "883 hPa", "second": "380 hPa"}
    told = sent(server, *line, "--absolute", "--air-pressure", "1013 hPa").json
    assert (told["absolute"], told["air_pressure"]) == (True, "1013 hPa")


def test_what_was_found_in_words(server: Any) -> None:
    """With every caution; in the list one a line."""
    server.answer(server.reply(TEST, 201))
    shown = typed(server, "leak", "test", "26-014", "keel", "883 hPa", "380 hPa",
                  "--first-at", "10 min ago").output  # fmt: skip
    for word in ("883 hPa below the air", "Not tight enough.", "A small bag fails sooner."):
        assert word in shown
    server.answer(server.reply({"items": [TEST], "next": None}))
    listed = typed(server, "leak", "list", "26-014").output
    assert "50.3 hPa" in listed


def test_undo(server: Any) -> None:
    """By its number."""
    taken = {"at": AT, "who": "Ines", "verified": True, "reason": "another bag"}
    server.answer(server.reply(taken, 201))
    asked = sent(server, "leak", "undo", "26-014", "3", "--reason", "another bag")
    assert asked.path == "/v1/jobs/26-014/leak-tests/3/withdrawal"
    assert asked.json == {"reason": "another bag"}
