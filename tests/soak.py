"""100,000 requests to one server, which stands still from the 20,000th on: `python -m tests.soak`.

Until then threads, caches and connections fill up. After that nothing may grow: not memory, open
files, threads or connections, not the store's log nor files beside it, not the time that a request
takes. That is measured by turns with a file of the service, which rests on nothing: so a busy
machine slows both. Whatever grew is told, and the program fails.
"""

from __future__ import annotations

import json
import os
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from statistics import median

import click

from . import postgres
from .acts.sample_yard import NOW
from .bench import draws, stores
from .bench.asking import Kept, Request, get, kept, moment, post

FULL_FROM = 0.2
"""The share of all requests after which nothing may grow."""
TIMES = {"memory, KiB": 1.05, "latency": 1.25}
"""What may be so many times what it was: allocators and machines breathe. The rest may not."""
FILE = get("/static/yard.css")
DOSE = {"resin": "LAM", "amount": "1 kg", "temperature": "20 degC", "catalyst_percent": 2}
UNTIMED = {"file", "trial", "ledger"}
"""What the others are held to; a trial, which copies the store, and the whole ledger: they grow."""
OLD_LOTS, OLD_LINES = 1000, 20
"""Rows from before. Each thread keeps 2 MB of the store's pages (SQLite's own cache): who exports
the ledger fills it at once, so that all are full in time."""
REFUSED = ("refusal", "nothing")
READ_EVERY_S = 2000
"""The more often a bay is read, the longer its log has to grow until its last 30 days are full."""
FEW = "product,number,quantity\nLAM,T-1,5 kg\nLAM,T-2,5 kg\n"


@dataclass
class Seen:
    """What was measured: after how many requests, what; and how long each request took, s."""

    sizes: list[tuple[int, dict[str, int]]] = field(default_factory=list)
    took: list[tuple[int, str, float]] = field(default_factory=list)


