"""Hands who act at one moment: what each decides on is so until its act ends.

On PostgreSQL acts run beside each other and lock rows; on SQLite one writes at a time. Another
program holds the rows until all wait for them, so each act has begun before any decides.

OWASP API Security Top 10 (2023), API6; PostgreSQL's manual, 'Read Committed Isolation Level': a
locking SELECT gives the row as it was committed last, a plain one before it may be older.
"""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import psycopg
import pytest
from cureyard_migrations.dialect import on_sqlite
from cureyard_service.store import tables
from cureyard_service.store.engine import revisions
from cureyard_service.store.engine.database import db, writing
from cureyard_service.store.engine.turns import Turn
from cureyard_service.store.upkeep.proofs import prove
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ... import makers
from ...putting import by_client, post
from ...waiting import until

LOTS = "SELECT id FROM lot FOR NO KEY UPDATE"
CLOCK = "SELECT pg_advisory_xact_lock(4785327004)"
YARD = "SELECT pg_advisory_xact_lock_shared(4785327002)"

on_postgresql = pytest.mark.only_on("postgresql")
Sent = Callable[[FlaskClient], TestResponse]


def sent(path: str, body: Any, key: str = "", **headers: str) -> Sent:
    """A request that is to be sent."""
    if key:
        headers["Idempotency-Key"] = key
    method = "PATCH" if "If-Match" in headers else "POST"
    return lambda client: client.open(f"/v1/{path}", method=method, json=body, headers=headers)


def draws(lot: int, quantity: str, **more: Any) -> Sent:
    """A draw of a lot for the job."""
    return sent("movements", makers.draw(None, quantity, lot=lot, **more))


@contextmanager
def held(sql: str) -> Iterator[psycopg.Connection[Any] | None]:
    """Another program in the midst of a transaction, which has locked something; an onlooker."""
    if on_sqlite(db.obj):
        yield None
        return
    address = db.obj.database
    with psycopg.connect(address) as other, psycopg.connect(address, autocommit=True) as onlooker:
        other.execute(sql)
        yield onlooker
        other.rollback()


def at_once(app: Flask, sends: list[Sent], lock: str) -> list[TestResponse]:
    """The answers to requests of one moment, in their order; no act decides before all began."""
    answers: dict[int, TestResponse] = {}

    def send(number: int, one: Sent) -> None:
        try:
            answers[number] = one(app.test_client())
        finally:
            db.close()

    threads = [threading.Thread(target=send, args=each) for each in enumerate(sends)]
    with held(lock) as onlooker:
        for thread in threads:
            thread.start()
        if onlooker is not None:
            until(lambda: waiting(onlooker) == len(sends), "their wait")
    for thread in threads:
        thread.join()
    return [answers[number] for number in range(len(sends))]


def waiting(onlooker: psycopg.Connection[Any]) -> int:
    """How many wait for a lock."""
    sql = "SELECT COUNT(*) FROM pg_stat_activity WHERE datname = %s AND wait_event_type = 'Lock'"
    (count,) = onlooker.execute(sql, (onlooker.info.dbname,)).fetchone() or (0,)
    return int(count)


def statuses(answers: list[TestResponse]) -> Counter[int]:
    """How often each came."""
    return Counter(answer.status_code for answer in answers)


@pytest.fixture
def yard(client: FlaskClient) -> Iterator[FlaskClient]:
    """A yard with two jobs, peroxide (lot 1), resin (lot 2), two fillers (3, 4); its books hold."""
    fillers = [makers.product(code, "filler") for code in ("MICROS", "SILICA")]
    by_client(client, **makers.yard())
    by_client(client, jobs=[makers.job("D-8")], bays=[makers.bay("STORE")], products=fillers)
    by_client(client, **makers.shelf())
    by_client(client, lots=[makers.lot(code, "1 kg") for code in ("MICROS", "SILICA")])
    yield client
    assert [proof for proof in prove(db.obj) if not proof.ok] == []


def test_ten_draw_one_lot(app: Flask, yard: FlaskClient) -> None:
    """Each that fits is drawn, the others are told that it is short, and nothing is lost."""
    answers = at_once(app, [draws(3, "125 g")] * 10, LOTS)
    assert statuses(answers) == {201: 8, 409: 2}
    on_hand = sorted(line.on_hand for line in tables.Movement.select().filter(lot=3))
    assert on_hand == [step * 125_000 for step in range(9)]
    assert tables.Lot.get_by_id(3).on_hand == 0


