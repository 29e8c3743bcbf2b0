"""32 clients of two servers on one store draw the same ten lots empty.

Nothing goes below zero, what was told is what is gone, nobody waits without end, and nobody is
shown the words of a database.

OWASP API Security Top 10 (2023): API6 unrestricted access to sensitive business flows (whoever
asks fastest gets no gram twice), API4 unrestricted resource consumption.
"""

from __future__ import annotations

import os
import random
import secrets
import time
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from functools import partial
from itertools import count
from typing import Any

import pytest
import requests
from cureyard_service.store.engine.database import opened
from cureyard_service.store.tables import Batch, Lot, Movement

from .. import makers
from ..bare import holding
from ..engines import Engine
from ..putting import by_http
from ..waiting import HANGS_S
from .served import Client, Server, at_once, stock

CLIENTS, LOTS, GRAMS = 32, 10, 120
ACTS = int(os.environ.get("ACTS", "15"))
"""Of each hand at all the acts of a day."""
ENGINES_WORDS = ("locked", "sqlite", "psycopg", "postgres", "transaction", "Traceback")


@pytest.fixture(scope="module")
def servers(engine: Engine, tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[Server]]:
    """Two of them, started on a store that is not there yet, at the same moment.

    Each test has products of its own; in the end the books of all hold, and no server failed.
    """
    database, home = engine.empty(), tmp_path_factory.mktemp("home")
    both = [Server(database, home).start(wait=False) for _ in range(2)]
    try:
        yield [server.wait() for server in both]
        for server in both:
            assert "Traceback" not in server.stop()
        both[0].types("prove")
    finally:
        for server in both:
            server.end()


def test_two_that_start_at_once_find_the_store_made_once(servers: list[Server]) -> None:
    """Neither stands in the other's way: both are ready, and on the same yard."""
    answers = [requests.get(f"{server.url}/readyz", timeout=HANGS_S).json() for server in servers]
    assert answers == [{"state": "ready"}] * 2
    yards = [requests.get(f"{server.url}/v1/yard", timeout=HANGS_S).json() for server in servers]
    assert yards[0] == yards[1]


def test_a_crowd_draws_ten_lots_empty(servers: list[Server]) -> None:
    """Every gram is drawn once, and the last to come are refused."""
    urls = [server.url for server in servers]
    lots = stock(urls[0], LOTS, f"{GRAMS} g")
    clients = [Client([urls[i % 2], urls[(i + 1) % 2]]) for i in range(CLIENTS)]
    at_once([partial(draw_until_short, client, lots) for client in clients])
    for lot in lots:
        while clients[0].scrap(lot, 1) == 201:  # the last grams that were too few for a hand
            pass

    told = {key: took for client in clients for key, took in client.acknowledged.items()}
    taken: Counter[int] = Counter()
    for lot, grams, _ in told.values():
        taken[lot] += grams
    with opened(servers[0].database):
        assert {lot.id: lot.on_hand for lot in Lot.select().where(Lot.id.in_(lots))} == {
            lot: (GRAMS - taken[lot]) * 1000 for lot in lots
        }
        scraps = Movement.select().where(Movement.kind == "scrap", Movement.lot.in_(lots))
        assert scraps.count() == len(told)
        assert not Movement.select().where(Movement.on_hand < 0).exists()
    assert sum(taken.values()) == LOTS * GRAMS
    seen = [answer for client in clients for answer in client.seen]
    assert {status for status, _ in seen} <= {409, 503}
    assert any(status == 409 for status, _ in seen)
    for _, words in seen:
        assert not [word for word in ENGINES_WORDS if word in words], words


def draw_until_short(client: Client, lots: list[int]) -> None:
    """Take a few grams here and there, from each lot until it has less than is wanted."""
    left = list(lots)
    while left:
        lot = random.choice(left)
        if client.scrap(lot, random.randint(1, 9)) == 409:
            left.remove(lot)