@click.command()
@click.option("--requests", default=100_000, show_default=True, help="How many.")
@click.option("--postgresql", is_flag=True, help="On PostgreSQL, which is started for it.")
@click.option("--json", "file", type=click.Path(path_type=Path), help="Write the sizes here too.")
def main(requests: int, postgresql: bool, file: Path | None) -> None:
    """Ask, say what a server holds at the end of each tenth, and fail if anything grew."""
    seen, began = Seen(), time.monotonic()
    with _served(postgresql) as (service, sizes):
        for number in range(requests):
            seen.took.append((number, *_asked(service, number)))
            if (number + 1) % max(requests // 100, 1) == 0:
                seen.sizes.append((number + 1, sizes()))
            if (number + 1) % max(requests // 10, 1) == 0:
                click.echo(_told(seen, number + 1))
    if file is not None:
        file.write_text(json.dumps(seen.sizes) + "\n")
    found = grown(seen, requests)
    for sentence in found:
        click.echo(f"GREW  {sentence}")
    whole = "something grew" if found else "nothing grew"
    click.echo(f"{requests:,} requests in {time.monotonic() - began:.0f} s: {whole}")
    sys.exit(bool(found))


def grown(seen: Seen, requests: int) -> list[str]:
    """What is more in the last tenth than when the server was full, in a sentence each."""
    full, last = int(requests * FULL_FROM), int(requests * 0.9)
    told = []
    for name in seen.sizes[0][1]:
        before = [each[name] for at, each in seen.sizes if at <= full]
        after = [each[name] for at, each in seen.sizes if at > last]
        is_memory = name in TIMES
        was, now = (before[-1], median(after)) if is_memory else (max(before), max(after))
        if now > was * TIMES.get(name, 1):
            told.append(f"{name}: {was:,} after {full:,} requests, {now:,} at the end")
    for kind in sorted({kind for _, kind, _ in seen.took} - UNTIMED):
        was = _ratio(seen, kind, full // 2, full)
        now = _ratio(seen, kind, last, requests)
        if now > was * TIMES["latency"]:
            told.append(f"time of {kind}: {was:.1f} times that of a file, then {now:.1f}")
    return told


def _ratio(seen: Seen, kind: str, first: int, until: int) -> float:
    """How long a request of a kind takes, in times of a file that is asked for meanwhile."""
    own = median(took for at, which, took in seen.took if which == kind and first <= at < until)
    file = median(took for at, which, took in seen.took if which == "file" and first <= at < until)
    return own / file


def _told(seen: Seen, until: int) -> str:
    tenth = [each for each in seen.took if each[0] >= until - max(len(seen.took) // 10, 1)]
    by_kind = defaultdict(list)
    for _, kind, took in tenth:
        by_kind[kind].append(took)
    times = ", ".join(f"{kind} {1000 * median(by_kind[kind]):.1f}" for kind in sorted(by_kind))
    sizes = ", ".join(f"{name} {size:,}" for name, size in seen.sizes[-1][1].items())
    return f"{until:>8,}  {sizes}; ms: {times}"


def _asked(service: Kept, number: int) -> tuple[str, float]:
    """One request, by turns of all kinds; its kind, and the seconds that it took."""
    kind, request = _request(number)
    return kind, service.ask(request, well=kind not in REFUSED)


def _request(number: int) -> tuple[str, Request]:
    turn = number // 10
    match number % 10:
        case 0 | 1:
            return "draw", draws.draw()
        case 2:
            return "dose", post("/v1/doses", DOSE)
        case 3:
            told = {"at": moment(NOW - turn * READ_EVERY_S), "temperature": f"{18 + turn % 5} degC"}
            return "reading", post("/v1/bays/TENT/readings", {"readings": [told]})
        case 4:
            return "movements", get("/v1/movements?limit=5")
        case 5:
            return "lot", get("/v1/lots/1")
        case 6:
            return "job", get("/v1/jobs/D-7")
        case 7:
            return "file", FILE
        case 8:
            yard = {0: ("now", get("/v1/now")), 1: ("wall", get("/"))}
            return yard.get(turn % 5, ("yard", get("/v1/yard")))
        case _:
            return _seldom(turn)


def _seldom(turn: int) -> tuple[str, Request]:
    """What is refused, tried, exported or is not there."""
    match turn % 5:
        case 0:
            return "refusal", post("/v1/movements", {"kind": "draw", "quantity": "1 furlong"})
        case 1:
            return "nothing", get("/v1/lots/999999")
        case 2 if turn % 50 == 2:
            return "ledger", get("/v1/exports/movements")
        case 2:
            return "export", get("/v1/exports/products")
        case 3 if turn % 100 == 3:
            return "trial", post("/v1/imports/lots?dry_run=true", FEW, table=True)
        case _:
            return "product", get("/v1/products/LAM")


@contextmanager
def _served(postgresql: bool) -> Iterator[tuple[Kept, Callable[[], dict[str, int]]]]:
    """A server on a yard with a few layups in cure, and what it holds."""
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory(prefix="cureyard-soak-")))
        temporary = folder / "tmp"
        temporary.mkdir()
        os.environ["TMPDIR"] = str(temporary)  # of the server, and of nobody else
        store = str(folder / "yard.sqlite")
        server = None
        if postgresql:
            server = stack.enter_context(postgres.running())
            server.does("CREATE DATABASE soak")
            store = server.url("soak")
        stores.new(store)
        stores.add_cures(store, 3)
        if server is None:
            stores.add_lots(store, OLD_LOTS, OLD_LINES, stocked="0")
        service = stack.enter_context(kept("cureyard", store))

        def sizes() -> dict[str, int]:
            process = Path(f"/proc/{service.pid}")
            resident = (process / "status").read_text().partition("VmRSS:")[2].split()[0]
            found = {
                "memory, KiB": int(resident),
                "open files": len(list((process / "fd").iterdir())),
                "threads": len(list((process / "task").iterdir())),
                "temporary files": len(list(temporary.iterdir())),
            }
            if server is None:
                beside = [file for file in folder.iterdir() if file.is_file()]
                found["files of the store"] = len(beside)
                found["log, bytes"] = sum(
                    file.stat().st_size for file in beside if file.name.endswith(("-wal", "-shm"))
                )
            else:
                found |= _of_postgresql(server)
            return found

        yield service, sizes


def _of_postgresql(server: postgres.Server) -> dict[str, int]:
    """Connections, those that left a transaction open, and locks that they hold."""
    (row,) = server.does(
        "SELECT COUNT(*), COUNT(*) FILTER (WHERE state LIKE 'idle in%'), "
        "(SELECT COUNT(*) FROM pg_locks l JOIN pg_database d ON d.oid = l.database "
        "WHERE d.datname = 'soak') FROM pg_stat_activity WHERE datname = 'soak'"
    )
    return dict(zip(("connections", "open transactions", "locks"), map(int, row), strict=True))


if __name__ == "__main__":
    main()
