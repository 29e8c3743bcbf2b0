"""Rows read by SQL are what the library reads, on both engines."""

from __future__ import annotations

from datetime import date
from importlib import import_module
from pkgutil import walk_packages
from typing import Any, get_args, get_type_hints

import cureyard_service.store
import pytest
from cureyard_service.store import bays, tables
from cureyard_service.store.engine.rows import Reader, exists, insert, matching, query, scalar
from cureyard_service.store.stock import jobs, lots
from peewee import Database

from .. import sample_yard as yard


def readers() -> list[Reader[Any]]:
    """All that the store reads rows with."""
    modules = walk_packages(cureyard_service.store.__path__, "cureyard_service.store.")
    names = [vars(import_module(module.name)) for module in modules]
    return [each for one in names for each in one.values() if isinstance(each, Reader)]


@pytest.mark.parametrize("reader", readers(), ids=lambda each: each.kind.__name__)
def test_a_row_has_its_tables_columns(reader: Reader[Any]) -> None:
    """By their names, and may be nothing where the column may."""
    for name, hint in get_type_hints(reader.kind).items():
        named = reader.columns.get(name, name)
        column = reader.table._meta.columns.get(named) or reader.table._meta.fields[named]
        may_lack = type(None) in get_args(hint)
        assert may_lack == bool(column.null), name


def test_a_row_is_the_librarys(store: Database) -> None:
    """Numbers, flags, dates, nothing, and the rows that it names."""
    bay = yard.add_bay()
    lot = yard.add_lot(made_on="2025-09-01", bay=bay)
    (found,) = lots.stocked_lots_of(lot.product_id) or [lots.lot(lot.id)]
    told = tables.Lot.get_by_id(lot.id)
    own = {name for name in get_type_hints(lots.Lot) if name not in ("product", "bay")}
    assert {name: getattr(found, name) for name in own} == {
        name: getattr(told, name) for name in own
    }
    assert (found.held, found.made_on, found.expires_on) == (False, date(2025, 9, 1), None)
    assert (found.product.code, found.bay) == (told.product.code, bays.bay(bay.id))


def test_what_is_not_there_is_nothing(store: Database) -> None:
    """A row that another names is there; an id that a person types may be nobody's."""
    assert lots.lot(yard.add_lot().id).bay is None
    assert lots.find_lot(10**30) is None
    with pytest.raises(LookupError):
        lots.lot(99)


def test_a_new_row_is_as_it_was_given(store: Database) -> None:
    """Defaults are filled in, and what does not fit a column is refused, not bent."""
    given = {"number": "A", "number_key": "a", "title": "T", "craft": "C", "structural": "no"}
    made = jobs.job(insert(tables.Job, **given, opened_at=1))
    assert (made.authority, made.closed_at, made.version) == (None, None, 1)
    with pytest.raises(TypeError):
        insert(tables.Job, **given | {"number_key": "b"}, opened_at=1.9)


@pytest.mark.parametrize("asked", [(), (1,), (2, 3, 2), (4, 2**40)])
def test_one_of_many_numbers(store: Database, asked: tuple[int, ...]) -> None:
    """Those that are there, each once, however often they are asked for."""
    made = [yard.received(amount).id for amount in (500, 600, 700)]
    assert yard.ids(lots.find_lots(asked)) == [each for each in made if each in asked]
    sql = "SELECT id FROM lot WHERE id IN (?*) AND number LIKE 'L-%' ORDER BY id"
    assert [each for (each,) in query(sql, list(asked))] == [n for n in made if n in asked]


def test_conditions_without_a_value_are_left_out(store: Database) -> None:
    """So a list is narrowed by what was asked alone."""
    yard.add_job()
    where, values = matching({"title = ?": "Stem", "craft = ?": None}, "version = 1")
    assert (where, values) == ("WHERE version = 1 AND title = ?", ["Stem"])
    assert scalar(f"SELECT COUNT(*) FROM job {where}", *values) == 1
    assert not exists("SELECT 1 FROM job WHERE title = ?", "Keel")
    assert matching({}) == ("", [])
