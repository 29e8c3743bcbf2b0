"""PostgreSQL's driver is imported for a store on PostgreSQL, and for no other."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from cureyard_service.store.engine.postgresql import Driver
from peewee import Database
from psycopg.pq import TransactionStatus

BOTH = """
import sys
from cureyard_service.store.engine.database import open_store
from cureyard_service.store.engine.versions import schema_version
in_file, on_server = sys.argv[1:]
open_store(in_file)
assert not {"psycopg", "psycopg2"} & set(sys.modules)
store = open_store(on_server)
assert schema_version(store) > 0
with store.atomic():
    assert store.is_connection_usable()
    assert store.execute_sql("SELECT 'ü' || %s", ("%",)).fetchone() == ("ü%",)
assert "psycopg" in sys.modules
"""
ABSENT = """
import sys
sys.modules["psycopg"] = None
from cureyard_service.store.engine.database import open_store
from cureyard_service.store.engine.faults import NotAStore
try:
    open_store("postgresql://nobody@/nothing")
except NotAStore as refused:
    assert "pip install 'cureyard[postgresql]'" in str(refused)
else:
    raise AssertionError("opened")
"""


def run(program: str, *arguments: str) -> None:
    """Run a program in a process of its own, which must end well."""
    subprocess.run([sys.executable, "-c", program, *arguments], check=True)


@pytest.mark.only_on("postgresql")
def test_a_store_on_each_engine_opens_in_one_process(store: Database, tmp_path: Path) -> None:
    """First one in a file, without the driver; then one on PostgreSQL, with it."""
    run(BOTH, str(tmp_path / "yard.sqlite"), store.database)


def test_a_driver_that_is_not_installed_is_said() -> None:
    """What to install, where the address is of PostgreSQL."""
    run(ABSENT)


def test_the_states_of_a_connection_are_the_drivers() -> None:
    """The numbers that stand in for the driver's own names."""
    own = (TransactionStatus.IDLE, TransactionStatus.INERROR, TransactionStatus.UNKNOWN)
    assert (Driver.txn_idle, Driver.txn_inerror, Driver.txn_unknown) == own
