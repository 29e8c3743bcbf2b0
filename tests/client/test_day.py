"""A day at the yard by hand: every command, through the door, on a store of its own."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result
from cureyard_client import embedded

from .. import makers
from ..engines import Engine
from ..putting import by_commands
from .conftest import program_on

Hand = Callable[..., Result]

RESIN = [
    "product", "add", "LAM-PE", "--name", "Laminating polyester", "--role", "resin",
    "--chemistry", "polyester", "--density", "1.1 kg/L", "--shelf-life", "180 d",
    "--mix", "catalysed", "--surface", "air_inhibited", "--with", "PEROX-9",
    "--reference", "20 degC", "2", "--gel-time", "15 degC", "2", "25-29 min",
    "--gel-time", "20 degC", "2", "18-20 min", "--gel-time", "20 degC", "1", "36-42 min",
    "--gel-time", "25 degC", "2", "13-14 min", "--percent-min", "1", "--percent-max", "3",
    "--apply-min", "15 degC", "--cure-min", "8 degC", "--recoat-opens", "2 h",
    "--recoat-closes", "24 h", "--sandable", "8 h", "--pot-max", "3 kg", "--build-max", "5 mm",
]  # fmt: skip


@pytest.fixture
def hand(engine: Engine) -> Iterator[Hand]:
    """Somebody who types: a call gives what it comes to."""
    yield partial(program_on(engine.empty()), columns=100)
    embedded.close()


@pytest.fixture
def yard(hand: Hand) -> Hand:
    """A hand at a yard that has a catalogue, stock, a bay and a job."""
    hand("product", "add", "PEROX-9", "--name", "Ketone peroxide", "--role", "catalyst",
         "--density", "1.15 kg/L", "--active-oxygen", "9")  # fmt: skip
    hand(*RESIN)
    by_commands(
        hand, products=[makers.mat("MAT-450")], bays=[makers.bay("SHED", "20 degC", "15 degC")],
        jobs=[makers.job()],
    )  # fmt: skip
    hand("bay", "read", "SHED", "20.5 degC", "--humidity", "60")
    hand("lot", "receive", "LAM-PE", "20 kg", "--number", "B-2207", "--cost", "90 EUR")
    hand("lot", "receive", "PEROX-9", "1 kg", "--number", "P-14")
    hand("lot", "receive", "MAT-450", "30 m", "--number", "M-1", "--bay", "SHED")
    return hand


def body(done: Result) -> Any:
    """The JSON that a command with --json printed."""
    return json.loads(done.stdout)


def test_a_pot_from_dose_to_trace(yard: Hand) -> None:
    """Dose, mix, lay up, look, touch, and find it again from the lot."""
    dose = yard("dose", "LAM-PE", "1.5 kg", "--bay", "SHED", "--gel", "25 min").stdout
    assert dose.startswith("weigh  ")
    assert "1.5 kg of LAM-PE" in dose
    card = yard("mix", "LAM-PE", "1.5 kg", "--bay", "SHED", "--gel", "25 min", "--job", "D-7")
    assert re.match(r"weigh +2\d\.?\d* g  PEROX-9  P-14 ", card.stdout)
    assert "into   1500 g  LAM-PE   B-2207  18.5 kg left" in card.stdout
    assert "pot      1, D-7 " in card.stdout
    laid = yard("layup", "start", "D-7", "Plies 1-3", "--kind", "laminate", "--bay", "SHED",
                "--batch", "1", "--surface-temperature", "20 C", "--cover", "peel_ply")  # fmt: skip
    for word in ("layup 1", "gel", "window opens", "window shuts", "sandable"):
        assert word in laid.stdout
    assert "cured for handling" not in laid.stdout  # its sheet has none, so there is nothing to say
    assert "window   " in laid.stdout
    assert "Plies 1-3" in yard("now").stdout
    assert "wet" in yard("layup", "list", "--curing").stdout
    assert "gelled" in yard("layup", "observe", "1", "gelled").stdout
    assert "LAM-PE" in yard("batch", "list", "--job", "D-7").stdout
    yard("batch", "observe", "1", "gelled")
    assert "pot      1, D-7 " in yard("batch", "show", "1").stdout
    traced = yard("trace", "LAM-PE/B-2207").stdout
    for word in ("D-7", "Teal", "Plies 1-3", "1.5 kg", "receipt", "Ines"):
        assert word in traced
    assert "BROKEN" not in yard("prove").stdout


def test_stock_goes_and_comes(yard: Hand) -> None:
    """Draw, return, count and scrap; the lot shows what is left."""
    yard("draw", "LAM-PE", "2 kg", "--job", "D-7")
    yard("return", "LAM-PE/B-2207", "0.5 kg", "--job", "D-7")
    yard("count", "LAM-PE/B-2207", "18 kg", "--reason", "spilt")
    yard("scrap", "LAM-PE/B-2207", "1 kg", "--reason", "skinned over")
    assert "on hand   17 kg" in yard("lot", "show", "LAM-PE/B-2207").stdout
    assert yard("lot", "list", "--product", "LAM-PE").stdout.split()[-2:] != []
    lots = body(yard("lot", "list", "--product", "LAM-PE", "--json"))["items"]
    assert [lot["on_hand"] for lot in lots] == [{"value": 17.0, "unit": "kg"}]
    pounds = body(yard("lot", "show", "B-2207", "--json", "--units", "us"))["on_hand"]
    assert pounds["unit"] == "lb"
    assert pounds["value"] == pytest.approx(17 / 0.45359237, abs=1e-5)


def test_an_offcut_is_a_lot_of_its_own(yard: Hand) -> None:
    """A piece of roll never grows back onto its roll."""
    yard("draw", "MAT-450", "5 m", "--job", "D-7")
    yard("return", "MAT-450/M-1", "2 m", "--job", "D-7")
    assert [line.split()[0] for line in yard("lot", "list", "--product", "MAT-450")
            .stdout.splitlines()[1:]] == ["3", "4"]  # fmt: skip
    assert "piece of  lot 3" in yard("lot", "show", "id:4").stdout
    assert "Pieces cut from it" in yard("trace", "id:3").stdout


def test_what_the_store_forbids(yard: Hand) -> None:
    """Exit 1: too much, out of date, held, unknown; each says that nothing was changed."""
    short = yard("draw", "LAM-PE", "200 kg", "--job", "D-7", exits=1)
    assert "Nothing was changed." in short.stderr
    yard("lot", "receive", "LAM-PE", "8 kg", "--number", "B-1", "--expires-on", "2020-01-31")
    yard("draw", "1 kg", "--lot", "LAM-PE/B-1", "--job", "D-7", exits=1)
    yard("draw", "1 kg", "--lot", "B-1", "--job", "D-7", "--override", "cup test in order")
    yard("lot", "hold", "B-2207", "--reason", "stood in the sun")
    yard("draw", "1 kg", "--lot", "B-2207", "--job", "D-7", exits=1)
    assert "held: stood in the sun" in yard("lot", "show", "B-2207").stdout
    yard("lot", "release", "B-2207", "--reason", "cup test in order")
    yard("draw", "1 kg", "--lot", "B-2207", "--job", "D-7")
    yard("job", "show", "D-8", exits=1)
    yard("layup", "show", "99", exits=1)


@pytest.mark.parametrize(
    "quantity",
    ["2", "2 degC", "9**9**9**9 kg", "1e999 kg", "nan kg", "-3 kg", "", "x" * 5000, "1,5 kg"],
)
def test_what_is_no_amount(yard: Hand, quantity: str) -> None:
    """Exit 2, in words, and the stock is as it was."""
    told = yard("draw", "LAM-PE", "--job", "D-7", "--", quantity, exits=2).stderr
    assert told.startswith("Refused: ")
    assert "Nothing was changed." in told
    assert "on hand   20 kg" in yard("lot", "show", "B-2207").stdout


def test_a_bays_air(yard: Hand, tmp_path: Path) -> None:
    """One reading, a logger's file, the same file again, and one that differs."""
    file = tmp_path / "log.csv"
    file.write_text(
        "at,temperature,humidity_percent\n"
        "2026-01-04T10:00:00+00:00,19.5 degC,62\n"
        "2026-01-04T11:00:00+00:00,67.1 degF,\n"
    )
    first = yard("bay", "read", "SHED", "--csv", str(file)).stdout
    assert first.startswith("2 recorded\n")
    assert "on the clock of Europe/Lisbon" in first
    assert yard("bay", "read", "SHED", "--csv", str(file)).stdout.startswith("2 unchanged\n")
    at = ("--at", "2026-01-04T10:00:00Z")
    yard("bay", "read", "SHED", "18 degC", *at, exits=1)
    again = yard("bay", "read", "SHED", "18 degC", *at, "--replace", "misread")
    assert again.stdout == "1 replaced\n"
    file.write_text("time,temp\n")
    yard("bay", "read", "SHED", "--csv", str(file), exits=2)
    assert "20.5 °C, 60 % humidity" in yard("bay", "show", "SHED").stdout
    assert "SHED" in yard("bay", "list").stdout
    assert "else 12 °C" in yard("bay", "set", "SHED", "--night", "12 degC").stdout