def test_all_of_a_lot_is_taken_once(app: Flask, yard: FlaskClient) -> None:
    """'all' is what is there when it is this draw's turn."""
    answers = at_once(app, [draws(3, "all"), draws(3, "300 g"), draws(3, "all")], LOTS)
    drawn = [line.amount for line in tables.Movement.select().filter(lot=3, kind="draw")]
    assert sum(drawn) == -1_000_000
    assert statuses(answers)[201] == len(drawn)


def test_twins_of_a_draw_are_one(app: Flask, yard: FlaskClient) -> None:
    """A request sent eight times with its key takes the last of a lot once, and says so to all."""
    answers = at_once(app, [sent("movements", makers.draw(None, "all", lot=3), key="a")] * 8, LOTS)
    assert statuses(answers) == {201: 8}
    assert len({answer.data for answer in answers}) == 1


def test_crossing_pots_both_are_mixed(app: Flask, yard: FlaskClient) -> None:
    """Two jobs, two fillers each in the other's order: neither waits for the other in a ring."""
    for _ in range(3):
        pots = [
            makers.pot(job=job, amount="100 g", fillers=[_gram(code) for code in codes])
            for job, *codes in (("D-7", "MICROS", "SILICA"), ("D-8", "SILICA", "MICROS"))
        ]
        answers = at_once(app, [sent("batches", pot) for pot in pots * 2], LOTS)
        assert statuses(answers) == {201: 4}, [answer.json for answer in answers]
    assert tables.Batch.select().count() == 12
    assert [tables.Lot.get_by_id(lot).on_hand for lot in (3, 4)] == [988_000] * 2


def _gram(code: str) -> dict[str, str]:
    return {"product": code, "quantity": "1 g"}


def test_crossing_reversals_are_both_done(app: Flask, yard: FlaskClient) -> None:
    """Lines of two lots, named in the two orders."""
    first, second, third, fourth = (
        post(yard, "movements", makers.draw(None, "1 g", lot=lot))["movements"][0]["id"]
        for lot in (3, 4, 3, 4)
    )
    bodies = [
        {"kind": "reversal", "reverses_all": lines, "reason": "a slip"}
        for lines in ([first, second], [fourth, third])
    ]
    answers = at_once(app, [sent("movements", body) for body in bodies], LOTS)
    assert statuses(answers) == {201: 2}
    assert [tables.Lot.get_by_id(lot).on_hand for lot in (3, 4)] == [1_000_000] * 2


def test_a_line_is_reversed_once(app: Flask, yard: FlaskClient) -> None:
    """Of five who undo it one does."""
    line = post(yard, "movements", makers.draw(None, "1 g", lot=3))["movements"][0]["id"]
    body = {"kind": "reversal", "reverses": line, "reason": "a slip"}
    assert statuses(at_once(app, [sent("movements", body)] * 5, LOTS)) == {201: 1, 409: 4}
    assert tables.Lot.get_by_id(3).on_hand == 1_000_000


def test_what_a_job_drew_comes_back_once(app: Flask, yard: FlaskClient) -> None:
    """Two bring back all that it drew: the second has nothing to bring."""
    post(yard, "movements", makers.draw(None, "400 g", lot=3))
    back = {"kind": "return", "lot": 3, "quantity": "400 g", "job": "D-7"}
    assert statuses(at_once(app, [sent("movements", back)] * 2, LOTS)) == {201: 1, 422: 1}
    assert tables.Lot.get_by_id(3).on_hand == 1_000_000


def test_two_offcuts_get_two_names(app: Flask, yard: FlaskClient) -> None:
    """Pieces of one roll that come back at one moment."""
    by_client(yard, products=[makers.mat()], lots=[makers.lot("MAT", "20 m", "R-1")])
    post(yard, "movements", makers.draw(None, "10 m", lot=5))
    back = {"kind": "return", "lot": 5, "quantity": "2 m", "job": "D-7"}
    assert statuses(at_once(app, [sent("movements", back)] * 3, LOTS)) == {201: 3}
    pieces = tables.Lot.select().filter(parent=5)
    assert sorted(piece.container for piece in pieces) == ["1.1", "1.2", "1.3"]