def post(server: Server, path: str, body: dict[str, Any]) -> requests.Response:
    """One thing, asked of one server with a key of its own."""
    key = {"Idempotency-Key": secrets.token_hex(8)}
    return requests.post(server.url + path, json=body, headers=key, timeout=HANGS_S)


def mix(server: Server, answers: list[requests.Response]) -> None:
    """Mix a pot, and keep what was answered."""
    answers.append(post(server, "/v1/batches", makers.pot()))


def test_two_pots_never_take_the_same_last_kilogram(servers: list[Server]) -> None:
    """Of two hands at two servers one gets it, and nothing of the other's pot is kept."""
    by_http(servers[0].url, **makers.yard(), lots=[makers.lot("PEROX", "1 kg", "P-1")])
    for number in range(8):
        by_http(servers[0].url, lots=[makers.lot("LAM", "1 kg", f"B-{number}")])
        answers: list[requests.Response] = []
        at_once([partial(mix, server, answers) for server in servers])
        assert sorted(answer.status_code for answer in answers) == [201, 409], answers[0].text
    with opened(servers[0].database):
        assert Batch.select().count() == 8
        resin = Lot.select().where(Lot.number.startswith("B-"))
        assert [lot.on_hand for lot in resin] == [0] * 8


FILLERS = ["TALC", "CHALK"]


class Hand:
    """Somebody at a day's acts: whatever comes next, at either server.

    Args:
        stocked: ids of lots. moments: of readings, each once.
    """

    def __init__(self, urls: list[str], stocked: list[int], moments: Iterator[int]) -> None:
        self.client = Client(urls)
        self.lots, self.moments = stocked, moments
        self.job = random.choice(["E-1", "E-2"])
        self.pots: list[int] = []
        self.lines: list[int] = []

    def work(self, acts: int) -> None:
        """Do some acts; each is done, or refused for a reason of the yard."""
        for _ in range(acts):
            path, body = random.choice(
                [self.draws, self.moves, self.undoes, self.mixes, self.lays, self.reads, self.plans]
            )()
            answer = self.client.does(f"/v1/{path}", body, secrets.token_hex(8))
            assert answer.status_code in (201, 409, 422), answer.text
            if answer.status_code == 201:
                self.pots += [answer.json()["id"]] if path == "batches" else []
                self.lines += [line["id"] for line in answer.json().get("movements", [])]

    def draws(self) -> tuple[str, dict[str, Any]]:
        """Of whichever lot is out of date first."""
        product = random.choice([*FILLERS, "LAM-E"])
        return "movements", makers.draw(product, f"{random.randint(1, 90)} g", job=self.job)

    def moves(self) -> tuple[str, dict[str, Any]]:
        """A scrap, a count or a return."""
        lot = {"lot": random.choice(self.lots), "quantity": f"{random.randint(1, 90)} g"}
        return "movements", random.choice(
            [
                {"kind": "scrap", "reason": "wet", **lot},
                {"kind": "count", **lot, "quantity": f"{random.randint(400, 600)} g"},
                {"kind": "return", "job": self.job, **lot},
            ]
        )

    def undoes(self) -> tuple[str, dict[str, Any]]:
        """Some of its lines, in any order."""
        some = random.sample(self.lines, min(2, len(self.lines))) or [1]
        return "movements", {"kind": "reversal", "reason": "a slip", "reverses_all": some}

    def mixes(self) -> tuple[str, dict[str, Any]]:
        """A pot with both fillers, in any order."""
        both = [{"product": code, "quantity": "2 g"} for code in random.sample(FILLERS, 2)]
        return "batches", makers.pot("LAM-E", "20 g", job=self.job, fillers=both)

    def lays(self) -> tuple[str, dict[str, Any]]:
        """What it mixed, or that it never did."""
        if not self.pots:
            return self.mixes()
        pot = self.pots.pop()
        if random.random() < 0.5:
            return f"batches/{pot}/observations", {"kind": "not_mixed"}
        return "layups", makers.layup(pot, job=self.job, bay="HALL")

    def reads(self) -> tuple[str, dict[str, Any]]:
        """A thermometer."""
        at = datetime.fromtimestamp(next(self.moments), UTC).isoformat()
        return "bays/HALL/readings", {"readings": [{"at": at, "temperature": "20 degC"}]}

    def plans(self) -> tuple[str, dict[str, Any]]:
        """What is rare, and has the yard alone: a need of either job."""
        need = {"product": random.choice(FILLERS), "quantity": f"{random.randint(1, 400)} g"}
        return f"jobs/{random.choice(['E-1', 'E-2'])}/needs", {"needs": [need]}


