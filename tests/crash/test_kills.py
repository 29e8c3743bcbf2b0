"""The server is killed while eight clients draw: what was acknowledged is there, and once.

`KILLS` says how often; `KILLS=200 python -m pytest tests/crash` is the long run. The machine goes
on, so this is no power cut: that what is acknowledged is on the disk rests on the engines' own
words for their settings, which `tests/store` holds (`synchronous`, `synchronous_commit`).
"""

from __future__ import annotations

import os
import random
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg
import pytest
from cureyard_service.store.engine.database import opened
from cureyard_service.store.tables import Lot, Movement

from .. import postgres
from ..engines import Engine
from ..waiting import until
from .served import Client, Server, serving, stock

KILLS = int(os.environ.get("KILLS", "20"))
SHARE = {"sqlite": 0.7, "postgresql": 0.3}
LOTS, CLIENTS = 10, 8

pytestmark = pytest.mark.timeout(600 + 10 * KILLS)


class Crowd:
    """Clients that go on drawing until they are told to stop."""

    def __init__(self, url: str, lots: list[int]) -> None:
        self.clients = [Client([url]) for _ in range(CLIENTS)]
        self._lots = lots
        self._over = threading.Event()
        self._raised: list[BaseException] = []
        self._threads = [threading.Thread(target=self._draw, args=(c,)) for c in self.clients]

    def __enter__(self) -> Crowd:
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        for thread in self._threads:
            thread.join()
        assert not self._raised, self._raised

    def _draw(self, client: Client) -> None:
        try:
            while not self._over.is_set():
                status = client.scrap(random.choice(self._lots), random.randint(1, 9))
                assert status == 201, client.seen[-1]
        except BaseException as error:
            self._raised.append(error)

    @property
    def acknowledged(self) -> dict[str, tuple[int, int, int]]:
        """What all were told, by key."""
        return {
            key: told for client in self.clients for key, told in client.acknowledged.copy().items()
        }

    @property
    def seen(self) -> list[tuple[int, str]]:
        """Whatever was not 201."""
        return [answer for client in self.clients for answer in client.seen]


def hold(server: Server, crowd: Crowd) -> None:
    """Every acknowledged movement is there once, nothing else is, and the books hold."""
    told = crowd.acknowledged
    assert len(told) > CLIENTS
    with opened(server.database):
        lines = list(Movement.select().where(Movement.kind == "scrap"))
        kept = {line.reason: (line.lot_id, -line.amount // 1000, line.id) for line in lines}
        assert len(lines) == len(kept), "a movement is there twice"
        assert kept == told
        taken = sum(grams for _, grams, _ in told.values())
        assert sum(lot.on_hand for lot in Lot.select()) == LOTS * 10**9 - taken * 1000
    server.types("prove")


def soon(crowd: Crowd) -> None:
    """Somewhere in the middle of the work: some more was acknowledged, and then a moment."""
    enough = len(crowd.acknowledged) + random.randint(1, 2 * CLIENTS)
    until(lambda: len(crowd.acknowledged) >= enough, "the next acknowledgement")
    time.sleep(random.uniform(0, 0.02))


@pytest.fixture
def server(engine: Engine, tmp_path: Path) -> Iterator[Server]:
    """A server on a new store."""
    with serving(engine.empty(), tmp_path) as server:
        yield server


def test_the_server_is_killed(server: Server, engine: Engine) -> None:
    """SIGKILL at random moments, and started again; SQLite rolls its log forward by itself."""
    times = round(KILLS * SHARE[engine.name])
    with Crowd(server.url, stock(server.url, LOTS, "1000 kg")) as crowd:
        for _ in range(times):
            soon(crowd)
            server.kill()
            server.start()
    assert {status for status, _ in crowd.seen} <= {503}
    server.stop()
    hold(server, crowd)


def terminated(own: postgres.Server, name: str) -> None:
    """Every connection of the store is ended by an administrator."""
    own.does(f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{name}'")


def killed(own: postgres.Server, name: str) -> None:
    """One process of the database dies; its others end too, and it recovers from its log."""
    pids = own.does(f"SELECT pid FROM pg_stat_activity WHERE datname = '{name}'")
    for (pid,) in pids[:1]:
        os.kill(pid, signal.SIGKILL)


@pytest.mark.parametrize("end", [terminated, killed])
def test_the_database_breaks_off(
    end: Callable[[postgres.Server, str], None], tmp_path: Path
) -> None:
    """PostgreSQL's own processes end under the service, which goes on with those that come."""
    with postgres.running(fsync="off") as own, _yard(own, tmp_path) as server:
        with Crowd(server.url, stock(server.url, LOTS, "1000 kg")) as crowd:
            for _ in range(max(1, KILLS // 4)):
                soon(crowd)
                _up(own)
                end(own, "yard")
        said = server.stop()
        assert "Traceback" not in said
        assert {status for status, _ in crowd.seen} <= {503}
        _up(own)
        hold(server, crowd)


@contextmanager
def _yard(own: postgres.Server, home: Path) -> Iterator[Server]:
    own.does("CREATE DATABASE yard")
    with serving(own.url("yard"), home) as server:
        yield server


def _up(own: postgres.Server) -> None:
    while True:
        try:
            own.does("SELECT 1")
            return
        except psycopg.OperationalError:
            time.sleep(0.02)
