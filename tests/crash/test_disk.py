"""No room, no file, another's file: it is said in words, nothing is harmed, and work goes on after.

A small disk is a memory file system, which only root may mount; everybody can limit how long a
file may get.
"""

from __future__ import annotations

import os
import secrets
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import requests
from cureyard_service.store.engine.database import opened
from cureyard_service.store.tables import Lot, Movement

from .. import postgres
from ..waiting import HANGS_S
from .served import Server, serving, stock

MOST = 2000
"""Draws that fill any room that these tests leave."""


@contextmanager
def small_disk(megabytes: int) -> Iterator[Path]:
    """A file system of its own, or a skip where this is not root's machine."""
    folder = Path(tempfile.mkdtemp(prefix="cureyard-disk-"))
    options = f"size={megabytes}m,mode=0777"
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", options, "tmpfs", folder], capture_output=True
    )
    if mounted.returncode:
        folder.rmdir()
        pytest.skip("this user may not mount a small disk")
    try:
        yield folder
    finally:
        subprocess.run(["umount", folder], check=True)
        folder.rmdir()


def fill(disk: Path) -> Path:
    """Take all the room that is left."""
    ballast = disk / "ballast"
    with ballast.open("wb", buffering=0) as file:
        for size in (65536, 4096):
            try:
                while True:
                    file.write(b"x" * size)
            except OSError:
                pass
    return ballast


def scrap(server: Server, lot: int, key: str) -> requests.Response:
    """A gram away."""
    body = {"kind": "scrap", "lot": lot, "quantity": "1 g", "reason": key}
    return requests.post(
        f"{server.url}/v1/movements", json=body, headers={"Idempotency-Key": key}, timeout=HANGS_S
    )


def until_refused(server: Server, lot: int) -> tuple[int, str, dict[str, Any]]:
    """Draw until it does not fit: how often it did, the last key, and what was said."""
    for number in range(MOST):
        key = secrets.token_hex(8)
        answer = scrap(server, lot, key)
        if answer.status_code != 201:
            assert answer.headers["Content-Type"] == "application/problem+json"
            return number, key, answer.json()
    raise AssertionError("it never ran out of room")


def goes_on(server: Server, lot: int, drawn: int, key: str) -> None:
    """What was refused is done with its key; all that was acknowledged is there, and it proves."""
    assert scrap(server, lot, key).status_code == 201
    server.stop()
    with opened(server.database):
        assert Movement.select().where(Movement.kind == "scrap").count() == drawn + 1
        assert Lot.get_by_id(lot).on_hand == 10**9 - (drawn + 1) * 1000
    server.types("prove")


def test_a_full_disk_under_a_file(tmp_path: Path) -> None:
    """507 with words; reading goes on; and with room again the same request is done."""
    with small_disk(2) as disk, serving(str(disk / "yard.sqlite"), tmp_path) as server:
        (lot,) = stock(server.url, 1, "1000 kg")
        ballast = fill(disk)
        drawn, key, problem = until_refused(server, lot)
        assert (problem["status"], problem["changed"]) == (507, False)
        assert problem["type"].endswith("/problems/store-full")
        assert "disk" in problem["advice"]
        assert requests.get(f"{server.url}/v1/lots", timeout=HANGS_S).status_code == 200
        ballast.unlink()
        goes_on(server, lot, drawn, key)


def test_a_full_disk_under_postgresql(tmp_path: Path) -> None:
    """The same words: its tables are on a disk of their own, which fills up."""
    with small_disk(24) as disk, postgres.running(**postgres.QUICK) as own:
        (disk / "tables").mkdir(mode=0o777)
        if os.geteuid() == 0:
            os.chown(disk / "tables", own.folder.stat().st_uid, -1)
        own.does(
            f"CREATE TABLESPACE small LOCATION '{disk / 'tables'}'",
            "CREATE DATABASE yard TABLESPACE small",
        )
        with serving(own.url("yard"), tmp_path) as server:
            (lot,) = stock(server.url, 1, "1000 kg")
            ballast = fill(disk)
            drawn, key, problem = until_refused(server, lot)
            assert (problem["status"], problem["changed"]) == (507, False)
            assert requests.get(f"{server.url}/v1/lots", timeout=HANGS_S).status_code == 200
            ballast.unlink()
            goes_on(server, lot, drawn, key)