def test_the_catalogue(yard: Hand) -> None:
    """Listed, shown with its sheet, changed; a new sheet is a new revision."""
    assert "PEROX-9" in yard("product", "list", "--role", "resin").stdout
    shown = yard("product", "show", "lam-pe").stdout
    for words in ("25 min to 29 min at 15 °C, 2 %", "window opens    2 h", "revision 1",
                  "1 % to 3 %", "biggest pot     3 kg"):  # fmt: skip
        assert words in shown
    assert "Quay" in yard("product", "set", "LAM-PE", "--supplier", "Quay").stdout
    whole = [*RESIN[RESIN.index("--mix") :]]
    assert "revision 1" in yard("product", "set", "LAM-PE", *whole).stdout  # as it was
    whole[whole.index("--pot-max") + 1] = "2 kg"
    assert "revision 2" in yard("product", "set", "LAM-PE", *whole).stdout
    yard(*RESIN, exits=1)


def test_a_lots_life(yard: Hand) -> None:
    """Moved, opened, tested; a cup test's factor goes into the next dose."""
    assert "bay       SHED" in yard("lot", "move", "B-2207", "SHED").stdout
    assert "opened" in yard("lot", "open", "B-2207").stdout
    tested = yard("lot", "test", "B-2207", "--catalyst-lot", "P-14", "--mass", "100 g",
                  "--temperature", "20 degC", "--percent", "2", "--gel", "21 min")  # fmt: skip
    assert tested.stdout.startswith("verdict  use\n")
    dose = yard("dose", "LAM-PE", "1 kg", "--temperature", "20 degC", "--percent", "2")
    found = re.search(r"lot factor (\d\.\d+) \(cup test 1\)", dose.stdout)
    assert found is not None, dose.stdout
    assert 1 < float(found[1]) < 21 / 19  # one cup counts for less than all of itself


