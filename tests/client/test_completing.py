"""Tab: commands at once, records of the store where one is meant, and never a word of trouble."""

from __future__ import annotations

import os
import shlex
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from cureyard_client import embedded
from cureyard_client.api import Api
from cureyard_client.main import program
from cureyard_client.options import stored
from cureyard_client.settings import Settings
from cureyard_client.stored_names import in_file

from ..waiting import HANGS_S

PROGRAM = """
import sys
from cureyard_client.main import main
try:
    main()
finally:
    print("imported:", *sorted(sys.modules), file=sys.stderr)
"""
PATIENT = f"""
from cureyard_client.main import program
from cureyard_client.options import stored
stored.ANSWERED_WITHIN_S = ({HANGS_S}, {HANGS_S})
{PROGRAM}"""
"""On a busy machine a server that answers may take longer than who presses Tab would wait."""

JOBS = [{"number": "26-014", "title": "Stem"}, {"number": "26-015", "title": "Keel, port"}]
LOTS = [
    {"product": "LAM-PE", "number": "B-1", "container": c, "state": "good",
     "on_hand": {"value": 18.5, "unit": "kg"}} for c in ("1", "2")
]  # fmt: skip


def tab(
    line: str, shell: str = "bash", program: str = PATIENT, **environment: str
) -> tuple[list[str], set[str]]:
    """What is offered at the end of a line, and what was imported for it."""
    words = line.split(" ")
    asked = {
        "COMP_WORDS": line, "COMP_CWORD": str(len(words) - 1) if shell != "fish" else words[-1],
        "_CUREYARD_COMPLETE": f"{shell}_complete",
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=False,
        env={**os.environ, **asked, **environment}, timeout=HANGS_S,
    )  # fmt: skip
    said, _, modules = done.stderr.rpartition("imported:")
    assert said == ""
    return list(filter(None, done.stdout.splitlines())), set(modules.split())


def names(found: list[str]) -> list[str]:
    """The offers themselves."""
    return [line.partition(",")[2] for line in found]


@pytest.mark.parametrize(
    ("line", "offered"),
    [
        ("cureyard ba", ["backup", "batch", "bay"]),
        ("cureyard job cl", ["close"]),
        ("cureyard plan ta", ["tabbing", "taper"]),
        ("cureyard lot list --sta", ["--state"]),
        ("cureyard lot list --state he", ["held"]),
        ("cureyard export lo", ["lots"]),
        ("cureyard --ur", ["--url"]),
    ],
)
def test_what_the_program_itself_has(line: str, offered: list[str]) -> None:
    """Commands, options and words, without asking anybody, or importing what would ask."""
    found, modules = tab(line, program=PROGRAM)
    assert names(found) == offered
    assert modules.isdisjoint({"flask", "peewee", "cureyard_service", "openpyxl"})


@pytest.mark.parametrize(
    ("line", "path", "items", "offered"),
    [
        ("cureyard job close ", "/v1/jobs?limit=200&state=open", JOBS, ["26-014", "26-015"]),
        ("cureyard job reopen ", "/v1/jobs?limit=200&state=closed", JOBS, ["26-014", "26-015"]),
        ("cureyard draw --job 26-015", "/v1/jobs?limit=200&state=open", JOBS, ["26-015"]),
        ("cureyard lot show lam", "/v1/lots?limit=200", LOTS, ["LAM-PE/B-1", "LAM-PE/B-1/2"]),
        ("cureyard mix X 2kg --catalyst-lot ", "/v1/lots?limit=200", LOTS,
         ["LAM-PE/B-1", "LAM-PE/B-1/2"]),
        ("cureyard dose ", "/v1/products?limit=200", [{"code": "LAM-PE", "name": "x"}],
         ["LAM-PE"]),
        ("cureyard bay read ", "/v1/bays?limit=200", [{"code": "SHED", "title": "x"}], ["SHED"]),
        ("cureyard layup show ", "/v1/layups?limit=200", [{"id": 3, "title": "Plies"}], ["3"]),
        ("cureyard batch observe ", "/v1/batches?limit=200", [{"id": 7, "job": "D-7"}], ["7"]),
        ("cureyard layup start D-7 Keel --batch ", "/v1/batches?limit=200",
         [{"id": 7, "job": "D-7"}], ["7"]),
    ],
)  # fmt: skip
def test_what_the_store_has(
    server: Any, line: str, path: str, items: list[Any], offered: list[str]
) -> None:
    """One look at the server, and what begins as typed, in any case."""
    server.answer(server.reply({"items": items, "next": None}))
    found, modules = tab(line, CUREYARD_URL=server.url)
    assert names(found) == offered
    assert [request.path for request in server.requests] == [path]
    assert "cureyard_service" not in modules


@pytest.mark.parametrize("line", ["cureyard job open ", "cureyard lot receive X 1kg --number "])
def test_a_new_number_is_not_offered(server: Any, line: str) -> None:
    """What is being named now is asked of nobody."""
    assert tab(line, CUREYARD_URL=server.url)[0] == []
    assert server.requests == []


