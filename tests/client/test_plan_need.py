"""`plan … --need`: a sum is printed, and kept as what a job needs, in one step."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from cureyard_client import door
from cureyard_client.asking import Start
from cureyard_client.main import program
from cureyard_client.settings import Settings

Hand = Callable[..., str]

MATS = ("plan", "laminate", "--ply", "MAT-450", "mat", "3", "--area", "1.25 m2")


@pytest.fixture
def hand(tmp_path: Path) -> Iterator[Hand]:
    """Somebody at a yard with 2 m of mat and a job; a call gives what is printed."""
    given = Settings(database=str(tmp_path / "yard.sqlite"), zone="Europe/Lisbon", hand="Ines")

    def types(*arguments: str, exits: int = 0) -> str:
        done = CliRunner().invoke(
            program, arguments, obj=Start(given=given), env={"COLUMNS": "120"}
        )
        assert done.exit_code == exits, f"{arguments}\n{done.output}\n{done.exception!r}"
        return done.output

    types("product", "add", "MAT-450", "--name", "Chopped strand mat", "--role", "reinforcement",
          "--areal-weight", "450 g/m2", "--width", "1.25 m")  # fmt: skip
    types("lot", "receive", "MAT-450", "2 m", "--number", "R-1")
    types("job", "open", "26-014", "--title", "Stem", "--craft", "sloop Sandpiper")
    yield types
    door.close()


def test_a_sum_becomes_needs(hand: Hand) -> None:
    """The sum, then the job's needs with what is short by the day."""
    told = hand(*MATS, "--need", "26-014", "--by", "2999-01-02")
    assert told.index("thickness") < told.index("3 × 1 m")
    assert "MAT-450: 1 m short by 2999-01-02." in told
    assert "3 × 1 m" in hand("job", "needs", "26-014")


def test_a_program_gets_one_answer(hand: Hand) -> None:
    """With --json: the job's needs alone."""
    told = json.loads(hand(*MATS, "--need", "26-014", "--json"))
    assert (told["job"], len(told["needs"])) == ("26-014", 1)


def test_what_can_not_be_kept_ends_in_words(hand: Hand) -> None:
    """A day without a job, no product in it, no such job: nothing is needed after it."""
    assert "--need" in hand(*MATS, "--by", "2999-01-02", exits=2)
    bare = ("plan", "laminate", "--ply", "450 g/m2", "mat", "3", "--area", "1 m2")
    assert "product of the store" in hand(*bare, "--need", "26-014", exits=2)
    hand(*MATS, "--need", "NONE", exits=1)
    hand(*MATS, "--need", "26-014", "--by", "soon", exits=2)
    assert hand("job", "needs", "26-014") == "Job 26-014 needs nothing.\n"
