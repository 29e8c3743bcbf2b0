"""`cureyard token` and `cureyard logbook`: on a store itself, and kept for a service."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from cureyard_client import embedded, token_file
from cureyard_client.main import program, run
from cureyard_client.settings import Settings


@pytest.fixture
def database(tmp_path: Path) -> Iterator[str]:
    """A store that is not there yet."""
    yield str(tmp_path / "yard.sqlite")
    embedded.close()


def typed(database: str, *line: str, given: str = "", exits: int = 0) -> Result:
    """What a command on a store answers."""
    done = CliRunner().invoke(
        program, ["--database", database, "--hand", "Ada", *line], input=given
    )
    assert done.exit_code == exits, done.output
    return done


def made(database: str, name: str, role: str) -> dict[str, Any]:
    """A token made on the store itself."""
    told = typed(database, "token", "add", name, "--role", role, "--json")
    token: dict[str, Any] = json.loads(told.stdout)
    return token


def test_the_first_token_is_made_on_the_store_and_then_everybody_shows_one(database: str) -> None:
    """In this process too: 401 is exit 3, and says what to do."""
    typed(database, "job", "list")
    told = typed(database, "token", "add", "Rui", "--role", "hand")
    assert told.stdout.splitlines()[0].startswith("cureyard_")
    assert "only now" in told.stderr
    refused = typed(database, "job", "list", exits=3)
    assert "cureyard token keep" in refused.stderr
    assert "Nothing was changed." in refused.stderr


def test_whoever_keeps_the_store_is_never_shut_out(database: str) -> None:
    """With every token revoked another can be made there."""
    first = made(database, "Rui", "admin")
    typed(database, "token", "revoke", str(first["id"]), "--reason", "the phone was lost")
    assert made(database, "Eva", "hand")["id"] == 2
    listed = typed(database, "token", "list")
    assert first["token"] not in listed.stdout
    rows = [line.split() for line in listed.stdout.splitlines()]
    assert [row[1] for row in rows[1:]] == ["Eva", "Rui"]
    assert "the phone was lost" in listed.stdout


def test_a_token_kept_is_shown_by_every_command(database: str) -> None:
    """And the name that is recorded is the token's own, proven."""
    secret = made(database, "Rui", "lead")["token"]
    told = typed(database, "token", "keep", "--file", "-", given=f"{secret}\n")
    assert secret not in told.output
    opened = typed(database, "job", "open", "D-7", "--title", "Stem", "--craft", "Teal")
    assert "D-7" in opened.stdout
    entries = json.loads(typed(database, "logbook", "--json").stdout)["items"]
    assert [(e["kind"], e["who"], e["verified"]) for e in entries] == [("token made", "Ada", False)]
    assert "token 1 of Rui (lead)" in typed(database, "logbook").stdout


def test_a_token_typed_at_the_prompt(database: str) -> None:
    """It is asked for, and what is typed is not repeated."""
    secret = made(database, "Rui", "hand")["token"]
    told = typed(database, "token", "keep", given=f"{secret}\n")
    assert secret not in told.stdout + told.stderr
    assert token_file.kept_for(Settings(database=database)) == secret


def test_a_wrong_token_is_not_kept(database: str) -> None:
    """It is shown to the service first."""
    made(database, "Rui", "hand")
    told = typed(database, "token", "keep", "--file", "-", given="cureyard_wrong", exits=3)
    assert "not known here" in told.stderr
    assert token_file.kept_for(Settings(database=database)) is None
    typed(database, "token", "keep", "--file", "-", given="two words", exits=2)


def test_a_hand_is_told_whom_to_ask(database: str) -> None:
    """Exit 3, with the role that it takes."""
    secret = made(database, "Rui", "hand")["token"]
    typed(database, "token", "keep", "--file", "-", given=secret)
    told = typed(
        database, "product", "add", "MICROS", "--name", "Spheres", "--role", "filler", exits=3
    )
    assert "needs a lead" in told.stderr
    assert "Ask a lead or an admin." in told.stderr


@pytest.mark.parametrize(
    "line", [("add", "Rui", "--role", "hand"), ("list",), ("revoke", "1")], ids=lambda x: x[0]
)
def test_with_a_server_set_they_say_where_to_run(line: tuple[str, ...]) -> None:
    """They open the store itself: exit 2."""
    done = CliRunner().invoke(program, ["--url", "http://127.0.0.1:1", "token", *line])
    assert done.exit_code == 2
    assert "with CUREYARD_URL unset" in done.stderr


@pytest.mark.parametrize(
    ("line", "exits"),
    [
        (("add", "Rui"), 2),
        (("add", "Rui", "--role", "owner"), 2),
        (("add", "", "--role", "hand"), 2),
        (("revoke", "7"), 1),
        (("revoke", "0"), 2),
        (("revoke", "99999999999999999999999"), 1),
        (("keep", "--file", "nowhere.txt"), 2),
    ],
)
def test_what_can_not_be(database: str, line: tuple[str, ...], exits: int) -> None:
    """Refused in words."""
    typed(database, "token", *line, exits=exits)


def test_a_token_goes_to_its_own_server_alone(server: Any) -> None:
    """As a bearer, in no address; a server that it was not kept for gets none."""
    server.answer(server.reply({"items": [], "next": None}))
    token_file.keep(Settings(url=server.url), "cureyard_mine")
    assert (
        run(lambda: program.main(["--url", server.url, "job", "list"], standalone_mode=False)) == 0
    )
    asked = server.requests[-1]
    assert asked.headers["Authorization"] == "Bearer cureyard_mine"
    assert "cureyard_mine" not in asked.path
    other = server.url.replace("127.0.0.1", "localhost")
    assert run(lambda: program.main(["--url", other, "job", "list"], standalone_mode=False)) == 0
    assert "Authorization" not in server.requests[-1].headers


def test_the_environment_beats_what_is_kept(server: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """CUREYARD_TOKEN is for this one session."""
    server.answer(server.reply({"items": [], "next": None}))
    token_file.keep(Settings(url=server.url), "cureyard_kept")
    monkeypatch.setenv("CUREYARD_TOKEN", "cureyard_told")
    assert (
        run(lambda: program.main(["--url", server.url, "job", "list"], standalone_mode=False)) == 0
    )
    assert server.requests[-1].headers["Authorization"] == "Bearer cureyard_told"
