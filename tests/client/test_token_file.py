"""Tokens that a user keeps: for one service each, where nobody else can read them.

OWASP API Security Top 10 (2023): API2 broken authentication, API10 unsafe consumption of APIs.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest
from cureyard_client import token_file
from cureyard_client.exits import Stopped
from cureyard_client.settings import Settings

YARD = Settings(url="http://yard:8765")


def test_a_token_is_kept_for_its_own_service() -> None:
    """No other address ever gets it, and neither does a store of one's own."""
    token_file.keep(YARD, "cureyard_1")
    token_file.keep(Settings(database="here.sqlite"), "cureyard_2")
    assert token_file.kept_for(YARD) == "cureyard_1"
    assert token_file.kept_for(Settings(url="http://yard:8765/")) == "cureyard_1"
    assert token_file.kept_for(Settings(database="here.sqlite")) == "cureyard_2"
    for other in ("http://yard:8766", "https://yard:8765", "http://yard.example:8765"):
        assert token_file.kept_for(Settings(url=other)) is None
    assert token_file.kept_for(Settings()) is None


def test_a_new_token_takes_the_place_of_the_old() -> None:
    """For that service alone."""
    token_file.keep(YARD, "cureyard_1")
    token_file.keep(Settings(), "cureyard_2")
    token_file.keep(YARD, "cureyard_3")
    assert (token_file.kept_for(YARD), token_file.kept_for(Settings())) == (
        "cureyard_3",
        "cureyard_2",
    )


@pytest.mark.skipif(os.name != "posix", reason="modes are POSIX's")
def test_the_file_is_this_users_alone() -> None:
    """Whatever the umask says, and nothing half written is left beside it."""
    before = os.umask(0)
    try:
        file = token_file.keep(YARD, "cureyard_1")
    finally:
        os.umask(before)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert [each.name for each in file.parent.iterdir()] == [file.name]


@pytest.mark.skipif(os.name != "posix", reason="modes are POSIX's")
@pytest.mark.parametrize("mode", [0o644, 0o640, 0o604, 0o660, 0o610])
def test_a_file_that_others_can_read_is_refused(mode: int) -> None:
    """Neither used nor added to, and the words say how to mend it; the token is not among them."""
    file = token_file.keep(YARD, "cureyard_1")
    file.chmod(mode)
    for act in (lambda: token_file.kept_for(YARD), lambda: token_file.keep(YARD, "cureyard_2")):
        with pytest.raises(Stopped, match="others may read") as caught:
            act()
        assert "chmod 600" in caught.value.advice
        assert "cureyard_1" not in " ".join(caught.value.lines())
    file.chmod(0o600)
    assert token_file.kept_for(YARD) == "cureyard_1"


@pytest.mark.parametrize("text", ["", "{", "[]", '"cureyard_1"', '{"http://yard": 3}', "\xff"])
def test_what_is_no_file_of_tokens_is_told(text: str) -> None:
    """In words, with exit 2."""
    file = token_file.keep(YARD, "cureyard_1")
    file.write_bytes(text.encode("latin-1"))
    with pytest.raises(Stopped) as caught:
        token_file.kept_for(YARD)
    assert caught.value.exit_code == 2


def test_a_folder_that_can_not_be_written_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """A file where the folder should be."""
    in_the_way = Path(os.environ["HOME"]) / "in-the-way"
    in_the_way.write_text("")
    for name in ("HOME", "XDG_CONFIG_HOME", "APPDATA", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(in_the_way))
    with pytest.raises(Stopped, match="can't be"):
        token_file.keep(YARD, "cureyard_1")
