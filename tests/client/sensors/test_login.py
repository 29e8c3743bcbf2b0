"""A broker's user and password."""

from __future__ import annotations

from pathlib import Path

import pytest
from cureyard_client.exits import Stopped
from cureyard_client.sensors.login import FILE, VARIABLE, login


def test_from_the_environment_or_a_file(tmp_path: Path) -> None:
    """A password may have a colon in it; the environment's own comes first."""
    file = tmp_path / "login"
    file.write_text("shed:a:b\n", encoding="utf-8")
    assert login({}) is None
    assert login({FILE: str(file)}) == ("shed", "a:b")
    assert login({VARIABLE: "pi:c", FILE: str(file)}) == ("pi", "c")


@pytest.mark.parametrize("text", ["", "shed", ":secret", "secret "])
def test_what_is_none(text: str) -> None:
    """It is not repeated."""
    with pytest.raises(Stopped) as refused:
        login({VARIABLE: text})
    assert "secret" not in refused.value.message


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    """It is named."""
    with pytest.raises(Stopped, match="missing"):
        login({FILE: str(tmp_path / "missing")})
