"""`cureyard phone`: on the store itself, and with a server set."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from cureyard_client import embedded
from cureyard_client.main import program
from cureyard_service.web.lan import place


@pytest.fixture
def database(tmp_path: Path) -> Iterator[str]:
    """A yard with an admin, that another program serves to its network."""
    store = str(tmp_path / "yard.sqlite")
    typed(store, "token", "add", "Ada", "--role", "admin")
    place.folder(store).mkdir()
    with place.told(place.folder(store), place.Served("https://192.0.2.20:8765", "AA:BB:CC")):
        yield store
    embedded.close()


def typed(database: str, *line: str, exits: int = 0) -> Result:
    """What a command on a store answers."""
    done = CliRunner().invoke(program, ["--database", database, "--hand", "Ada", *line])
    assert done.exit_code == exits, done.output
    return done


def test_a_phone_is_added_listed_and_removed(database: str) -> None:
    """The code waits, and is withdrawn by the phone's name."""
    told = typed(database, "phone", "add", "Rui", "--role", "hand").stdout
    assert "https://192.0.2.20:8765/pair/cureyard_" in told
    assert "AA:BB:CC" in told
    assert "█" in told
    listed = typed(database, "phone", "list").stdout
    assert "waiting until today" in listed
    assert "cureyard_" not in listed
    assert "out since" in typed(database, "phone", "remove", "Rui", "--reason", "a slip").stdout
    assert "a slip" in typed(database, "phone", "list").stdout


def test_a_program_gets_the_address(database: str) -> None:
    """With --json there is no picture."""
    made = json.loads(typed(database, "phone", "add", "Rui", "--role", "viewer", "--json").stdout)
    assert made["address"].startswith("https://192.0.2.20:8765/pair/cureyard_")
    assert (made["state"], made["fingerprint"]) == ("waiting", "AA:BB:CC")


@pytest.mark.parametrize(
    ("line", "exits", "words"),
    [
        (("add", "Rui", "--role", "admin"), 2, "viewer"),
        (("add", "Rui"), 2, "--role"),
        (("add", " ", "--role", "hand"), 2, "name"),
        (("remove", "Eva"), 2, "There is no phone of the name Eva"),
    ],
)
def test_what_can_not_be(database: str, line: tuple[str, ...], exits: int, words: str) -> None:
    """Refused in words."""
    assert words in typed(database, "phone", *line, exits=exits).output


def test_unserved_it_says_what_to_start(tmp_path: Path) -> None:
    """No phone could reach it."""
    store = str(tmp_path / "yard.sqlite")
    typed(store, "token", "add", "Ada", "--role", "admin")
    told = typed(store, "phone", "add", "Rui", "--role", "hand", exits=1)
    assert "cureyard serve --lan" in told.stderr
    embedded.close()


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (("--lan", "--behind-proxy"), "--lan goes without --behind-proxy"),
        (("--address", "192.0.2.20"), "it goes with --lan"),
        (("--lan", "--address", "0.0.0.0"), "is not the address of a machine"),
        (
            ("--lan", "--address", "127.0.0.1", "--port", "8765"),
            "No other machine reaches 127.0.0.1",
        ),
    ],
)
def test_ways_to_serve_that_do_not_go_together(
    tmp_path: Path, line: tuple[str, ...], words: str
) -> None:
    """Said before anything is served."""
    told = typed(str(tmp_path / "yard.sqlite"), "serve", "--port", "0", *line, exits=2)
    assert words in told.stderr
    embedded.close()


def test_an_address_of_another_machine(database: str) -> None:
    """It can't be listened at; no other port would help."""
    embedded.close()
    told = typed(database, "serve", "--lan", "--port", "0", "--address", "203.0.113.7", exits=2)
    assert "203.0.113.7 is not an address of this machine" in told.stderr


def test_served_to_the_network_it_wants_a_token_made(tmp_path: Path) -> None:
    """The words say how to make the first; nothing is served meanwhile."""
    line = ("serve", "--lan", "--address", "127.0.0.1", "--port", "0")
    told = typed(str(tmp_path / "yard.sqlite"), *line, exits=2)
    assert "cureyard token add NAME --role admin" in told.stderr
    embedded.close()
