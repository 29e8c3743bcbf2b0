"""A flag beats the environment, which beats the file."""

from __future__ import annotations

from pathlib import Path

import pytest
from cureyard_client import settings
from cureyard_client.exits import Stopped
from cureyard_client.settings import Settings


def written(folder: Path, text: str) -> Path:
    """A settings file."""
    file = folder / "settings.toml"
    file.write_text(text, encoding="utf-8")
    return file


def test_precedence(tmp_path: Path) -> None:
    """Each level wins over the one below it, setting by setting."""
    file = written(tmp_path, 'hand = "file"\nzone = "Europe/Lisbon"\nunits = "us"\n')
    found = settings.load({"CUREYARD_HAND": "env", "CUREYARD_UNITS": "metric"}, file)
    assert found == Settings(hand="env", zone="Europe/Lisbon", units="metric")
    assert settings.override(found, hand="flag", zone=None).hand == "flag"
    assert settings.override(found, hand="flag", zone=None).zone == "Europe/Lisbon"


def test_nothing_set(tmp_path: Path) -> None:
    """No file and an empty environment: nothing is set, and an empty variable sets nothing."""
    assert settings.load({"CUREYARD_URL": ""}, tmp_path / "none.toml") == Settings()


def test_the_usual_file_is_in_the_config_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without a name given, the file in the user's config folder is read."""
    file = settings.default_file()
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text('hand = "from the file"\n', encoding="utf-8")
    assert settings.load({}).hand == "from the file"


def test_a_named_store_puts_a_set_server_aside() -> None:
    """--database means this store, whatever CUREYARD_URL says."""
    found = settings.override(Settings(url="http://yard:8765"), database="here.sqlite")
    assert (found.url, found.database) == (None, "here.sqlite")


def test_two_stores_at_once() -> None:
    """A server and a store by flags are a contradiction."""
    with pytest.raises(Stopped, match="two different stores"):
        settings.override(Settings(), database="here.sqlite", url="http://yard:8765")


@pytest.mark.parametrize(
    "text",
    ["hand = ", "colour = 'red'\n", "hand = 3\n", "units = 'furlongs'\n", "url = 'yard:8765'\n",
     "token = 'cureyard_secret'\n"],
)  # fmt: skip
def test_a_bad_file_is_told(tmp_path: Path, text: str) -> None:
    """What can't be a setting is refused with exit 2, before anything is asked."""
    with pytest.raises(Stopped) as caught:
        settings.load({}, written(tmp_path, text))
    assert caught.value.exit_code == 2


@pytest.mark.parametrize("token", ["two words", "schlüssel", "a\nb"])
def test_what_is_no_token(tmp_path: Path, token: str) -> None:
    """It would break the header that it is sent in."""
    with pytest.raises(Stopped, match="not a token"):
        settings.load({"CUREYARD_TOKEN": token}, tmp_path / "none.toml")


def test_a_file_that_is_no_text(tmp_path: Path) -> None:
    """Bytes that are not UTF-8 are refused in words."""
    file = tmp_path / "settings.toml"
    file.write_bytes(b"hand = '\xff'")
    with pytest.raises(Stopped, match="can't be read"):
        settings.load({}, file)