OFFERED = [
    ("cureyard job close ", ["plain", "D-8", "Rudder", "plain", "D-7", "Stem"]),
    ("cureyard job reopen ", ["plain", "D-9", "Keel"]),
    ("cureyard dose lam", ["plain", "LAM-PE", "Laminating polyester"]),
    ("cureyard bay read ", ["plain", "SHED", "Laminating shed"]),
    ("cureyard lot show lam", ["plain", "LAM-PE/B-1", "20 kg", "plain", "LAM-PE/B-1/2",
                               "18.5 kg, held"]),
    ("cureyard layup show ", []),
]  # fmt: skip


FILLED = """
job open D-7 --title Stem --craft Teal --structural no
job open D-8 --title Rudder --craft Teal --structural no
job open D-9 --title Keel --craft Teal --structural no
job close D-9
product add LAM-PE --name "Laminating polyester" --role resin --chemistry polyester
lot receive LAM-PE "20 kg" --number B-1 --expires-on 2099-01-01
lot receive LAM-PE "18.5 kg" --number B-1 --container 2 --expires-on 2099-01-01
lot hold LAM-PE/B-1/2 --reason "a dented drum"
bay add SHED --title "Laminating shed" --day "20 degC" --night "14 degC" --day-from 07:00 \
  --day-until 19:00
"""


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[Path]:
    """A store in a file, with a few names in it; nobody has it open."""
    file = tmp_path / "yard.sqlite"
    for line in FILLED.replace("\\\n", "").strip().splitlines():
        done = CliRunner().invoke(program, ["--database", str(file), *shlex.split(line)])
        assert done.exit_code == 0, done.output
    embedded.close()
    yield file
    embedded.close()


@pytest.mark.parametrize("opened", [False, True])
@pytest.mark.parametrize(("line", "offered"), OFFERED)
def test_what_a_file_has(kept: Path, line: str, offered: list[str], opened: bool) -> None:
    """Read from the file alone, in use or not: no service is started and nothing is written."""
    if opened:
        embedded.open_service(Settings(database=str(kept)))
    before = {path.name: path.read_bytes() for path in kept.parent.iterdir()}
    found, modules = tab(line, "zsh", program=PROGRAM, CUREYARD_DATABASE=str(kept))
    assert found == offered
    assert modules.isdisjoint({"flask", "peewee", "numpy", "requests", "cureyard_service.acts"})
    assert {path.name: path.read_bytes() for path in kept.parent.iterdir()} == before


def test_the_file_and_the_server_offer_the_same(kept: Path) -> None:
    """Each name, in the same order, as the lists of the service have them."""
    api = Api(embedded.HERE, transport=embedded.open_service(Settings(database=str(kept))))
    for kind in (stored.JOB, stored.CLOSED_JOB, stored.PRODUCT, stored.BAY, stored.LOT,
                 stored.LAYUP, stored.BATCH):  # fmt: skip
        listed = api.get(kind.path, **kind.query).body["items"]
        there = in_file(Settings(database=f"sqlite:///{kept}"), kind.noun) or []
        assert [name for name, _ in there] == [kind.typed(each)[0] for each in listed]


def test_a_file_of_another_kind(kept: Path, tmp_path: Path) -> None:
    """A store of an older version, or no store: nothing is offered, nothing is changed."""
    with sqlite3.connect(kept) as file:
        file.execute("ALTER TABLE bay RENAME COLUMN title TO name")
    file.close()
    (tmp_path / "diary").write_text("Dear diary")
    before = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    for name in (kept.name, "diary"):
        there = str(tmp_path / name)
        assert tab("cureyard bay read ", program=PROGRAM, CUREYARD_DATABASE=there)[0] == []
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == before


def test_words_beside_it(server: Any) -> None:
    """Shells that show a word beside an offer get it."""
    server.answer(server.reply({"items": LOTS[:1], "next": None}))
    found, _ = tab("cureyard lot show ", "zsh", CUREYARD_URL=server.url)
    assert found == ["plain", "LAM-PE/B-1", "18.5 kg, good"]


def test_trouble_is_silent_and_short(server: Any, tmp_path: Any) -> None:
    """No server, a hung one, a refusal, nonsense, no store: nothing offered, nothing made."""
    line = "cureyard job close "
    assert tab(line, CUREYARD_URL="http://127.0.0.1:9")[0] == []
    for reply in (
        server.refusal(401, "not-authenticated"), server.reply({"items": [{}]}),
        server.reply("x", kind="text/plain"), server.reply({}, hangs=True),
    ):  # fmt: skip
        server.answer(reply)
        assert tab(line, program=PROGRAM, CUREYARD_URL=server.url)[0] == []
    assert tab(line, CUREYARD_DATABASE=str(tmp_path / "none.db"))[0] == []
    assert tab(line, CUREYARD_UNITS="furlongs")[0] == []
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_what_a_shell_reads(shell: str) -> None:
    """A script that asks this program."""
    program = "from cureyard_client.main import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", program, "completion", shell],
        capture_output=True, text=True, check=True, timeout=HANGS_S,
    )  # fmt: skip
    assert f"_CUREYARD_COMPLETE={shell}_complete" in done.stdout
