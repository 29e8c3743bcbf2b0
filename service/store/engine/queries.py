"""Statements whose SQL is made once, or here.

The library takes ten times as long to put a statement together as the database takes to answer
it, and what is asked on every draw is always the same but for its values.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import wraps
from typing import Any

from peewee import OP, SQL, AsIs, Expression, Field, ForeignKeyField, NodeList, Value, fn

from .database import db, remembered
from .postgresql import Postgresql


def compiled(made_of: Callable[..., Any]) -> Callable[..., list[Any]]:
    """Turn a function that makes a statement into one that does it and gives its rows.

    Args:
        made_of: makes a select or an update that returns whole rows. It is called once for either
            kind of database, and may only put columns beside what it is given, which must be as
            the database keeps it; a list of numbers goes to `among`.
    """
    made: dict[type, _Made] = {}

    @wraps(made_of)
    def rows(*values: int | str | list[int]) -> list[Any]:
        kind = type(db.obj)
        if kind not in made:
            places = (AsIs(_Place(number), converter=False) for number in range(len(values)))
            made[kind] = _Made.of(made_of(*places))
        return made[kind].rows([_listed(v) if isinstance(v, list) else v for v in values])

    return rows


def rows_of(query: Any) -> list[Any]:
    """The rows of a select of whole rows: read straight, as by the library they take four times as
    long, and a screen of the yard is of thousands.
    """
    return _Made.of(query).rows(())


def among(column: Field, numbers: Iterable[int] | Value) -> Expression:
    """The condition that a column has one of many numbers: all of them one value of a statement."""
    told = numbers if isinstance(numbers, Value) else AsIs(_listed(list(numbers)), converter=False)
    if isinstance(db.obj, Postgresql):
        return Expression(column, OP.EQ, fn.ANY(told))
    inside = NodeList((SQL("(SELECT value FROM json_each("), told, SQL("))")))
    return Expression(column, OP.IN, inside)


def _listed(numbers: list[int]) -> Any:
    """Numbers as the one value that `among` asks for."""
    return numbers if isinstance(db.obj, Postgresql) else json.dumps(numbers)


def by_sole_value(query: Sequence[Any]) -> Any:
    """The row that a query of one column and one value finds; None where it is another, or none."""
    (asked, *more) = query or (None,)
    if more or not isinstance(asked, Expression) or asked.op != OP.EQ:
        return None
    column, value = asked.lhs, asked.rhs
    if not isinstance(column, Field) or not isinstance(value, int | str):
        return None
    found = remembered() if column.model.steady else None
    if found is None:
        return next(iter(_of_column(column)(column.db_value(value))), None)
    asked_for = (column.model, column.name, value)
    if found.get(asked_for) is None:
        found[asked_for] = next(iter(_of_column(column)(column.db_value(value))), None)
    return found[asked_for]


def by_ids(model: Any, ids: Iterable[int]) -> list[Any]:
    """The rows of a table that have one of some ids."""
    if model not in _of_ids:
        _of_ids[model] = compiled(lambda ids: model.select().where(among(model.id, ids)))
    return _of_ids[model](sorted(ids))


def forget() -> None:
    """Something steady is about to change: read it again."""
    found = remembered()
    if found:
        found.clear()


def inserted(row: Any) -> Any:
    """A new row, written; it has its id."""
    fields = [row._meta.fields[name] for name in row.__data__]
    names = ", ".join(f'"{field.column_name}"' for field in fields)
    places = ", ".join([db.param] * len(fields))
    table = row._meta.table_name
    ((row.id,),) = db.execute_sql(
        f'INSERT INTO "{table}" ({names}) VALUES ({places}) RETURNING "id"',
        [field.db_value(row.__data__[field.name]) for field in fields],
    ).fetchall()
    row._dirty.clear()
    return row


@dataclass(frozen=True)
class _Place:
    """Where the value with this number goes."""

    number: int


@dataclass(frozen=True)
class _Made:
    """A statement's SQL, its values and places for some, and how a row of it is read."""

    model: Any
    sql: str
    values: tuple[Any, ...]
    names: tuple[str, ...]
    read: tuple[tuple[str, Callable[[Any], Any]], ...]

    @classmethod
    def of(cls, query: Any) -> _Made:
        sql, values = query.sql()
        fields = query.model._meta.sorted_fields
        read = tuple((field.name, field.python_value) for field in fields if _is_bent(field))
        return cls(query.model, sql, tuple(values), tuple(field.name for field in fields), read)

    def rows(self, given: Sequence[int | str]) -> list[Any]:
        values = [given[v.number] if isinstance(v, _Place) else v for v in self.values]
        return [self._row(found) for found in db.execute_sql(self.sql, values).fetchall()]

    def _row(self, found: tuple[Any, ...]) -> Any:
        row = self.model(__no_default__=1)
        data = row.__data__ = dict(zip(self.names, found, strict=True))
        for name, read in self.read:
            data[name] = read(data[name])
        return row


def _is_bent(field: Field) -> bool:
    """Whether a column is another thing in Python than in the database, such as a date."""
    return type(field).python_value not in (Field.python_value, ForeignKeyField.python_value)


_of_ids: dict[Any, Callable[..., list[Any]]] = {}
_of_columns: dict[str, Callable[..., list[Any]]] = {}


def _of_column(column: Field) -> Callable[..., list[Any]]:
    """The rows that have a value in a column."""
    name = f"{column.model.__name__}.{column.name}"
    if name not in _of_columns:
        _of_columns[name] = compiled(lambda value: column.model.select().where(column == value))
    return _of_columns[name]
