"""`cureyard undo`: what it would take back is said first, and only the last entry is."""

from __future__ import annotations

from typing import Any, get_args

import pytest
from click.testing import CliRunner, Result
from cureyard_client.main import program
from cureyard_client.rendering import undo
from cureyard_client.withdrawals import OF_JOB
from cureyard_service.store.last_records import JobRecord, Kept

AT = "2026-03-04T10:00:00+00:00"


def line(number: int, kind: str = "draw", **facts: Any) -> dict[str, Any]:
    """A line of the ledger."""
    sign = -1 if kind in ("draw", "scrap") else 1
    return {
        "id": number, "kind": kind, "product": "LAM-PE", "number": "B-1", "lot": 1,
        "quantity": {"value": 2 * sign, "unit": "kg"}, "on_hand": {"value": 18, "unit": "kg"},
        "job": "D-7", "batch": None, "reverses": None, "at": AT, "recorded_at": AT, **facts,
    }  # fmt: skip


def last(kind: str = "movement", **facts: Any) -> dict[str, Any]:
    """What the service says was entered last."""
    return {"entry": {"kind": kind, "who": "Ines", "recorded_at": AT, "at": AT, **facts}}


def drew(*lines: dict[str, Any], batch: int | None = None) -> dict[str, Any]:
    """An entry of lines of the ledger."""
    return last(movements=list(lines), batch=batch)


def typed(server: Any, *arguments: str) -> Result:
    """What the program does when that is typed, with the server set, and no terminal."""
    return CliRunner().invoke(program, ["--url", server.url, "undo", *arguments])


def test_it_is_said_and_not_done(server: Any) -> None:
    """Without a terminal and without --yes: exit 2, and nothing is sent."""
    server.answer(server.reply(drew(line(3))))
    done = typed(server)
    assert done.exit_code == 2
    assert "To undo: draw 2 kg of LAM-PE B-1 for D-7" in done.stderr
    assert "--yes" in done.stderr
    assert done.stdout == ""
    (request,) = server.requests
    assert request.path == "/v1/entries/last"


def test_it_is_done(server: Any) -> None:
    """With --yes a line is reversed, for a reason; several lots of one draw in one request."""
    moved = {"movements": [line(4, "reversal", reverses=3)], "warnings": []}
    named: dict[str, Any]
    for lines, named in (
        ((line(3),), {"reverses": 3}),
        ((line(2), line(3)), {"reverses_all": [2, 3]}),
    ):
        server.answer(server.reply(drew(*lines)), server.reply(moved))
        done = typed(server, "--yes", "--reason", "wrong drum")
        assert done.exit_code == 0, done.output
        wanted = {"kind": "reversal", "reason": "wrong drum", **named}
        assert server.requests[-1].json == wanted
        assert "reversal" in done.stdout


def test_of_somebody_else(server: Any) -> None:
    """By name; and what that hand left is told of it."""
    server.answer(server.reply({"entry": None}))
    done = typed(server, "--of", "Rui", "--yes")
    assert (done.exit_code, "Rui has nothing left to undo" in done.stderr) == (1, True)
    assert server.requests[0].path == "/v1/entries/last?hand=Rui"


def test_one_line(server: Any) -> None:
    """By its number, whatever was entered since."""
    moved = {"movements": [line(9, "reversal", reverses=3)], "warnings": []}
    server.answer(server.reply(line(3)), server.reply(moved))
    assert typed(server, "3", "--yes").exit_code == 0
    assert server.requests[0].path == "/v1/movements/3"
    assert server.requests[1].json["reverses"] == 3
    assert typed(server, "3", "--of", "Rui").exit_code == 2


def test_what_a_pot_drew(server: Any) -> None:
    """It is refused with what to say instead; and then undone by the pot."""
    server.answer(server.reply(drew(line(3, batch=7), batch=7)))
    done = typed(server, "--yes")
    assert done.exit_code == 2
    assert "--not-mixed" in done.stderr
    server.answer(server.reply(drew(line(3, batch=7), batch=7)), server.refusal(409, "x"))
    assert typed(server, "--yes", "--not-mixed").exit_code == 1
    assert server.requests[-1].path == "/v1/batches/7/observations"
    assert server.requests[-1].json == {"kind": "not_mixed", "note": "undone"}


HEAT = {"value": 27, "unit": "degC"}


