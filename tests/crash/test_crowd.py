"""32 clients of two servers on one store draw the same ten lots empty.

Nothing goes below zero, what was told is what is gone, nobody waits without end, and nobody is
shown the words of a database.

OWASP API Security Top 10 (2023): API6 unrestricted access to sensitive business flows (whoever
asks fastest gets no gram twice), API4 unrestricted resource consumption.
"""

from __future__ import annotations

import random
import secrets
from collections import Counter
from collections.abc import Iterator
from functools import partial
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
