"""`cureyard yard`: what the yard says of itself, shown and set."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

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
        "probes    jump by no more than 5.4 °F in a minute",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "line",
    [(), ("--zone", "Mars/Olympus"), ("--currency", "euro"), ("--sureness", "89"),
     ("--sureness", "100"), ("--sureness", "most")],
)  # fmt: skip
def test_what_can_not_be_set(database: str, line: tuple[str, ...]) -> None:
    """Nothing at all, and what there is not: exit 2."""
    typed(database, "yard", "set", *line, exits=2)


def test_how_well_a_bay_is_known_is_set_and_shown(database: str) -> None:
    """The check of its thermometer, and that the weather comes in; and both are told."""
    pattern = (
        "--title", "Slip", "--day", "18 degC", "--night", "8 degC", "--day-from", "07:00",
        "--day-until", "19:00",
    )  # fmt: skip
    plain = typed(database, "bay", "add", "SLIP", *pattern).stdout
    assert "good to    ± 2 K\n" in plain
    assert "± 3 K" in plain
    assert "in the open" not in plain
    today = datetime.now(ZoneInfo("Europe/Lisbon")).date().isoformat()
    typed(database, "bay", "set", "SLIP", "--checked-on", today, "--in-the-open")
    told = typed(database, "bay", "show", "SLIP").stdout
    assert f"± 1 K, thermometer checked {today}" in told
    assert "± 5 K" in told
    assert "in the open" in told
    late = typed(database, "bay", "set", "SLIP", "--checked-on", "2099-01-01", exits=2)
    assert "a day to come" in late.output
