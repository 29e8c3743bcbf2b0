"""The server is killed while eight clients work: what was acknowledged is there, and once.

`KILLS` says how often on each database; `KILLS=50 python -m pytest tests/crash` is the long run.
The machine goes on, so this is no power cut: that what is acknowledged is on the disk rests on the
engines' own words for their settings, which `tests/store` holds (`synchronous`,
`synchronous_commit`).
"""

from __future__ import annotations

import os
import random
import secrets
import signal
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from itertools import count
from pathlib import Path
from typing import Any

import psycopg
import pytest
import requests
from cureyard_service.store.engine.database import opened
from cureyard_service.store.tables import Batch, Lot, Movement, Product, Reading

from .. import makers, postgres
from ..engines import Engine
from ..putting import by_http
from ..waiting import HANGS_S, until
from .served import Client, Server, serving, stock

KILLS = int(os.environ.get("KILLS", "10"))
LOTS, CLIENTS, REPLAYED = 10, 8, 40
DRUM = "1000 kg"

pytestmark = pytest.mark.timeout(600 + 10 * KILLS)


class Crowd:
    """Clients that go on until they are told to stop: they scrap, and now and then mix or read."""

    def __init__(self, url: str, lots: list[int]) -> None:
        self.clients = [Client([url]) for _ in range(CLIENTS)]
        self._lots = lots
        self._over = threading.Event()
        self._raised: list[BaseException] = []
        self._moments = count(int(time.time()) - 10**6)
        self._threads = [threading.Thread(target=self._work, args=(c,)) for c in self.clients]

    def __enter__(self) -> Crowd:
        for thread in self._threads:
            thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._over.set()
        for thread in self._threads:
            thread.join()
        assert not self._raised, self._raised

    def _work(self, client: Client) -> None:
        try:
            while not self._over.is_set():
                status = self._act(client)
                assert status == 201, client.seen[-1]
        except BaseException as error:
            self._raised.append(error)

    def _act(self, client: Client) -> int:
        key, which = secrets.token_hex(8), random.random()
        if which < 0.1:
            return client.does("/v1/batches", makers.pot(amount="100 g"), key).status_code
        if which < 0.2:
            at = datetime.fromtimestamp(next(self._moments), UTC).isoformat()
            body = {"readings": [{"at": at, "temperature": "20 degC"}]}
            return client.does("/v1/bays/SHED/readings", body, key).status_code
        return client.scrap(random.choice(self._lots), random.randint(1, 9))

    @property
    def told(self) -> dict[str, tuple[str, dict[str, Any], str]]:
        """What all were told, by key: path, body, the answer's text."""
        return {key: told for client in self.clients for key, told in client.told.copy().items()}

    @property
    def acknowledged(self) -> dict[str, tuple[int, int, int]]:
        """What all were told of scraps, by key."""
        return {
            key: told for client in self.clients for key, told in client.acknowledged.copy().items()
        }

    @property
    def seen(self) -> list[tuple[int, str]]:
        """Whatever was not 201."""
        return [answer for client in self.clients for answer in client.seen]


def hold(server: Server, crowd: Crowd) -> None:
    """What was acknowledged is there once, nothing else is, and the books and seals hold."""
    told = crowd.acknowledged
    of = Counter(path.rpartition("/")[2] for path, _, _ in crowd.told.values())
    assert len(told) > CLIENTS
    with opened(server.database):
        lines = list(Movement.select().where(Movement.kind == "scrap"))
        kept = {line.reason: (line.lot_id, -line.amount // 1000, line.id) for line in lines}
        assert len(lines) == len(kept), "a movement is there twice"
        assert kept == told
        taken = sum(grams for _, grams, _ in told.values())
        scrapped = Lot.select().join(Product).where(Product.code == "MICROS")
        assert sum(lot.on_hand for lot in scrapped) == LOTS * 10**9 - taken * 1000
        assert Batch.select().count() == of["batches"]
        assert Movement.select().where(Movement.kind == "draw").count() == 2 * of["batches"]
        assert Reading.select().count() == of["readings"]
    server.types("prove")


def replay(server: Server, crowd: Crowd) -> None:
    """A key that comes again gets the answer that it got before; `hold` sees that nothing else is
    done.
    """
    told = crowd.told
    for key in random.sample(sorted(told), min(REPLAYED, len(told))):
        path, body, answer = told[key]
        again = requests.post(
            server.url + path, json=body, headers={"Idempotency-Key": key}, timeout=HANGS_S
        )
        assert (again.status_code, again.text) == (201, answer)


def stocked(server: Server) -> list[int]:
    """A yard with a drum of resin and one of peroxide; the ids of lots to scrap from."""
    drums = [makers.lot("PEROX", DRUM, "P-1"), makers.lot("LAM", DRUM, "B-1")]
    by_http(server.url, **makers.yard(), lots=drums)
    return stock(server.url, LOTS, DRUM)


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


def test_the_server_is_killed(server: Server) -> None:
    """SIGKILL at random moments, and started again; SQLite rolls its log forward by itself."""
    with Crowd(server.url, stocked(server)) as crowd:
        for _ in range(KILLS):
            soon(crowd)
            server.kill()
            server.start()
    assert {status for status, _ in crowd.seen} <= {503}
    replay(server, crowd)
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
        with Crowd(server.url, stocked(server)) as crowd:
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
