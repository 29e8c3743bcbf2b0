"""Labels from a terminal, and what their codes hold wherever a lot or a pot is named."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import pytest
import zxingcpp
from PIL import Image

from .. import makers
from ..putting import by_commands
from .conftest import Hand

HOME = "https://yard.example/cure"


@pytest.fixture
def hand(embedded: Hand) -> Hand:
    """Somebody at a yard with a drum, a bottle and a pot; a call gives what is printed."""
    by_commands(
        embedded, products=[makers.catalyst(), makers.resin()], jobs=[makers.job("26-014")],
        lots=[makers.lot("PEROX", "1 kg", "14"), makers.lot(number="B-7")],
    )  # fmt: skip
    embedded("mix", "LAM", "500 g", "--temperature", "20 degC", "--percent", "2", "--job", "26-014")
    return embedded


@pytest.fixture
def moved_in(hand: Hand) -> Hand:
    """The same, once the yard has an address."""
    hand("yard", "set", "--address", HOME + "/")
    return hand


def read(file: Path) -> str:
    """What a reader makes of a label's code."""
    with Image.open(file) as seen:
        (found,) = zxingcpp.read_barcodes(seen)
    return str(found.text)


@pytest.mark.parametrize(("noun", "name"), [("lot", "LAM/B-7"), ("batch", "1")])
def test_a_label_is_a_file(hand: Hand, tmp_path: Path, noun: str, name: str) -> None:
    """The file's name says of which kind; its code is taken by the noun's own commands."""
    image, drawing = tmp_path / "label.png", tmp_path / "label.SVG"
    for file in (image, drawing):
        assert str(file) in hand(noun, "label", name, "--out", str(file))
    assert ElementTree.fromstring(drawing.read_bytes()).tag.endswith("svg")
    assert hand(noun, "show", read(image)) == hand(noun, "show", name)


def test_nothing_is_written_over(hand: Hand, tmp_path: Path) -> None:
    """Nor is a name taken that says no kind, or that can't be written."""
    file = tmp_path / "label.svg"
    hand("lot", "label", "LAM/B-7", "--out", str(file))
    before = file.read_bytes()
    assert "there already" in hand("lot", "label", "PEROX/14", "--out", str(file), exits=2)
    assert file.read_bytes() == before
    told = hand("lot", "label", "LAM/B-7", "--out", str(tmp_path / "label.gif"), exits=2)
    assert ".svg or .png" in told
    hand("lot", "label", "LAM/B-7", "--out", str(tmp_path / "none" / "label.svg"), exits=2)
    hand("lot", "label", "LAM/B-8", "--out", str(tmp_path / "other.svg"), exits=1)
    assert [each.name for each in tmp_path.glob("*.*g*")] == ["label.svg"]


def test_a_scanned_address_is_taken_wherever_a_lot_is(moved_in: Hand, tmp_path: Path) -> None:
    """As the phone read it: to show, trace, draw, count, hold and scrap."""
    file = tmp_path / "drum.png"
    moved_in("lot", "label", "LAM/B-7", "--out", str(file))
    code = read(file)
    assert code == f"{HOME}/lots/2"
    assert "number B-7" in moved_in("lot", "show", code)
    assert "number B-7" in moved_in("lot", "show", code.replace("https", "HTTPS") + "/")
    assert "B-7" in moved_in("trace", code)
    assert "18.5 kg" in moved_in("draw", "--lot", code, "1 kg", "--job", "26-014")
    assert "17.5 kg" in moved_in("count", code, "17.5 kg")
    assert "17 kg" in moved_in("scrap", code, "500 g", "--reason", "spilt")
    assert "held" in moved_in("lot", "hold", code, "--reason", "sun")


def test_a_scanned_pot_goes_into_a_layup(moved_in: Hand) -> None:
    """And is shown, and observed."""
    moved_in("bay", "add", "SHED", "--title", "Shed", "--day", "20 degC", "--night", "20 degC",
             "--day-from", "07:00", "--day-until", "18:00")  # fmt: skip
    code = f"{HOME}/batches/1"
    moved_in("layup", "start", "26-014", "Plies", "--kind", "laminate", "--bay", "SHED",
             "--batch", code, "--batch", "batch:1", exits=2)  # fmt: skip
    told = moved_in("layup", "start", "26-014", "Plies", "--kind", "laminate", "--bay", "SHED",
                    "--batch", code)  # fmt: skip
    assert "layup 1" in told
    moved_in("batch", "observe", code, "gelled")
    moved_in("layup", "start", "26-014", "Plies", "--kind", "laminate", "--bay", "SHED",
             "--batch", "twelve", exits=2)  # fmt: skip


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("https://other.example/lots/2", "of the yard at https://other.example"),
        ("https://yard.example/lots/2", "type lot:2 instead"),
        ("https://yard.example:8443/cure/lots/2", "https://yard.example:8443"),
        ("https://[/lots/2", "of the yard at"),
        (f"{HOME}/jobs/2", "not of a lot or a pot"),
        (f"{HOME}/batches/1", "label is of batch 1"),
        ("batch:1", "'cureyard batch show batch:1'"),
    ],
)
def test_another_label_is_told(moved_in: Hand, code: str, words: str) -> None:
    """One of another yard has the same numbers for other things: it is never taken for ours."""
    told = moved_in("lot", "show", code, exits=2)
    assert words in told
    assert "Error:" in told


def test_a_code_of_nothing(hand: Hand) -> None:
    """A number that the store does not have."""
    assert "There is no lot 99" in hand("lot", "show", "lot:99", exits=1)
    assert "There is no batch 99" in hand("batch", "show", "batch:99", exits=1)
    assert "batch list" in hand("batch", "show", "x", exits=2)
