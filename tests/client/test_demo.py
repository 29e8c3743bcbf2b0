"""The demo tells its whole story at any hour, and touches nobody's store."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import SimpleNamespace
from zoneinfo import ZoneInfo

import pytest
from click.testing import CliRunner
from cureyard_client import settings
from cureyard_client.main import program

ZONE = "America/Los_Angeles"


@pytest.fixture
def at(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], None]:
    """Sets both clocks: the person's and the service's."""

    def turn(text: str) -> None:
        moment = datetime.fromisoformat(text).replace(tzinfo=ZoneInfo(ZONE))
        monkeypatch.setattr("cureyard_client.clock.now", lambda: moment)
        clock = SimpleNamespace(time=moment.timestamp)
        monkeypatch.setattr("cureyard_service.web.context.settings.time", clock)

    return turn


@pytest.mark.parametrize(
    "moment",
    [
        "2026-11-03T14:20:00",
        "2026-07-01T05:05:00",  # the coldest hour
        "2026-03-08T03:30:00",  # the clocks went forward an hour and a half ago
        "2026-11-01T00:00:30",  # one reading of today; an hour will come twice
    ],
)
def test_the_story(at: Callable[[str], None], moment: str) -> None:
    """It ends well, with the refusal in it, a window, and the moments of the milestones."""
    at(moment)
    done = CliRunner().invoke(program, ["--zone", ZONE, "demo"], env={"COLUMNS": "100"})
    assert done.exit_code == 0, done.output
    assert done.stderr == ""
    story = done.stdout
    assert "Refused: Lot B-1911" in story
    assert "Seattle" in story
    assert "$ cureyard layup start" in story
    milestones = story[story.index("milestone ") :]
    for name in ("gel", "window opens", "window shuts", "sandable"):
        assert f"\n{name} " in milestones
    assert "BROKEN" not in story


def test_nobodys_store_is_touched(tmp_path: Path) -> None:
    """A store that is set, and the usual one, are not even made."""
    mine = tmp_path / "mine.sqlite"
    done = CliRunner().invoke(program, ["--database", str(mine), "demo"])
    assert done.exit_code == 0, done.output
    assert not mine.exists()
    import platformdirs

    assert not (platformdirs.user_data_path("cureyard", appauthor=False)).exists()
    assert not settings.default_file().exists()


def test_as_json() -> None:
    """With --json each command gives the service's own answer, the refusal too."""
    story = CliRunner().invoke(program, ["demo", "--json"]).stdout
    assert '"type":' in story.replace('"type": ', '"type":')
    assert "/problems/expired-lot" in story
    assert '"recoat_opens"' in story
