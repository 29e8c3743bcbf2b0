"""What becomes of a write when the engine undoes it, or breaks off: again, or a clear word."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest
from cureyard_service.core import errors
from cureyard_service.store import tables
from cureyard_service.store.engine import postgresql
from cureyard_service.store.engine.database import db, open_store, reading, write, writing
from cureyard_service.store.engine.faults import NotAStore
from peewee import Database

from ...waiting import HANGS_S, until
from .. import sample_yard as yard

CLASH = "DO $$ BEGIN RAISE EXCEPTION USING ERRCODE = '40001'; END $$"
"""PostgreSQL's own refusal of a transaction that can't be put in a row with another."""

END = "SELECT pg_terminate_backend(pg_backend_pid())"

on_postgresql = pytest.mark.only_on("postgresql")


@pytest.fixture
def other(store: Database) -> Iterator[psycopg.Connection]:
    """Another program in the same database, which knows nothing of our locks."""
    with psycopg.connect(store.database, autocommit=True) as connection:
        yield connection


class Act:
    """Adds a bay; the first so many times something happens to it on the way."""

    def __init__(self, statement: str, times: int) -> None:
        self.statement = statement
        self.left = times
        self.tried = 0

    def __call__(self) -> str:
        """Do it."""
        self.tried += 1
        code: str = yard.add_bay().code
        if self.left:
            self.left -= 1
            db.execute_sql(self.statement)
        return code


@on_postgresql
def test_a_write_that_clashed_is_done_again(store: Database) -> None:
    """From its beginning, and once."""
    act = Act(CLASH, times=2)
    code = write(act)
    assert [bay.code for bay in tables.Bay.select()] == [code]
    assert act.tried == 3


@on_postgresql
def test_a_write_that_clashes_for_ever_is_busy(store: Database) -> None:
    """It is tried a few times; then a person is told, and nothing was written."""
    act = Act(CLASH, times=1000)
    with pytest.raises(errors.Busy):
        write(act)
    assert act.tried == 4
    assert tables.Bay.select().count() == 0


@on_postgresql
def test_a_real_deadlock_is_got_over(store: Database, other: psycopg.Connection) -> None:
    """Another program locks our rows in the other order; ours is undone, and then done."""
    first, second = yard.add_bay(), yard.add_bay()
    waiting = threading.Event()

    def cross() -> None:
        waiting.wait()
        other.execute("SELECT id FROM bay WHERE id = %s FOR UPDATE", (first.id,))
        other.execute("COMMIT")

    def other_waits() -> bool:
        sql = "SELECT 1 FROM pg_locks WHERE NOT granted AND pid = %s"
        return db.execute_sql(sql, (other.info.backend_pid,)).fetchone() is not None

    def act() -> None:
        db.execute_sql("SET LOCAL deadlock_timeout = '50ms'")
        tables.Bay.update(title="A").where(tables.Bay.id == first.id).execute()
        if not waiting.is_set():  # the first time
            waiting.set()
            until(other_waits, "the other's wait")
        tables.Bay.update(title="B").where(tables.Bay.id == second.id).execute()

    other.execute("SET deadlock_timeout = '600s'")  # so that ours is the one to find it
    other.execute("BEGIN")
    other.execute("SELECT id FROM bay WHERE id = %s FOR UPDATE", (second.id,))
    crossing = threading.Thread(target=cross)
    crossing.start()
    write(act)
    crossing.join()
    assert sorted(bay.title for bay in tables.Bay.select()) == ["A", "B"]


@on_postgresql
def test_a_connection_that_was_ended_is_made_anew(store: Database) -> None:
    """A write, a read and a bare look each go on where the server had let the line go."""
    yard.add_bay()
    for ask in (_written, _read, lambda: tables.Bay.select().count()):
        _end_ours(store)
        assert ask() in (1, None)


@on_postgresql
def test_a_write_that_was_cut_off_did_not_happen(store: Database) -> None:
    """Its connection ends half-way: nothing is there, it says so, and the next one passes."""
    act = Act(END, times=1)
    with pytest.raises(errors.Busy, match="does not answer"):
        write(act)
    assert tables.Bay.select().count() == 0
    write(act)
    assert tables.Bay.select().count() == 1


@on_postgresql
@pytest.mark.parametrize("known", [False, True])
def test_a_commit_that_was_cut_off_is_not_called_undone(store: Database, known: bool) -> None:
    """A trigger ends the connection in the commit itself: nobody can know, so nobody says so.

    An act that knows what it has done is tried again until it is done.
    """
    store.execute_sql(f"""
        CREATE FUNCTION cut() RETURNS trigger LANGUAGE plpgsql AS
            $$ BEGIN PERFORM pg_terminate_backend(pg_backend_pid()); RETURN NULL; END $$;
        CREATE CONSTRAINT TRIGGER cut AFTER INSERT ON bay DEFERRABLE INITIALLY DEFERRED
            FOR EACH ROW WHEN (NEW.title = '{yard.add_bay().title}') EXECUTE FUNCTION cut()
    """)
    act = Act("", times=0)
    with pytest.raises(errors.Unsure, match="may have been done"):
        write(act, known=known)
    assert act.tried == (4 if known else 1)


def test_a_server_that_never_answers_is_not_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    """Something listens there and says nothing, as behind a line that was cut."""
    monkeypatch.setitem(postgresql.BOUNDS, "connect_timeout", 2)  # the shortest that there is
    with socket.create_server(("127.0.0.1", 0)) as silent:
        began = time.monotonic()  # the system by itself would wait for a quarter of an hour
        with pytest.raises(NotAStore, match="can't be opened"):
            open_store(f"postgresql://yard@127.0.0.1:{silent.getsockname()[1]}/yard")
    assert time.monotonic() - began < HANGS_S


@on_postgresql
def test_what_was_kept_waits_for_the_disk(store: Database, other: psycopg.Connection) -> None:
    """Also where the database was set not to."""
    name = other.info.dbname
    other.execute(f"ALTER DATABASE {name} SET synchronous_commit = off")
    store.close()
    assert _setting("synchronous_commit") == "off"
    with writing():
        assert _setting("synchronous_commit") == "on"


@on_postgresql
def test_the_isolation_is_ours(store: Database, other: psycopg.Connection) -> None:
    """Another default of the database would let a write decide by rows from before its turn."""
    other.execute(
        f"ALTER DATABASE {other.info.dbname} SET default_transaction_isolation = serializable"
    )
    store.close()
    with writing():
        assert _setting("transaction_isolation") == "read committed"
    with reading():
        assert _setting("transaction_isolation") == "repeatable read"


@pytest.mark.only_on("sqlite")
@pytest.mark.parametrize("replaced", [False, True])
def test_a_file_that_was_taken_away_is_not_written_to(store: Database, replaced: bool) -> None:
    """Whoever had it open could go on writing into nothing; a new thread would make a new one."""
    path = Path(store.database)
    yard.add_bay()
    path.rename(path.with_suffix(".away"))
    if replaced:
        path.write_bytes(path.with_suffix(".away").read_bytes())
    with pytest.raises(NotAStore, match="deleted or moved"), writing():
        yard.add_bay()
    store.close()
    with pytest.raises(NotAStore, match="deleted or moved"):
        tables.Bay.select().count()
    assert path.exists() is replaced
    path.with_suffix(".away").replace(path)
    assert tables.Bay.select().count() == 1


def _written() -> None:
    write(lambda: None)


def _read() -> int:
    with reading():
        return int(tables.Bay.select().count())


def _end_ours(store: Database) -> None:
    with psycopg.connect(store.database, autocommit=True) as other:
        other.execute(
            "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
            " WHERE datname = current_database() AND pid <> pg_backend_pid()"
        )
        ours = "SELECT 1 FROM pg_stat_activity WHERE datname = current_database()"
        alone = f"{ours} AND pid <> pg_backend_pid()"
        until(lambda: other.execute(alone).fetchone() is None, "its end")


def _setting(name: str) -> str:
    (value,) = db.execute_sql("SELECT current_setting(%s)", (name,)).fetchone()
    return str(value)
