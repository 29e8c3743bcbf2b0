"""A pot and its layup with few keys: one command, short options, and the job and bay in use."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from cureyard_client import embedded as service
from cureyard_client import settings
from cureyard_client.main import program

Types = Callable[..., Result]

POT = 'cureyard mix LAM-PE 2kg -g 25min --lay "Plies 1 to 3" --kind laminate'
LONG = (
    'cureyard mix LAM-PE "2 kg" --bay SHED --gel "25 min" --job 26-014',
    'cureyard layup start 26-014 "Plies 1 to 3" --kind laminate --bay SHED --batch 1',
)
YARD = (
    'product add PEROX-9 --name Peroxide --role catalyst --density "1.15 kg/L"',
    'product add LAM-PE --name Polyester --role resin --density "1.1 kg/L" --mix catalysed'
    ' --surface "air inhibited" --with PEROX-9 --reference 20C 2 --gel-time 20C 2 "20 min"'
    " --percent-min 1 --percent-max 3 --recoat-opens 2h --recoat-closes 24h --pot-max 5kg",
    "bay add SHED --title Shed --day 20C --night 18C --day-from 07:00 --day-until 18:00",
    "bay read SHED 20C",
    "lot receive PEROX-9 1kg --number P-14 --expires-on 2099-01-01 --received-on yesterday",
    "lot receive LAM-PE 20kg --number B-7 --expires-on 2099-01-01 --received-on yesterday",
    "job open 26-014 --title Transom --craft Teal --structural no",
)


@pytest.fixture
def types(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Types:
    """Somebody at a shell with settings of their own, at a yard; a call types a line."""
    monkeypatch.setenv("CUREYARD_DATABASE", str(tmp_path / "yard.sqlite"))
    monkeypatch.setenv("CUREYARD_ZONE", "Europe/Lisbon")

    def line(text: str, exits: int = 0, **environment: str) -> Result:
        arguments = shlex.split(text.removeprefix("cureyard "))
        done = CliRunner().invoke(program, arguments, env={"COLUMNS": "120", **environment})
        assert done.exit_code == exits, f"{text}\n{done.output}\n{done.exception!r}"
        return done

    for each in YARD:
        line(each)
    yield line
    service.close()


def keys(*lines: str) -> int:
    """Keys that are pressed for some lines, each with Enter."""
    return sum(len(line) + 1 for line in lines)


def test_a_pot_and_its_layup_in_seventy_keys(types: Types) -> None:
    """With the job and the bay in use; less than half of the two commands in full."""
    assert keys(POT) <= 70
    assert keys(*LONG) == 146
    types("use -j 26-014 -b SHED")
    told = types(POT)
    assert re.search(r"^pot +1, ", told.stdout, re.MULTILINE)
    assert "layup 1" in told.stdout
    assert "Plies 1 to 3" in told.stdout
    assert "Job 26-014: the one in use." in told.stderr
    assert "Bay SHED: the one in use." in told.stderr
    assert json.loads(types("layup show 1 --json").stdout)["batches"] == [1]


def test_both_answers_for_a_program(types: Types) -> None:
    """As one object."""
    told = json.loads(types(f"{POT} -j 26-014 -b SHED --json").stdout)
    assert told["batch"]["id"] == 1
    assert told["layup"]["job"] == "26-014"


def test_a_refused_layup_leaves_the_pot(types: Types) -> None:
    """The message says so, and what to type; that works once the cause is mended."""
    types('job set 26-014 --structural yes --authority "surveyor, report 12"')
    types("use -j 26-014 -b SHED")
    refused = POT.replace("Plies 1 to 3", "P" * 201)
    told = types(refused, exits=2)
    assert "Pot 1 is mixed and drawn, and stays so." in told.stderr
    assert "Nothing was changed" not in told.stderr
    typed = told.stderr.partition("type: ")[2].splitlines()[0]
    assert "--batch 1" in typed
    types(typed.replace("P" * 201, "Plies"))
    answer = json.loads(types(f"{refused} --json", exits=2).stdout)
    assert answer["batch"]["id"] == 2
    assert answer["layup"] is None
    assert answer["refused"]["status"] == 422


def test_the_pots_that_are_not_laid(types: Types) -> None:
    """Without --batch a layup takes them; one that must have gelled, or was lost, is not taken."""
    types("use -j 26-014 -b SHED")
    types('mix LAM-PE 1kg -t 20C -g 25min --at "5 h ago"')
    told = types("layup start Plies --kind laminate", exits=1).stderr
    assert "Pot 1 must have gelled by now." in told
    assert "--batch" in told
    for _ in range(3):
        types("mix LAM-PE 1kg -t 20C -g 25min")
    types("batch observe 3 lost")
    told = types("layup start Plies --kind laminate")
    assert "Of pot 2 and 4: not laid yet." in told.stderr
    assert json.loads(types("layup show 1 --json").stdout)["batches"] == [2, 4]
    types("layup start Plies --kind laminate", exits=1)


def test_what_is_in_use(types: Types) -> None:
    """Kept beside other settings; the environment comes before it; - takes one out."""
    file = settings.default_file()
    settings.keep({"hand": "Inês"})
    assert "26-014" in types("use --job 26-014 --bay SHED").stdout
    assert file.read_text(encoding="utf-8") == 'hand = "Inês"\njob = "26-014"\nbay = "SHED"\n'
    assert json.loads(types("use --json").stdout) == {"job": "26-014", "bay": "SHED"}
    told = types("use --json", CUREYARD_JOB="26-099")
    assert json.loads(told.stdout)["job"] == "26-099"
    assert "26-099" in types("use -j 26-014", CUREYARD_JOB="26-099").stderr
    types("use -j -")
    assert json.loads(types("use --json").stdout) == {"job": None, "bay": "SHED"}
    assert "no job 26-999" in types("use -j 26-999", exits=1).stderr


def test_none_in_use(types: Types) -> None:
    """A command that needs one says both ways."""
    for line in ("mix LAM-PE 1kg -t 20C -g 25min", "draw LAM-PE 1kg", "return 1 1kg"):
        told = types(line, exits=2).stderr
        assert "Give --job, or set one: cureyard use --job JOB" in told
    assert "--lay TITLE and --kind" in types("mix LAM-PE 1kg -j 26-014 --lay X", exits=2).stderr


def test_what_is_given_comes_first(types: Types) -> None:
    """And is not spoken of."""
    types("use -j 26-014 -b SHED")
    assert types("dose LAM-PE 1kg -b SHED -g 25min").stderr == ""
    assert "Bay SHED" in types("dose LAM-PE 1kg -g 25min").stderr


def test_nothing_is_mixed_for_a_layer_over_wax(types: Types) -> None:
    """Nobody sanded the coat below: it is said before anything is drawn, and what to type."""
    types("product set LAM-PE --surface waxed")
    types(f"{POT} -j 26-014 -b SHED --at '2 days ago'")
    refused = types(f"{POT} -j 26-014 -b SHED --over 1", exits=1).stderr
    assert "Layup 1, Plies 1 to 3, has wax on its face" in refused
    assert "type: cureyard layup observe 1 sanded" in refused
    assert json.loads(types("batch list --json").stdout)["items"][0]["id"] == 1
    types("layup observe 1 sanded --at '1 day ago'")
    types(f"{POT} -j 26-014 -b SHED --over 1")