@pytest.mark.parametrize(
    ("entry", "told", "path"),
    [
        (last("layup", layup=7, title="Plies", job="D-7"), "layup 7, Plies, for D-7, laid up",
         "/v1/layups/7/withdrawal"),
        (last("layup_observation", layup=7, observation=4, seen="not_gelled"),
         "'not gelled' noted of layup 7", "/v1/layups/7/observations/4/withdrawal"),
        (last("batch_observation", batch=5, observation=2, seen="lost"), "'lost' noted of pot 5",
         "/v1/batches/5/observations/2/withdrawal"),
        (last("reading", bay="SHED", reading=9, readings=1, temperature=HEAT),
         "27 °C read in SHED", "/v1/bays/SHED/readings/9/withdrawal"),
        (last("reading", bay="SHED", reading=9, readings=240, temperature=HEAT),
         "240 readings of SHED", "/v1/bays/SHED/readings/9/withdrawal"),
    ],
)  # fmt: skip
def test_what_is_not_stock(server: Any, entry: dict[str, Any], told: str, path: str) -> None:
    """It is said, and taken back where it stands."""
    server.answer(server.reply(entry), server.refusal(409, "x"))
    done = typed(server, "--yes")
    assert f"To undo: {told}" in done.stderr
    assert server.requests[-1].path == path
    assert server.requests[-1].json["reason"] == "undone"


@pytest.mark.parametrize(
    ("answer", "arguments", "code"),
    [({"entry": None}, ["--yes"], 1), (drew(line(3)), ["--yes", "--not-mixed"], 2)],
)
def test_nothing_to_undo(server: Any, answer: Any, arguments: list[str], code: int) -> None:
    """In words, and nothing is sent."""
    server.answer(server.reply(answer))
    assert typed(server, *arguments).exit_code == code
    assert len(server.requests) == 1


def record(kind: str, seen: str | None = None, place: str | None = "keel") -> dict[str, Any]:
    """An entry of a job's records."""
    return last(kind, record=4, job="D-7", place=place, seen=seen)


@pytest.mark.parametrize(
    ("entry", "told", "noun"),
    [
        (record("finding", "wet_core"), "finding 4 of D-7, keel, wet core", "findings"),
        (record("moisture_reading"), "moisture reading 4 of D-7, keel", "moisture-readings"),
        (record("surface_note", "hauled_out", None),
         "surface note 4 of D-7, the whole boat, hauled out", "surface-notes"),
        (record("film_test"), "film 4 of D-7, keel", "film-tests"),
        (record("weighed_sample"), "sample 4 of D-7, keel", "weighed-samples"),
        (record("leak_test"), "leak test 4 of D-7, keel", "leak-tests"),
    ],
)  # fmt: skip
def test_what_was_recorded_of_a_job(
    server: Any, entry: dict[str, Any], told: str, noun: str
) -> None:
    """It is said, and taken back at its own address."""
    taken = {"at": AT, "who": "Ines", "verified": True, "reason": "undone"}
    server.answer(server.reply(entry), server.reply(taken, 201))
    done = typed(server, "--yes")
    assert f"To undo: {told}" in done.stderr
    assert "stays on record" in done.stdout
    assert server.requests[-1].path == f"/v1/jobs/D-7/{noun}/4/withdrawal"


@pytest.mark.parametrize(
    ("kind", "of", "seen", "command"),
    [
        ("lot_event", "LAM/B-1", "held", "cureyard lot release LAM/B-1"),
        ("lot_event", "LAM/B-1", "moved", "cureyard lot move LAM/B-1 BAY"),
        ("need", "D-7", "LAM", "cureyard job need D-7 LAM 0 --replaces 4"),
        ("layup_probe", "3", "TENT", "cureyard layup probe 3 TENT --undo"),
        ("signature", "D-7", None, "cureyard job reopen D-7"),
        ("cure_sheet", "LAM", None, "cureyard product set LAM"),
    ],
)
def test_what_undo_does_not_undo(
    server: Any, kind: str, of: str, seen: str | None, command: str
) -> None:
    """The command that serves is named, and nothing else is taken back in its stead."""
    server.answer(server.reply(last(kind, record=4, of=of, seen=seen)))
    done = typed(server, "--yes")
    assert done.exit_code == 1
    assert command in " ".join(done.stderr.split())
    assert len(server.requests) == 1


def test_every_kind_of_entry_is_known_to_the_program() -> None:
    """Those of a job's records are taken back, and all others are named with what to type."""
    assert set(get_args(JobRecord)) == set(OF_JOB) == set(undo.OF_JOB)
    assert set(get_args(Kept)) == {*undo.KEPT, "lot_event"}