READS = (("now",), ("lot", "list"), ("prove",), ("export", "lots", "-"), ("trace", "LADLE/B-1"))


def a_store(disk: Path, tmp_path: Path) -> Server:
    """A store that commands open themselves, with a lot in it, and nothing beside it."""
    server = Server(str(disk / "yard.sqlite"), tmp_path)
    server.types("product", "add", "LADLE", "--name", "Ladle", "--role", "sundry")
    server.types("lot", "receive", "LADLE", "10 piece", "--number", "B-1")
    assert not (disk / "yard.sqlite-wal").exists()
    return server


def test_a_full_disk_under_a_command(tmp_path: Path) -> None:
    """It reads, proves and backs up elsewhere; a write is refused in words, and later done."""
    with small_disk(4) as disk:
        server = a_store(disk, tmp_path)
        ballast = fill(disk)
        for command in READS:
            server.types(*command)
        assert "LADLE" in server.types("product", "list")
        server.types("backup", str(tmp_path / "yard.backup"))
        said = server.types("lot", "open", "B-1", exits=4)
        assert "no room left on the store's disk" in said
        assert "Nothing was changed." in said
        assert "Free some space" in said
        here = server.types("backup", str(disk / "yard.backup"), exits=2)
        assert "Make room on its disk." in here
        ballast.unlink()
        server.types("lot", "open", "B-1")
        whole = Server(str(tmp_path / "yard.backup"), tmp_path)
        assert "LADLE" in whole.types("lot", "list")


def test_a_read_only_disk_under_a_command(tmp_path: Path) -> None:
    """The same, and the words say that nothing may be written there."""
    with small_disk(4) as disk:
        server = a_store(disk, tmp_path)
        subprocess.run(["mount", "-o", "remount,ro", disk], check=True)
        for command in READS:
            server.types(*command)
        server.types("backup", str(tmp_path / "yard.backup"))
        said = server.types("lot", "open", "B-1", exits=3)
        assert "may not be written to" in said
        assert "Nothing was changed." in said
        subprocess.run(["mount", "-o", "remount,rw", disk], check=True)
        server.types("lot", "open", "B-1")
        assert "LADLE" in Server(str(tmp_path / "yard.backup"), tmp_path).types("lot", "list")


def test_a_log_on_a_read_only_disk_is_not_passed_over(tmp_path: Path) -> None:
    """Entries that are in the log alone would be missing without a word."""
    with small_disk(4) as disk:
        server = a_store(disk, tmp_path)
        (disk / "yard.sqlite-wal").write_bytes(b"entries")
        subprocess.run(["mount", "-o", "remount,ro", disk], check=True)
        said = server.types("lot", "list", exits=3)
        assert "yard.sqlite-wal" in said
        assert "Copy both files" in said


def test_a_file_that_may_not_grow(tmp_path: Path) -> None:
    """The system refuses to write more of the file: 503 with words, and the store opens clean."""
    with serving(str(tmp_path / "yard.sqlite"), tmp_path, "ulimit -f 4000;") as server:
        (lot,) = stock(server.url, 1, "1000 kg")
        drawn, key, problem = until_refused(server, lot)
        assert problem["status"] in (503, 507)
        assert problem["changed"] is False
        assert problem["advice"]
        server.kill()
        server.limit = ""
        server.start()
        goes_on(server, lot, drawn, key)


@pytest.mark.parametrize("command", [("now",), ("serve", "--port", "0"), ("prove",)])
@pytest.mark.parametrize(
    ("content", "words"),
    [(b"Dear diary,\n", "not a store of this program"), (None, "is cut off")],
    ids=["foreign", "torn"],
)
def test_another_file_in_the_stores_place(
    tmp_path: Path, command: tuple[str, ...], content: bytes | None, words: str
) -> None:
    """The program says so, exits 3, and leaves the file as it is."""
    file = tmp_path / "yard.sqlite"
    server = Server(str(file), tmp_path)
    if content is None:
        server.types("product", "list")
        content = file.read_bytes()[:20_000]
    file.write_bytes(content)
    said = server.types(*command, exits=3)
    assert words in said
    assert file.read_bytes() == content