def test_counts_and_draws_agree(app: Flask, yard: FlaskClient) -> None:
    """Each count is of what there is when it is its turn, so the books hold."""
    counted = sent("movements", {"kind": "count", "lot": 3, "quantity": "500 g"})
    answers = at_once(app, [counted, draws(3, "10 g"), counted, draws(3, "10 g")], LOTS)
    assert statuses(answers) == {201: 4}
    assert tables.Lot.get_by_id(3).on_hand in (480_000, 490_000, 500_000)


def test_a_reserve_is_not_drawn_from_two_sides(app: Flask, yard: FlaskClient) -> None:
    """A job needs 1 kg of two lots of 1 kg each: of two others who empty one each, one may."""
    by_client(yard, lots=[makers.lot("MICROS", "1 kg", "B-2")], jobs=[makers.job("D-9")])
    post(yard, "jobs/D-9/needs", {"needs": [{"product": "MICROS", "quantity": "1 kg"}]})
    answers = at_once(app, [draws(3, "1 kg"), draws(5, "1 kg", job="D-8")], LOTS)
    assert statuses(answers) == {201: 1, 409: 1}
    refused = next(answer for answer in answers if answer.status_code == 409)
    assert refused.json["type"].endswith("/problems/reserved-stock")


def test_of_two_changes_of_a_lot_one_is_told(app: Flask, yard: FlaskClient) -> None:
    """Both saw the same version: the later hears 412 and overwrites nothing."""
    seen = yard.get("/v1/lots/3").headers["ETag"]
    change = {"held": True, "reason": "lumps"}
    answers = at_once(app, [sent("lots/3", change, **{"If-Match": seen})] * 3, LOTS)
    assert statuses(answers) == {200: 1, 412: 2}
    assert tables.LotEvent.select().filter(kind="held").count() == 1


def test_a_held_lot_is_not_drawn(app: Flask, yard: FlaskClient) -> None:
    """A hold and a draw at one moment: the draw comes first, or it is refused."""
    seen = yard.get("/v1/lots/3").headers["ETag"]
    hold = sent("lots/3", {"held": True, "reason": "lumps"}, **{"If-Match": seen})
    held_it, drew = at_once(app, [hold, draws(3, "1 g")], LOTS)
    assert held_it.status_code == 200
    line = tables.Movement.get_or_none(kind="draw")
    assert (drew.status_code, line is None) in [(201, False), (409, True)]


def test_peroxide_beside_what_it_must_not_meet_is_told(app: Flask, yard: FlaskClient) -> None:
    """Both are carried into one bay at one moment: at least one hand hears of the other."""
    by_client(yard, products=[makers.product("COBALT", "promoter")],
              lots=[makers.lot("COBALT", "1 kg", "C-1")])  # fmt: skip
    tags = {lot: yard.get(f"/v1/lots/{lot}").headers["ETag"] for lot in (1, 5)}
    alone = yard.patch("/v1/lots/1", json={"bay": "SHED"}, headers={"If-Match": tags[1]})
    tags[1] = alone.headers["ETag"]
    moves = [sent(f"lots/{lot}", {"bay": "STORE"}, **{"If-Match": tags[lot]}) for lot in (1, 5)]
    answers = at_once(app, moves, "SELECT id FROM bay FOR NO KEY UPDATE")
    assert statuses(answers) == {200: 2}
    told = [answer for answer in answers if len(answer.json["warnings"]) > len(_said(alone))]
    assert told


def _said(answer: TestResponse) -> list[Any]:
    found: list[Any] = answer.json["warnings"]
    return found


def test_a_pot_is_laid_or_was_not_mixed(app: Flask, yard: FlaskClient) -> None:
    """One hand lays it, the other says that it was never mixed: only one is believed."""
    post(yard, "batches", makers.pot())
    laid = sent("layups", makers.layup(1))
    unmixed = sent("batches/1/observations", {"kind": "not_mixed"})
    answers = at_once(app, [laid, unmixed], CLOCK)
    assert statuses(answers) == {201: 1, 422: 1}, [answer.json for answer in answers]
    back = tables.Movement.select().filter(kind="reversal").count()
    assert (tables.Layup.select().count(), back) in [(1, 0), (0, 2)]


