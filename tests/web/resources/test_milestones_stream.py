"""The stream of milestones: what is heard, once, by whoever comes and goes; and how many may."""

from __future__ import annotations

import threading
import time
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.yard import tokens
from cureyard_service.store import tables
from cureyard_service.store.engine.database import db
from cureyard_service.web.context import streams
from cureyard_service.web.resources import milestones
from flask import Flask
from flask.testing import FlaskClient

from ...acts import sample_yard as yard
from ...sse import Receiver
from ...waiting import HANGS_S
from ..conftest import Clock
from ..tokened import KEEPER, given

H = yard.H
STREAM = "/v1/milestones"
SOON_S = 0.05
"""A tick, where a test waits for the next one."""
TURNS = ["gel", "trim", "recoat_opens", "sandable", "recoat_closing", "recoat_closes"]


@pytest.fixture(autouse=True)
def set_up(client: FlaskClient) -> None:
    """The acts' yard, with a layup just laid."""
    yard.set_up()
    lay()


def lay(**facts: Any) -> None:
    """A layup just laid."""
    yard.laid(**{"product": "LAM", "catalyst_percent": Decimal(2), "cover": "film"} | facts)


def listen(client: FlaskClient, receiver: Receiver) -> list[str]:
    """What a receiver hears that looks in for a moment, going on from its last."""
    headers = {"Last-Event-ID": receiver.last} if receiver.last else {}
    with client.get(f"{STREAM}?seconds=0", headers=headers) as answer:
        assert (answer.status_code, answer.mimetype) == (200, "text/event-stream")
        return [each["milestone"] for each in receiver.read(answer.text)]


def test_what_a_receiver_hears(client: FlaskClient, clock: Clock) -> None:
    """A new one hears nothing of the past, and is told from where to go on and when."""
    receiver = Receiver()
    assert listen(client, receiver) == []
    assert (receiver.last, receiver.retry) == ("0", streams.RETRY_MS)
    clock.moment += H // 2
    assert listen(client, receiver) == ["gel"]
    ((number, told),) = receiver.heard
    assert number == receiver.last == "1"
    # Laid at 09:46:40, and gelled for sure after 27 min: shown to five minutes.
    assert told == {
        "milestone": "gel", "at": "2026-03-20T10:15:00+00:00", "layup": 1, "title": "Plies",
        "job": "D-7",
    }  # fmt: skip
    assert listen(client, Receiver()) == []


def test_no_loss_and_no_doubling(client: FlaskClient, clock: Clock) -> None:
    """Two receivers that come and go at different times hear the same, each once, in order."""
    often, seldom = Receiver(), Receiver()
    listen(client, often), listen(client, seldom)
    for hours in range(1, 25):
        clock.moment = yard.NOW + hours * H
        listen(client, often)
        if hours % 7 == 0:
            listen(client, seldom)
    listen(client, seldom)
    assert [told["milestone"] for _, told in often.heard] == TURNS
    assert often.heard == seldom.heard
    assert [number for number, _ in often.heard] == [str(n) for n in range(1, 7)]


@pytest.mark.only_on("sqlite")
def test_wherever_it_breaks_off(client: FlaskClient, clock: Clock) -> None:
    """After any character: whoever comes back with its last id hears the rest, and no more."""
    clock.moment += 24 * H
    whole = client.get(f"{STREAM}?seconds=0", headers={"Last-Event-ID": "0"}).text
    for cut in range(0, len(whole) + 1, 41):
        receiver = Receiver(last="0")
        receiver.read(whole[:cut])
        listen(client, receiver)
        assert [told["milestone"] for _, told in receiver.heard] == TURNS


def test_an_id_beyond_the_last_is_the_last(client: FlaskClient, clock: Clock) -> None:
    """As after an older backup was restored: what is new is still heard."""
    receiver = Receiver(last="999")
    assert listen(client, receiver) == []
    assert receiver.last == "0"
    clock.moment += H // 2
    assert listen(client, receiver) == ["gel"]


@pytest.mark.parametrize(
    ("query", "last"),
    [("seconds=601", ""), ("seconds=-1", ""), ("seconds=1.5", ""), ("seconds=", ""),
     ("minutes=1", ""), ("seconds=0", "x"), ("seconds=0", "-1"), ("seconds=0", str(2**63))],
)  # fmt: skip
def test_what_is_no_stream(client: FlaskClient, query: str, last: str) -> None:
    """A problem before it begins, and no place is taken."""
    headers = {"Last-Event-ID": last} if last else {}
    for _ in range(streams.MOST + 1):
        assert client.get(f"{STREAM}?{query}", headers=headers).status_code == 422


