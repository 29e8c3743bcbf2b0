"""`cureyard import` and `export`: what is asked of the service, and what a person is told."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from cureyard_client.rendering import imports
from cureyard_client.rendering.columns import View

from ..waiting import HANGS_S
from .at_server import typed

TOLD = {"added": 14, "known": 2, "notes": ["Not used: #."], "new": [f"P{n} p" for n in range(14)]}
LINE = [sys.executable, "-c", "from cureyard_client.main import main; main()"]


@pytest.fixture
def file(tmp_path: Path) -> str:
    """A table on disk."""
    path = tmp_path / "p.csv"
    path.write_text("code,name,role\nP1,p,sundry\n", encoding="utf-8")
    return str(path)


def test_a_trial(server: Any, file: str) -> None:
    """Without --yes it is only tried; what would be added is data, the advice is not."""
    server.answer(server.reply(TOLD))
    done = typed(server, "import", "products", file)
    assert done.exit_code == 0
    (request,) = server.requests
    assert request.path == "/v1/imports/products?dry_run=true"
    assert request.headers["Content-Type"] == "text/csv"
    assert request.body == Path(file).read_bytes()
    assert done.stdout.splitlines()[:4] == [
        "would add      14", "there already  2", "", "+ P0 p",
    ]  # fmt: skip
    assert "and 2 more" in done.stdout
    assert "Not used: #." in done.stdout
    assert "With --yes it is done." in done.stderr


def test_followed_lines_say_what_is_not_believed() -> None:
    """A probe whose wire is off: its readings are kept, and the count says that none counts."""
    view = View(80, datetime(2026, 3, 4, tzinfo=UTC))
    told = {"added": 23, "known": 0, "notes": [], "new": [], "doubted": 20}
    assert imports.followed(told, view) == ["23 added; 20 not believed yet"]
    assert imports.followed(told | {"doubted": 0, "known": 2}, view) == [
        "23 added, 2 there already"
    ]


def test_it_is_done(server: Any, file: str) -> None:
    """With --yes it is one request; the counts, and what was taken for what, are the answer."""
    server.answer(server.reply(TOLD))
    done = typed(server, "import", "lots", file, "--yes", "--dates", "dmy")
    (request,) = server.requests
    assert request.path == "/v1/imports/lots?dates=dmy"
    assert done.stdout.splitlines() == [
        "added          14", "there already  2", "", "  Not used: #.",
    ]  # fmt: skip
    assert done.stderr == ""


def test_there_is_nothing_to_add(server: Any, file: str) -> None:
    """Then nobody is asked."""
    server.answer(server.reply({**TOLD, "added": 0, "new": []}))
    done = typed(server, "import", "readings", file, "--bay", "SHED", "--zone", "UTC")
    assert server.requests[0].path == "/v1/imports/readings/SHED?dry_run=true&zone=UTC"
    assert "nothing to add" in done.stderr


def test_a_fault_by_row_and_column(server: Any, file: str) -> None:
    """As the service words it, each on its line; exit 2."""
    errors = [{"pointer": "/row 7/on hand", "slug": "unit-missing", "detail": "No unit."}]
    server.answer(server.refusal(422, "validation", {"errors": errors}))
    done = typed(server, "import", "products", file)
    assert done.exit_code == 2
    assert "  row 7, on hand: No unit." in done.stderr
    assert "Nothing was changed." in done.stderr


@pytest.mark.parametrize(("key", "requests"), [(b"y\n", 2), (b"n\n", 1), (b"\n", 1)])
def test_a_person_is_asked(server: Any, file: str, key: bytes, requests: int) -> None:
    """On a terminal a yes does it; anything else does not."""
    server.answer(server.reply(TOLD))
    here, there = pty.openpty()
    with subprocess.Popen(
        [*LINE, "--url", server.url, "import", "products", file],
        stdin=there, stderr=there, stdout=subprocess.PIPE,
    ) as process:  # fmt: skip
        os.close(there)
        os.write(here, key)
        out, _ = process.communicate(timeout=HANGS_S)
    os.close(here)
    assert len(server.requests) == requests
    assert (b"added" in out) == (requests == 2)


@pytest.mark.parametrize(
    "line",
    [
        ["import", "readings", "{file}"],
        ["import", "lots", "{file}", "--bay", "SHED"],
        ["import", "movements", "{file}"],
        ["import", "lots", "missing.csv"],
        ["import", "lots", "{file}", "--sheet", "x"],
        ["export", "readings", "{new}.csv"],
        ["export", "lots", "{new}.csv", "--job", "D-7"],
        ["export", "lots", "{new}.ods"],
        ["export", "lots", "{file}"],
        ["export", "lots", "/nowhere/at/all.csv"],
    ],
)
def test_wrong_usage(server: Any, file: str, line: list[str]) -> None:
    """Exit 2 in words, and no file is touched."""
    server.answer(server.reply("a,b\r\n", kind="text/csv"))
    before = Path(file).read_bytes()
    done = typed(server, *(part.format(file=file, new=file + "x") for part in line))
    assert done.exit_code == 2, done.output
    assert Path(file).read_bytes() == before


def test_export_writes_a_file(server: Any, tmp_path: Path) -> None:
    """CSV as it came, mark included; on stdout without it; and --force writes over."""
    server.answer(server.reply("\ufeffnumber\r\n1\r\n", kind="text/csv; charset=utf-8"))
    path = tmp_path / "lots.csv"
    done = typed(server, "export", "lots", str(path))
    assert done.stdout == f"{path}: 1 rows\n"
    assert path.read_bytes() == "\ufeffnumber\r\n1\r\n".encode()
    assert typed(server, "export", "lots", str(path), "--force").exit_code == 0
    assert typed(server, "export", "lots", "-").stdout.splitlines() == ["number", "1"]
    assert typed(server, "export", "lots", str(path)).exit_code == 2


def test_a_table_that_breaks_off_leaves_no_file(server: Any, tmp_path: Path) -> None:
    """Half a table would look like a whole one; one that is there stays as it was."""
    path = tmp_path / "lots.csv"
    path.write_text("mine", encoding="utf-8")
    for target in (path, tmp_path / "lots.xlsx"):
        server.answer(server.reply("number\r\n1\r\n", kind="text/csv", short=True))
        done = typed(server, "export", "lots", str(target), "--force")
        assert done.exit_code == 3, done.output
        assert "broke off in the middle" in done.stderr
    assert [(each.name, each.read_text()) for each in tmp_path.iterdir()] == [("lots.csv", "mine")]


def test_export_of_some(server: Any) -> None:
    """A lot is named as everywhere; its id is what is asked for."""
    server.answer(server.reply("id\r\n", kind="text/csv"))
    typed(server, "export", "movements", "-", "--lot", "id:7", "--job", "D-7")
    assert server.requests[-1].path == "/v1/exports/movements?job=D-7&lot=7"
