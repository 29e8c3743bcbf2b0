"""One to ten processes that draw from one PostgreSQL at once, and what the time goes to.

On few cores the processors are the limit. So it is told how much of a core the services and
PostgreSQL take, how many of PostgreSQL's processes wait for a lock or for the disk, and how it is
where the disk takes ten milliseconds, in which the processors have nothing to do.
"""

from __future__ import annotations

import os
import threading
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from statistics import quantiles
from typing import Any

import psycopg
from cureyard_service.store.engine.database import db, open_store
from cureyard_service.store.upkeep.migrate import migrate_forward

from .. import postgres
from ..acts import sample_yard as yard
from .asking import Piped, piped, post
from .harness import Row, Scale

CROWDS = (1, 2, 5, 10)
EACH = 10
"""Lots that a process has for itself, where the lots are different."""
SLOW = {"commit_delay": "10000", "commit_siblings": "0"}
"""PostgreSQL waits so long (µs) before it flushes a commit, as for a disk that turns."""
TICKS = os.sysconf("SC_CLK_TCK")


@dataclass(frozen=True)
class Crowd:
    """Processes at one store."""

    server: postgres.Server
    processes: Sequence[Piped]
    lots: Sequence[int]


def rows(scale: Scale, folder: Path) -> Iterator[Row]:
    """No failures; p99, rate, waits and processor time are told."""
    for disk, settings in (("in memory", {}), ("on a disk of 10 ms", SLOW)):
        with _crowd(settings, scale.n(max(CROWDS), 2)) as crowd:
            for processes in [n for n in CROWDS if n <= len(crowd.processes)]:
                for which in ("one lot", "lots of their own"):
                    yield _row(crowd, processes, which, disk, scale.n(600, 20))


def _row(crowd: Crowd, processes: int, which: str, disk: str, draws: int) -> Row:
    some = crowd.processes[:processes]
    each = max(draws // (2 * processes) + 20, draws // 10)
    own = which != "one lot"
    asked = [
        [_draw(crowd.lots[number * EACH + turn % EACH if own else 0]) for turn in range(each)]
        for number in range(processes)
    ]
    with _watched(crowd, some) as watched:
        began = time.perf_counter()
        for one, wanted in zip(some, asked, strict=True):
            one.send(wanted)
        answers = [answer for one in some for answer in one.receive()]
        took = time.perf_counter() - began
    failed = [answer["text"] for answer in answers if answer["status"] != 201]
    if failed:
        raise RuntimeError(f"{len(failed)} of {len(answers)} failed: {failed[0]}")
    return Row(
        f"{processes} drawing at once, PostgreSQL {disk}, {which}", "told alone", n=len(answers),
        note=f"{len(answers) / took:.0f} draws/s, p99 {_p99(answers):.0f} ms; "
        + watched.told(took, len(answers)),
    )  # fmt: skip


@contextmanager
def _crowd(settings: dict[str, str], processes: int) -> Iterator[Crowd]:
    with postgres.running(**settings) as server, ExitStack() as stack:
        server.does("CREATE DATABASE crowd")
        store = server.url("crowd")
        lots = _stocked(store, processes * EACH)
        some = [stack.enter_context(piped("cureyard", store)) for _ in range(processes)]
        for one in some:  # what is made at a first request is none of the measure
            one.send([_draw(lots[0])])
            one.receive()
        yield Crowd(server, some, lots)


def _stocked(store: str, many: int) -> list[int]:
    migrate_forward(open_store(store))
    yard.set_up()
    lots = [yard.receive("MICROS", "90 kg").id for _ in range(many)]
    db.close()
    return lots


class Watched:
    """What the processors did meanwhile, and what PostgreSQL's processes waited for."""

    def __init__(self) -> None:
        self.looks = 0
        self.waits: Counter[str] = Counter()
        self.service_s = self.postgres_s = 0.0

    def told(self, took: float, draws: int) -> str:
        """In words: shares of a core, milliseconds a draw, processes that wait at one moment."""
        waits = {name: self.waits[name] / max(self.looks, 1) for name in ("Lock", "IO", "LWLock")}
        return (
            f"waiting for a lock {waits['Lock']:.2f}, for the disk {waits['IO']:.2f}, "
            f"within {waits['LWLock']:.2f}; cores: services {self.service_s / took:.2f}, "
            f"PostgreSQL {self.postgres_s / took:.2f}; a draw "
            f"{1000 * self.service_s / draws:.1f} + {1000 * self.postgres_s / draws:.1f} ms of them"
        )


@contextmanager
def _watched(crowd: Crowd, some: Sequence[Piped]) -> Iterator[Watched]:
    watched, over = Watched(), threading.Event()
    sql = """
        SELECT COALESCE(wait_event_type, 'none') FROM pg_stat_activity
        WHERE datname = 'crowd' AND state <> 'idle' AND pid <> pg_backend_pid()
    """

    def look() -> None:
        with psycopg.connect(crowd.server.url("crowd"), autocommit=True) as connection:
            while not over.wait(0.05):
                watched.looks += 1
                watched.waits.update(name for (name,) in connection.execute(sql).fetchall())

    looker = threading.Thread(target=look)
    looker.start()
    services, database = [one.pid for one in some], crowd.server.process.pid
    before = _seconds(services), _seconds(_children(database))
    yield watched
    watched.service_s = _seconds(services) - before[0]
    watched.postgres_s = _seconds(_children(database)) - before[1]
    over.set()
    looker.join()


def _children(parent: int) -> list[int]:
    listed = Path(f"/proc/{parent}/task/{parent}/children").read_text(encoding="ascii")
    return [int(pid) for pid in listed.split()]


def _seconds(pids: Sequence[int]) -> float:
    """Processor time that some processes have had."""
    return sum(_ticks(Path(f"/proc/{pid}/stat")) for pid in pids) / TICKS


def _ticks(stat: Path) -> int:
    user, system = stat.read_text(encoding="ascii").rpartition(")")[2].split()[11:13]
    return int(user) + int(system)


def _draw(lot: int) -> dict[str, Any]:
    body = {"kind": "draw", "lot": lot, "quantity": "1 g", "job": "D-7"}
    return post("/v1/movements", body)


def _p99(answers: Sequence[dict[str, Any]]) -> float:
    return 1000 * quantiles([answer["took"] for answer in answers], n=100)[-1]