def test_there_are_only_so_many(client: FlaskClient) -> None:
    """API4: the next is told when to come back; who closes, or asks HEAD, leaves a place."""
    for _ in range(streams.MOST + 1):
        with client.head(STREAM) as head:
            assert head.status_code == 200
    begun = [client.get(f"{STREAM}?seconds=60") for _ in range(streams.MOST)]
    full = client.get(f"{STREAM}?seconds=0")
    assert (full.status_code, full.headers["Retry-After"]) == (503, "60")
    assert full.json["type"].endswith("/problems/streams-full")
    assert client.get("/v1/now").status_code == 200
    begun.pop().close()
    begun.append(client.get(f"{STREAM}?seconds=60"))
    assert begun[-1].status_code == 200
    for each in begun:
        each.close()


def test_nothing_is_held_while_it_waits(
    client: FlaskClient, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Work goes on between two events, and the stream sees it."""
    monkeypatch.setattr(milestones, "TICK_S", SOON_S)
    answer = client.get(f"{STREAM}?seconds=20")
    chunks = iter(answer.response)
    next(chunks)
    assert not db.in_transaction()
    clock.moment += 9 * H
    lay(now=clock.moment, bay="TENT")
    receiver = Receiver()
    for chunk in chunks:
        receiver.read(str(chunk, "utf-8"))
        if len(receiver.heard) == 3:
            clock.moment += H
        if receiver.heard and receiver.heard[-1][1]["layup"] == 2:
            break
    answer.close()
    assert not db.in_transaction()
    assert (2, "gel") in [(told["layup"], told["milestone"]) for _, told in receiver.heard]


@pytest.mark.only_on("sqlite")
def test_a_token_that_is_revoked_ends_its_stream(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Within a tick; and so does the first token where nobody showed one."""
    monkeypatch.setattr(milestones, "TICK_S", SOON_S)
    for who in (None, given):
        known = who("Bell", "viewer") if who else None
        answer = client.get(f"{STREAM}?seconds=600", headers=known.bearer if known else {})
        chunks = iter(answer.response)
        next(chunks)
        if known:
            tokens.revoke_token(known.id, now=yard.NOW, hand=KEEPER)
        else:
            given("Ada", "admin")
        began = time.monotonic()
        assert list(chunks) == []
        assert time.monotonic() - began < HANGS_S
        answer.close()


def test_a_service_that_stops_ends_its_streams(
    app: Flask, client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At once, not at the next tick: whoever listens comes back to the next one."""
    monkeypatch.setattr(milestones, "TICK_S", 2 * HANGS_S)
    answer = client.get(f"{STREAM}?seconds=600")
    chunks = iter(answer.response)
    next(chunks)
    threading.Timer(0.1, app.extensions["cureyard"].streams.end_all).start()
    began = time.monotonic()
    assert list(chunks) == []
    assert time.monotonic() - began < HANGS_S
    answer.close()


def test_a_viewer_who_listens_is_recorded(client: FlaskClient, clock: Clock) -> None:
    """What was told, and to whom first, is a row as any other."""
    bell = given("Bell", "viewer")
    clock.moment += H // 2
    heard = client.get(f"{STREAM}?seconds=0", headers={**bell.bearer, "Last-Event-ID": "0"})
    assert "gel" in heard.text
    (row,) = tables.Reached.select()
    assert (row.who, row.verified, row.recorded_at) == ("Bell", True, clock.moment)


def test_the_description_is_of_each_event_or_of_their_text(client: FlaskClient) -> None:
    """OpenAPI before 3.2 leaves open which; an event is an object, its data JSON in a text."""
    told = client.get("/openapi.json").json["paths"][STREAM]["get"]["responses"]["200"]
    assert told["content"][streams.MEDIA_TYPE]["schema"] == streams.STREAM
    event = streams.event(7, '{"milestone": "gel"}')
    names = {line.partition(":")[0] for line in event.split("\n") if line}
    assert names == set(streams.STREAM["anyOf"][0]["properties"])