def test_a_job_closes(yard: Hand) -> None:
    """Changed, closed, listed; nothing more is booked to it."""
    yard("job", "set", "D-7", "--authority", "the builder's drawings")
    assert "state       closed" in yard("job", "close", "D-7").stdout
    yard("draw", "LAM-PE", "1 kg", "--job", "D-7", exits=1)
    assert "D-7" in yard("job", "list", "--state", "closed").stdout
    assert yard("job", "list", "--state", "open").stderr == "There are none.\n"


def test_pages(yard: Hand) -> None:
    """A list goes on where the page before ended."""
    first = yard("lot", "list", "--limit", "2")
    cursor = first.stderr.split()[-1]
    rest = yard("lot", "list", "--limit", "2", "--after", cursor)
    ids = [line.split()[0] for done in (first, rest) for line in done.stdout.splitlines()[1:]]
    assert ids == ["1", "2", "3"]
    assert rest.stderr == ""


def test_rows_of_every_list(yard: Hand) -> None:
    """With --plain: the same columns in each row, tabs between, on any screen."""
    for line in (["lot", "list"], ["product", "list"], ["job", "list"], ["bay", "list"],
                 ["layup", "list"], ["batch", "list"], ["logbook"], ["now"]):  # fmt: skip
        head, *rows = yard(*line, "--plain", columns=40).stdout.splitlines()
        assert {row.count("\t") for row in rows} <= {head.count("\t")}
    opened = yard("job", "list", "--plain").stdout.splitlines()[1].split("\t")[-1]
    assert datetime.fromisoformat(opened).tzinfo is not None


