"""`cureyard undo`: what it would take back is said first, and only the last act is."""

from __future__ import annotations

from typing import Any

import pytest
from click.testing import CliRunner, Result
from cureyard_client.commands.undo import last_act
from cureyard_client.main import program

AT = "2026-03-04T10:00:00+00:00"


def line(number: int, kind: str = "draw", **facts: Any) -> dict[str, Any]:
    """A line of the ledger."""
    sign = -1 if kind in ("draw", "scrap") else 1
    return {
        "id": number, "kind": kind, "product": "LAM-PE", "number": "B-1", "lot": 1,
        "quantity": {"value": 2 * sign, "unit": "kg"}, "on_hand": {"value": 18, "unit": "kg"},
        "job": "D-7", "batch": None, "reverses": None, "at": AT, "recorded_at": AT, **facts,
    }  # fmt: skip


def typed(server: Any, *arguments: str) -> Result:
    """What the program does when that is typed, with the server set, and no terminal."""
    return CliRunner().invoke(program, ["--url", server.url, "undo", *arguments])


def ids(lines: list[dict[str, Any]]) -> list[int]:
    """Which lines the last act is."""
    return [each["id"] for each in last_act(lines)]


def test_which_is_the_last_act() -> None:
    """The newest line that stands, with what one draw took of other lots, or a pot of others."""
    earlier = "2026-03-04T09:00:00+00:00"
    assert ids([]) == []
    assert ids([line(3), line(2), line(1, recorded_at=earlier)]) == [3, 2]
    assert ids([line(4, "reversal", reverses=3), line(3), line(1, recorded_at=earlier)]) == [1]
    assert ids([line(3), line(2, product="MAT"), line(1, job="D-8")]) == [3]
    assert ids([line(3, "receipt"), line(2, "receipt")]) == [3]
    pot = [line(3, batch=7, product="PEROX"), line(2, batch=7), line(1)]
    assert ids(pot) == [3, 2]


def test_it_is_said_and_not_done(server: Any) -> None:
    """Without a terminal and without --yes: exit 2, and nothing is sent."""
    server.answer(server.reply({"items": [line(3)], "next": None}))
    done = typed(server)
    assert done.exit_code == 2
    assert "To undo: draw 2 kg of LAM-PE B-1 for D-7" in done.stderr
    assert "--yes" in done.stderr
    assert done.stdout == ""
    (request,) = server.requests
    assert request.path == "/v1/movements?mine=true&limit=200"


def test_it_is_done(server: Any) -> None:
    """With --yes each line is reversed, for a reason."""
    moved = {"movements": [line(4, "reversal", reverses=3)], "warnings": []}
    server.answer(server.reply({"items": [line(3)], "next": None}), server.reply(moved))
    done = typed(server, "--yes", "--reason", "wrong drum")
    assert done.exit_code == 0, done.output
    assert server.requests[1].json == {"kind": "reversal", "reverses": 3, "reason": "wrong drum"}
    assert "reversal" in done.stdout


def test_what_a_pot_drew(server: Any) -> None:
    """It is refused with what to say instead; and then undone by the pot."""
    server.answer(server.reply({"items": [line(3, batch=7)], "next": None}))
    done = typed(server, "--yes")
    assert done.exit_code == 2
    assert "--not-mixed" in done.stderr
    server.answer(
        server.reply({"items": [line(3, batch=7)], "next": None}), server.refusal(409, "x")
    )
    assert typed(server, "--yes", "--not-mixed").exit_code == 1
    assert server.requests[-1].path == "/v1/batches/7/observations"
    assert server.requests[-1].json == {"kind": "not_mixed", "note": "undone"}


@pytest.mark.parametrize(
    ("items", "arguments", "code"), [([], ["--yes"], 1), ([line(3)], ["--yes", "--not-mixed"], 2)]
)
def test_nothing_to_undo(server: Any, items: Any, arguments: list[str], code: int) -> None:
    """In words, and nothing is sent."""
    server.answer(server.reply({"items": items, "next": None}))
    assert typed(server, *arguments).exit_code == code
    assert len(server.requests) == 1
