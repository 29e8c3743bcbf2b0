"""`cureyard yard`: what the yard says of itself, shown and set."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from cureyard_client import embedded
from cureyard_client.main import program


@pytest.fixture
def database(tmp_path: Path) -> Iterator[str]:
    """A store that is not there yet."""
    yield str(tmp_path / "yard.sqlite")
    embedded.close()


def typed(database: str, *line: str, exits: int = 0) -> Result:
    """What a command on a store answers."""
    done = CliRunner().invoke(program, ["--database", database, "--zone", "Europe/Lisbon", *line])
    assert done.exit_code == exits, done.output
    return done


def test_what_is_set_is_shown(database: str) -> None:
    """And only that; the zone is the one that the yard began with."""
    settings = ("--shown-in", "us", "--address", "https://yard.example", "--sureness", "99")
    typed(database, "yard", "set", *settings)
    assert typed(database, "yard", "show").stdout.splitlines() == [
        "zone      Europe/Lisbon", "units     us", "currency  EUR",
        "address   https://yard.example", "gates     plain", "sureness  99 %",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "line",
    [(), ("--zone", "Mars/Olympus"), ("--currency", "euro"), ("--sureness", "89"),
     ("--sureness", "100"), ("--sureness", "most")],
)  # fmt: skip
def test_what_can_not_be_set(database: str, line: tuple[str, ...]) -> None:
    """Nothing at all, and what there is not: exit 2."""
    typed(database, "yard", "set", *line, exits=2)
