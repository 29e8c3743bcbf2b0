"""Several hands at the same lot at once: nobody gets what is not there, nothing is lost."""

from __future__ import annotations

import subprocess
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor

from cureyard_service.core import errors
from cureyard_service.store import tables
from cureyard_service.store.engine.database import db, reading, writing
from cureyard_service.store.stock import ledger
from cureyard_service.store.upkeep.proofs import prove
from peewee import Database

from ...bare import holding, looking
from ...waiting import HANGS_S
from .. import sample_yard as yard

DRAW = """
import sys
from cureyard_service.core import errors
from cureyard_service.store.stock import ledger
from cureyard_service.store.engine.database import open_store
from cureyard_service.store.yard.hands import Hand

open_store(sys.argv[1])
for _ in range(int(sys.argv[3])):
    try:
        ledger.post(int(sys.argv[2]), "draw", -1000, at=0, now=0, hand=Hand("Rui", False))
        print("drawn")
    except errors.ShortStock:
        print("short")
"""


def test_two_threads_draw_the_last_kilogram(store: Database) -> None:
    """One gets it, the other is refused, every time."""
    for _ in range(20):
        lot = yard.received(1_000_000)
        with ThreadPoolExecutor(2) as hands:
            said = Counter(hands.map(draw_a_kilogram, [lot.id] * 2))
        assert said == {"drawn": 1, "short": 1}
        assert yard.on_hand(lot) == 0
    assert all(proof.ok for proof in prove(store))


def test_programs_draw_a_drum_to_the_bottom(store: Database) -> None:
    """Three programs ask for more than there is: what they got is what is gone."""
    lot = yard.received(40_000)
    started = [
        subprocess.Popen(
            [sys.executable, "-c", DRAW, store.database, str(lot.id), "20"],
            stdout=subprocess.PIPE,
            text=True,
        )
        for _ in range(3)
    ]
    said = Counter(word for p in started for word in p.communicate(timeout=HANGS_S)[0].split())
    assert said == {"drawn": 40, "short": 20}
    assert yard.on_hand(lot) == 0
    assert all(proof.ok for proof in prove(store))


def test_what_was_read_is_still_so_when_it_is_written(store: Database) -> None:
    """Two hands each count a lot one up from what they read: neither count is lost."""
    lot = yard.received(1_000)

    def count_one_more(_: int) -> None:
        with writing():
            found = yard.on_hand(lot) + 1
            yard.post(lot, "count", found - yard.on_hand(lot), counted_at=yard.NOW)
        db.close()

    with ThreadPoolExecutor(4) as hands:
        list(hands.map(count_one_more, range(12)))
    assert yard.on_hand(lot) == 1_012
    assert tables.Movement.select().count() == 13


def test_who_reads_keeps_no_writer_waiting(store: Database) -> None:
    """A long read goes on seeing its own moment, and writes pass meanwhile."""
    store.timeout = 0.1
    yard.add_bay()
    with looking(store, "bay") as seen:
        with writing():
            yard.add_bay()
        assert (seen(), tables.Bay.select().count()) == (1, 2)


def test_who_writes_keeps_no_reader_waiting(store: Database) -> None:
    """While another program writes, what was there before is shown."""
    yard.add_bay()
    with holding(store), reading():
        assert tables.Bay.select().count() == 1


def draw_a_kilogram(lot_id: int) -> str:
    """What a hand was told."""
    try:
        ledger.post(lot_id, "draw", -1_000_000, at=0, now=0, hand=yard.HAND)
    except errors.ShortStock:
        return "short"
    finally:
        db.close()
    return "drawn"
