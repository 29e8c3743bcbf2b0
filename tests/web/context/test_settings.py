"""What the service is told from outside."""

from __future__ import annotations

from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from cureyard_service.acts.yard.settings import show_yard
from cureyard_service.store.engine.database import db
from cureyard_service.web.app import create_app
from cureyard_service.web.context.settings import Settings, machine_zone


def test_what_is_chosen_beats_the_environment() -> None:
    """A flag or a file over CUREYARD_…, and that over what is usual."""
    environment = {
        "CUREYARD_DATABASE": "/somewhere/yard.sqlite",
        "CUREYARD_UNITS": "us",
        "CUREYARD_ZONE": "Europe/Oslo",
        "CUREYARD_HAND": "Rui",
        "CUREYARD_CURRENCY": "NOK",
        "CUREYARD_ADDRESS": "https://yard.example",
    }
    settings = Settings.load(environment, zone="Europe/Lisbon", units=None)
    assert settings == Settings(
        database="/somewhere/yard.sqlite", zone="Europe/Lisbon", units="us", currency="NOK",
        address="https://yard.example", hand="Rui",
    )  # fmt: skip


def test_what_nobody_says_is_usual() -> None:
    """Metric, in the machine's zone, in the user's own folder; an empty variable says nothing."""
    settings = Settings.load({"CUREYARD_UNITS": "", "CUREYARD_ZONE": ""})
    assert settings.units == "metric"
    assert settings.zone == machine_zone()
    assert ZoneInfo(settings.zone)
    assert Path(settings.database).name == "yard.sqlite"
    assert settings.hand


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("ZONE", "Europe/Atlantis"), ("ZONE", "../../etc/passwd"), ("ZONE", "/etc/localtime"),
        ("ZONE", "x" * 5000), ("ZONE", "UTC\n"), ("ZONE", "Europe"), ("ZONE", "EST"),
        ("ZONE", "Etc/GMT+5"), ("UNITS", "imperial"),
        ("CURRENCY", "euro"), ("CURRENCY", "eur"), ("CURRENCY", "€€€"),
    ],
)  # fmt: skip
def test_what_there_is_not_is_refused_by_name(name: str, value: str) -> None:
    """At the start, and not when the first answer is made."""
    with pytest.raises(ValueError, match=f"CUREYARD_{name}"):
        Settings.load({f"CUREYARD_{name}": value})


def test_a_zone_with_no_name_for_it_is_refused() -> None:
    """NUL can't stand in a name of a file."""
    with pytest.raises(ValueError, match="CUREYARD_ZONE"):
        Settings(zone="UTC\x00")


@pytest.mark.parametrize(
    ("set_to", "is_then"), [("CET", "Europe/Brussels"), ("Etc/GMT+5", "UTC"), ("Asia/Tokyo",) * 2]
)
def test_a_machine_s_own_zone_never_stops_the_program(
    monkeypatch: pytest.MonkeyPatch, set_to: str, is_then: str
) -> None:
    """An abbreviation there is a clock that it shows: a place has the same one."""
    monkeypatch.setattr("tzlocal.get_localzone_name", lambda: set_to)
    assert machine_zone() == Settings().zone == is_then


def test_the_store_keeps_its_own_yard(tmp_path: Path) -> None:
    """The settings seed it once; another start with others changes nothing."""
    store = str(tmp_path / "yard.sqlite")
    create_app(Settings(database=store, zone="Europe/Lisbon", units="us", currency="NOK"))
    create_app(Settings(database=store, zone="UTC", units="metric", currency="EUR"))
    yard = show_yard()
    db.close()
    assert (yard.zone, yard.units, yard.currency) == ("Europe/Lisbon", "us", "NOK")


def test_answers_are_in_the_yards_own_units(tmp_path: Path) -> None:
    """Pounds in a yard that works in pounds, unless the request says otherwise."""
    store = str(tmp_path / "yard.sqlite")
    client = create_app(Settings(database=store, zone="UTC", units="us")).test_client()
    air = {"air": "20 degC", "humidity_percent": 100}
    own, asked = (
        client.post(f"/v1/estimates/dew-point{query}", json=air).json["dew_point"]
        for query in ("", "?units=metric")
    )
    db.close()
    assert own == {"value": 68.0, "unit": "degF"}
    assert asked == {"value": 20.0, "unit": "degC"}