def test_json_of_everything(yard: Hand) -> None:
    """Each reading command's --json is JSON, with quantities in both parts."""
    for line in (
        ["now"], ["product", "list"], ["product", "show", "LAM-PE"], ["lot", "list"],
        ["lot", "show", "1"], ["trace", "1"], ["job", "list"], ["job", "show", "D-7"],
        ["bay", "list"], ["bay", "show", "SHED"], ["layup", "list"], ["batch", "list"], ["prove"],
    ):  # fmt: skip
        assert isinstance(body(yard(*line, "--json")), dict)


def test_a_narrow_screen(yard: Hand) -> None:
    """From 40 columns on nothing runs over the edge."""
    yard("mix", "LAM-PE", "1.5 kg", "--bay", "SHED", "--gel", "25 min", "--job", "D-7")
    yard(
        "layup", "start", "D-7", "Plies 1-3", "--kind", "laminate", "--bay", "SHED", "--batch", "1"
    )
    for line in (
        ["now"], ["product", "list"], ["product", "show", "LAM-PE"], ["lot", "list"],
        ["lot", "show", "1"], ["trace", "1"], ["job", "list"], ["job", "show", "D-7"],
        ["bay", "list"], ["bay", "show", "SHED"], ["layup", "list"], ["layup", "show", "1"],
        ["batch", "list"], ["batch", "show", "1"], ["prove"],
    ):  # fmt: skip
        told = yard(*line, columns=40).stdout.splitlines()
        assert [each for each in told if len(each) > 40] == []


def test_slips_of_the_hand(yard: Hand) -> None:
    """A layup, what was seen, a reading, a job: each has its way back."""
    pot = ("mix", "LAM-PE", "1 kg", "--bay", "SHED", "--percent", "1.5", "--job", "D-7",
           "--at", "3 h ago")  # fmt: skip
    yard(*pot)
    yard(*pot)
    start = ("layup", "start", "D-7", "Plies", "--kind", "laminate", "--bay", "SHED",
             "--at", "3 h ago", "--batch")  # fmt: skip
    yard(*start, "1")
    yard("layup", "observe", "1", "gelled")
    yard("layup", "observe", "1", "covered")
    assert "finished" in yard("layup", "show", "1").stdout
    back = yard("layup", "undo", "1", "covered", "--reason", "the hatch was").stdout
    assert "finished" not in back
    assert "taken back  covered" in back
    assert "was not noted" in yard("layup", "undo", "1", "covered", exits=1).stderr
    yard(*start, "2")
    assert "not laid  wrong job, Ines" in yard("layup", "undo", "2", "--reason", "wrong job").stdout
    assert [x["id"] for x in body(yard("now", "--json"))["layups"]] == [1]
    yard("batch", "observe", "2", "not_mixed")
    assert yard("batch", "list").stdout.splitlines()[1].endswith("NOT MIXED")
    yard("bay", "read", "SHED", "31 degC", "--at", "1 min ago")
    assert "1 reading taken back" in yard("bay", "undo", "SHED").stdout
    assert "20.5 °C" in yard("bay", "show", "SHED").stdout
    yard("job", "close", "D-7", "--reason", "the owner took her")
    assert "state       open" in yard("job", "reopen", "D-7").stdout
    assert "Job D-7 is open." in yard("job", "reopen", "D-7", exits=1).stderr
    assert "gelled" in yard("layup", "list", "--curing").stdout


def test_a_label_that_gives_one_limit(yard: Hand) -> None:
    """A greatest temperature is no temperature to keep at."""
    limits = {
        ("--storage-max", "25 degC"): "no warmer than 25 °C",
        ("--storage-min", "5 degC"): "at 5 °C to 25 °C",
    }
    for given, words in limits.items():
        assert f"keep           {words}" in yard("product", "set", "PEROX-9", *given).stdout


def test_one_figure_of_a_sheet(yard: Hand) -> None:
    """It is set by itself; a product that is there is set, not added."""
    told = yard("product", "set", "LAM-PE", "--sandable", "10h").stdout
    assert "revision 2" in told
    assert re.search(r"sandable +10 h\n", told)
    assert re.search(r"window opens +2 h\n", told)
    assert "cureyard product set LAM-PE" in yard(*RESIN, exits=1).stderr