def test_a_face_is_covered_once(app: Flask, yard: FlaskClient) -> None:
    """Two hands see a layup covered at one moment; its row changes by one at a time."""
    post(yard, "layups", makers.layup())
    seen = sent("layups/1/observations", {"kind": "scraped_off"})
    answers = at_once(app, [seen, seen], CLOCK)
    assert statuses(answers) == {201: 1, 422: 1}


@on_postgresql
def test_another_lot_is_not_waited_for(app: Flask, yard: FlaskClient) -> None:
    """While a transaction holds a lot, a draw of another passes; one of that lot waits."""
    db.obj.timeout = 0.2
    with held("SELECT id FROM lot WHERE id = 3 FOR NO KEY UPDATE"):
        assert draws(4, "1 g")(yard).status_code == 201
        assert draws(3, "1 g")(yard).status_code == 503
    assert draws(3, "1 g")(yard).status_code == 201


@on_postgresql
def test_pots_and_layups_of_a_job_go_one_at_a_time(app: Flask, yard: FlaskClient) -> None:
    """Another job's, and a draw for the job, do not wait."""
    db.obj.timeout = 0.2
    with held("SELECT id FROM job WHERE number = 'D-7' FOR NO KEY UPDATE"):
        assert sent("batches", makers.pot())(yard).status_code == 503
        assert sent("layups", makers.layup())(yard).status_code == 503
        assert sent("batches", makers.pot(job="D-8"))(yard).status_code == 201
        assert draws(3, "1 g")(yard).status_code == 201


@on_postgresql
def test_a_draw_is_not_waited_for_by_readings_or_layups(app: Flask, yard: FlaskClient) -> None:
    """Those go one at a time, and beside draws; a rare act waits for all, and they for it."""
    db.obj.timeout = 0.2
    reading = sent("bays/SHED/readings", {"readings": [
        {"at": "2026-03-20T09:00:00Z", "temperature": "20 degC"}]})  # fmt: skip
    product = sent("products", makers.product("WAX", "filler"))
    with held("SELECT id FROM lot FOR NO KEY UPDATE"):
        assert reading(yard).status_code == 201
        assert sent("layups", makers.layup())(yard).status_code == 201
    with held(CLOCK):
        assert draws(3, "1 g")(yard).status_code == 201
        assert sent("layups", makers.layup())(yard).status_code == 503
    with held(YARD):
        assert draws(3, "1 g")(yard).status_code == 201
        assert product(yard).status_code == 503
    with held("SELECT pg_advisory_xact_lock(4785327002)"):
        assert draws(3, "1 g")(yard).status_code == 503
    assert product(yard).status_code == 201


@on_postgresql
def test_acts_beside_others_write_nothing_that_milestones_rest_on(
    app: Flask, yard: FlaskClient
) -> None:
    """A revision counts on ids that appear in their order, which only one at a time keeps."""
    first = tables.Written.select().count()
    line = post(yard, "movements", makers.draw(None, "9 g", lot=3))["movements"][0]["id"]
    lot = {"lot": 3, "quantity": "1 g"}
    for body in (
        {"kind": "scrap", "reason": "wet", **lot}, {"kind": "count", **lot},
        {"kind": "return", "job": "D-7", **lot},
    ):  # fmt: skip
        post(yard, "movements", body)
    undone = {"kind": "reversal", "reverses": line, "reason": "a slip"}
    assert yard.post("/v1/movements", json=undone).status_code in (201, 409)
    post(yard, "batches", makers.pot())
    tag = {"If-Match": yard.get("/v1/lots/3").headers["ETag"]}
    change = {"bay": "STORE", "held": True, "reason": "lumps", "opened_on": "2026-03-20"}
    assert yard.patch("/v1/lots/3", json=change, headers=tag).status_code in (200, 403)
    texts = [row.parts for row in tables.Written.select() if row.id > first]
    written = {part.partition(":")[0] for text in texts for part in text.split(" ")}
    assert {"movement", "lot", "batch", "lot_event"} <= written
    assert not written & set(revisions.RECORDED)


def test_who_asks_for_less_may_join_who_has_more(yard: FlaskClient) -> None:
    """Not the other way round: a mistake of ours is told as one."""
    with writing(), writing(Turn.CLOCK), writing(Turn.BESIDE):
        pass
    with writing(Turn.BESIDE), pytest.raises(RuntimeError, match="ALONE"), writing():
        pass