def test_a_crowd_at_all_the_acts_of_a_day(servers: list[Server]) -> None:
    """Acts beside each other and rare ones between them: no fault, and the books hold after it."""
    urls = [server.url for server in servers]
    by_http(
        urls[0],
        products=[
            makers.catalyst("PEROX-E"),
            makers.resin("LAM-E", cure=makers.sheet("PEROX-E")),
            *(makers.product(code, "filler") for code in FILLERS),
        ],
        bays=[makers.bay("HALL")],
        jobs=[makers.job("E-1"), makers.job("E-2")],
    )
    codes = ["PEROX-E", "LAM-E", "LAM-E", *FILLERS, *FILLERS]
    bodies = [makers.lot(code, "600 g", f"E-{number}") for number, code in enumerate(codes)]
    lots = [int(lot["id"]) for lot in by_http(urls[0], lots=bodies)]
    moments = count(int(time.time()) - 10**6)
    hands = [Hand([urls[i % 2], urls[(i + 1) % 2]], lots, moments) for i in range(12)]
    at_once([partial(hand.work, ACTS) for hand in hands])
    for _, words in [answer for hand in hands for answer in hand.client.seen]:
        assert not [word for word in ENGINES_WORDS if word in words], words
    done = Counter(path for hand in hands for path, _, _ in hand.client.told.values())
    assert {"/v1/movements", "/v1/batches", "/v1/bays/HALL/readings"} <= set(done)


def test_of_two_changes_the_later_is_told(servers: list[Server]) -> None:
    """Both saw the same version: one is kept, the other hears 412 and overwrites nothing."""
    by_http(servers[0].url, products=[makers.catalyst("PEROX-9")])
    where = "/v1/products/PEROX-9"
    for _ in range(8):
        seen = requests.get(servers[0].url + where, timeout=HANGS_S).headers["ETag"]
        answers: dict[str, int] = {}

        def change(server: Server, seen: str = seen, answers: dict[str, int] = answers) -> None:
            name = secrets.token_hex(4)
            answers[name] = requests.patch(
                server.url + where, json={"name": name}, headers={"If-Match": seen}, timeout=HANGS_S
            ).status_code

        at_once([partial(change, server) for server in servers])
        assert sorted(answers.values()) == [200, 412]
        kept = requests.get(servers[0].url + where, timeout=HANGS_S).json()["name"]
        assert answers[kept] == 200


def test_who_looks_waits_for_nobody(servers: list[Server]) -> None:
    """Lists are shown while a crowd draws, each of one moment."""
    urls = [server.url for server in servers]
    lots = stock(urls[0], 3, f"{GRAMS} g", "SILICA")
    drawing = [partial(draw_until_short, Client([url]), lots) for url in urls * 2]

    def look(url: str) -> None:
        for _ in range(20):
            answer = requests.get(f"{url}/v1/movements", timeout=HANGS_S)
            assert answer.status_code == 200, answer.text

    at_once([*drawing, *(partial(look, url) for url in urls)])
    with opened(servers[0].database) as store, holding(store):  # who waited would hear 'busy'
        for url in urls:
            look(url)
