"""`cureyard plan roll`: a list that somebody can cut by who sees nothing else."""

from __future__ import annotations

import shlex
from pathlib import Path
from xml.etree import ElementTree

import pytest

from .. import makers
from ..putting import by_commands
from .conftest import Hand

TAPER = ("plan", "taper", "--hole", "300 mm", "--width", "200 mm", "--shape", "oval",
         "--thickness", "6 mm", "--ply", "MAT-450", "mat", "2", "--json")  # fmt: skip


def test_every_cut_with_its_place(yard: Hand) -> None:
    """Number, where it starts along and from the left, how long and wide, and which way."""
    told = yard("plan", "roll", "MAT-450", "--cut", "600 mm", "500 mm", "2")
    assert "From lot R-1, container 1: 0.6 m of 2 m free" in told
    lines = [line.split() for line in told.splitlines()]
    for number, left in (("1", "0"), ("2", "500")):
        assert [number, "rectangular", "0", "mm", left, "mm", "600", "mm", "500", "mm",
                "along", "the", "roll"] in lines  # fmt: skip
    assert "Start: distance from the cut end" in told


def test_from_a_taper_to_needs(yard: Hand) -> None:
    """Piped in: its plies by their numbers; kept for the job in the same step."""
    told = yard("plan", "roll", "MAT-450", "--fabric", "mat", "--taper", "-", "--need", "26-014",
                pipe=yard(*TAPER))  # fmt: skip
    assert "taper 2" in told
    assert "oval" in told
    assert "0.344 m" in yard("job", "needs", "26-014")


def test_the_drawing_is_a_file(yard: Hand, tmp_path: Path) -> None:
    """Written once; a file that is there is left alone."""
    file = tmp_path / "cuts.svg"
    line = ("plan", "roll", "--width", "1 m", "--cut", "600 mm", "500 mm", "1", "--svg", str(file))
    assert "The drawing is in" in yard(*line)
    drawn = file.read_bytes()
    assert ElementTree.fromstring(drawn).tag.endswith("svg")
    assert "there already" in yard(*line, exits=2)
    assert file.read_bytes() == drawn
    yard(*line[:-1], str(tmp_path / "none" / "cuts.svg"), exits=2)


def test_a_narrow_screen(yard: Hand) -> None:
    """Nothing is wider than the screen."""
    told = yard("plan", "roll", "MAT-450", "--cut", "600 mm", "500 mm", "2", columns=40)
    assert max(map(len, told.splitlines())) <= 40


@pytest.mark.parametrize("pipe", ["", "[]", "{}", '{"plies": [{"name": 1}]}', "nonsense"])
def test_what_is_no_taper(yard: Hand, pipe: str) -> None:
    """Told how to make one."""
    told = yard("plan", "roll", "MAT-450", "--taper", "-", exits=2, pipe=pipe)
    assert "plan taper … --json" in told


def test_nothing_to_cut(yard: Hand) -> None:
    """Refused by the service, in words."""
    yard("plan", "roll", "MAT-450", exits=2)
    yard("plan", "roll", "MAT-450", "--cut", "600 mm", "500 mm", "some", exits=2)


def test_an_offcut_by_the_printed_commands(yard: Hand) -> None:
    """A sheet is drawn and cut; what the list says to type brings the rest back, then uses it."""
    plywood = makers.product("PLY-12", "sheet", length="2.44 m", width="1.22 m")
    by_commands(yard, products=[plywood], lots=[makers.lot("PLY-12", "2 pieces", "7")])
    line = ("plan", "sheets", "PLY-12", "--cut", "800 mm", "600 mm", "4", "--need", "26-014")
    told = yard(*line)
    assert "1 piece" in told
    yard("draw", "PLY-12", "1 piece", "--job", "26-014")
    yard(*_typed(told, "cureyard return"))
    small = ("plan", "sheets", "PLY-12", "--any-way", "600 mm", "800 mm", "1", "--need", "26-014")
    used = yard(*small)
    assert "job 26-014 needs no whole sheet" in used
    assert "From the offcut lot 7, container 1.1: 834 mm × 1220 mm" in used
    yard(*_typed(used, "cureyard draw"))
    assert "From a sheet of lot 7" in yard(*small)


def _typed(told: str, begins: str) -> list[str]:
    """The printed command that begins so, as a shell would take it apart."""
    line = next(line for line in told.splitlines() if line.strip().startswith(begins))
    return shlex.split(line)[1:]
