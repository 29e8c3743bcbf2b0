"""Rows of the store: read by SQL into NamedTuples, and written.

    class Lot(NamedTuple):
        id: int
        number: str
        received_on: date
        product: Product            # the row that `product_id` names, joined
        bay: Bay | None             # joined where there is one

    _LOTS = Reader(Lot, tables.Lot)
    _LOTS.all("WHERE lot.product_id = ? AND lot.on_hand > 0 ORDER BY lot.id", product_id)

A statement is written with `?` for a value; `IN (?*)` takes a list. A joined row goes by its
field's name, one inside it by both: `lot`, `lot_product`. Each other field of a NamedTuple is a
column of its table, and dates and flags are turned by the column's own functions.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from functools import cached_property, lru_cache
from types import UnionType
from typing import Any, Generic, NamedTuple, TypeVar, get_args, get_type_hints

from cureyard_migrations.dialect import on_sqlite
from peewee import Model

from .columns import LARGEST, Day, Flag
from .database import db

AnyRow = TypeVar("AnyRow", bound=tuple[Any, ...])
Value = str | bytes | int | date | None | Sequence[int]


def query(sql: str, *values: Value) -> list[tuple[Any, ...]]:
    """What a statement finds, as the database has it."""
    sqlite = on_sqlite(db.obj)
    rows: list[tuple[Any, ...]] = db.execute_sql(
        _spoken(sql, sqlite), [_bound(value, sqlite) for value in values]
    ).fetchall()
    return rows


def scalar(sql: str, *values: Value) -> Any:
    """The one value that a statement finds, or None."""
    rows = query(sql, *values)
    return rows[0][0] if rows else None


def exists(sql: str, *values: Value) -> bool:
    """Whether a statement finds anything."""
    return bool(query(f"{sql} LIMIT 1", *values))


def insert(table: type[Model], **values: Any) -> int:
    """Write a new row; its id.

    Args:
        values: by the columns' names, such as `lot_id`; the table's own defaults for the rest.
    """
    values = table._meta.get_default_dict() | values
    columns = ", ".join(f'"{name}"' for name in values)
    places = ", ".join("?" * len(values))
    table_name = table._meta.table_name
    sql = f'INSERT INTO "{table_name}" ({columns}) VALUES ({places}) RETURNING id'
    kept = [table._meta.columns[name].db_value(value) for name, value in values.items()]
    return int(scalar(sql, *kept))


def differing(row: tuple[Any, ...], columns: Mapping[str, Any]) -> dict[str, Any]:
    """Those of some columns whose new value is not the row's: what writing them would change."""
    return {name: value for name, value in columns.items() if getattr(row, name) != value}


def matching(conditions: Mapping[str, Value], *always: str) -> tuple[str, list[Value]]:
    """A WHERE of the conditions whose value is not None and of those without one; the values."""
    given = {sql: value for sql, value in conditions.items() if value is not None}
    parts = [*always, *given]
    return (f"WHERE {' AND '.join(parts)}" if parts else ""), list(given.values())


_Joined = dict[tuple[str, Any], Any]
"""The joined rows that one statement found: by the name of the join and the row's id."""


class _Parts(NamedTuple):
    """The parts of a statement while it is put together."""

    columns: list[str]
    joins: list[str]


class Reader(Generic[AnyRow]):
    """Reads rows of a table as NamedTuples.

    Args:
        kind: the NamedTuple: its columns first, then the rows to join.
        table: where its rows are.
        columns: of a field of the NamedTuple, the column that it is, if that has another name.
    """

    def __init__(self, kind: type[AnyRow], table: type[Model], **columns: str) -> None:
        self.kind, self.table, self.columns = kind, table, columns
        self.name: str = table._meta.table_name

    @cached_property
    def _statement(self) -> tuple[str, Callable[[tuple[Any, ...], _Joined], AnyRow]]:
        """The beginning of each statement, and how a found row becomes a NamedTuple.

        Worked out when a row is first read: a command reads of a few tables, and knows them all.
        """
        parts = _Parts([], [f'FROM "{self.name}" AS {self.name}'])
        made = self._maker(self.kind, self.table, self.name, parts, optional=False)
        return " ".join([f"SELECT {', '.join(parts.columns)}", *parts.joins]), made

    def all(self, rest: str = "", *values: Value) -> list[AnyRow]:
        """The rows that the rest of a statement picks, in its order."""
        select, made = self._statement
        joined: _Joined = {}
        return [made(found, joined) for found in query(f"{select} {rest}", *values)]

    def first(self, rest: str, *values: Value) -> AnyRow | None:
        """The first of the rows that the rest of a statement picks, or None."""
        rows = self.all(f"{rest} LIMIT 1", *values)
        return rows[0] if rows else None

    def by_id(self, row_id: int) -> AnyRow | None:
        """The row with an id, or None; a number beyond 64 bits is nobody's id."""
        if not 0 < row_id <= LARGEST:
            return None
        return self.first(f"WHERE {self.name}.id = ?", row_id)

    def of_id(self, row_id: int) -> AnyRow:
        """The row with an id that another row names, and so is there."""
        found = self.by_id(row_id)
        if found is None:
            raise LookupError(f"{self.name} {row_id} is not there")
        return found

    def by_ids(self, ids: Iterable[int]) -> list[AnyRow]:
        """The rows that have one of some ids, in their order."""
        wanted = sorted(set(ids))
        rest = f"WHERE {self.name}.id IN (?*) ORDER BY {self.name}.id"
        return self.all(rest, wanted) if wanted else []

    def _maker(
        self, kind: Any, table: type[Model], alias: str, parts: _Parts, *, optional: bool
    ) -> Callable[[tuple[Any, ...], _Joined], Any]:
        """How a NamedTuple is made of a found row; its columns and joins go into `parts`."""
        hints = get_type_hints(kind)
        joined = {name: row for name, hint in hints.items() if (row := _row_in(hint)) is not None}
        plain = [name for name in hints if name not in joined]
        if list(hints) != [*plain, *joined]:
            raise TypeError(f"{kind.__name__}: put the columns before the rows to join")
        first, last = len(parts.columns), len(parts.columns) + len(plain)
        renamed = self.columns if alias == self.name else {}
        columns = [renamed.get(name, name) for name in plain]
        parts.columns.extend([f'{alias}."{name}"' for name in columns])
        turns = [
            (n, column.python_value)
            for n, column in enumerate(table._meta.columns[name] for name in columns)
            if isinstance(column, Day | Flag)
        ]
        joins = [
            self._join(table._meta.fields[name], name, alias, row, parts, optional=optional)
            for name, row in joined.items()
        ]

        def made(found: tuple[Any, ...], joined: _Joined) -> Any:
            if optional and found[first] is None:
                return None
            values = list(found[first:last])
            for n, turn in turns:
                values[n] = turn(values[n])
            return kind(*values, *[join(found, joined) for join in joins])

        return made

    def _join(
        self, key: Any, name: str, alias: str, row: Any, parts: _Parts, *, optional: bool
    ) -> Callable[[tuple[Any, ...], _Joined], Any]:
        there = name if alias == self.name else f"{alias}_{name}"
        optional = optional or key.null
        parts.joins.append(
            f'{"LEFT JOIN" if optional else "JOIN"} "{key.rel_model._meta.table_name}" AS {there} '
            f'ON {there}.id = {alias}."{key.column_name}"'
        )
        its_id = len(parts.columns) + list(get_type_hints(row)).index("id")
        made = self._maker(row, key.rel_model, there, parts, optional=optional)

        def once(found: tuple[Any, ...], joined: _Joined) -> Any:
            """The joined row: many lots are of one product, which is made once."""
            which = there, found[its_id]
            if which not in joined:
                joined[which] = made(found, joined)
            return joined[which]

        return once


def _row_in(hint: Any) -> Any:
    """The NamedTuple that a field is of, or None."""
    kinds = get_args(hint) if isinstance(hint, UnionType) else (hint,)
    return next((k for k in kinds if isinstance(k, type) and issubclass(k, tuple)), None)


@lru_cache(maxsize=1024)
def _spoken(sql: str, sqlite: bool) -> str:
    """A statement as the database's driver takes it."""
    if sqlite:
        return sql.replace("IN (?*)", "IN (SELECT value FROM json_each(?))")
    return sql.replace("%", "%%").replace("IN (?*)", "= ANY(?)").replace("?", "%s")


def _bound(value: Value, sqlite: bool) -> Any:
    if isinstance(value, bool):
        return int(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, str | bytes | int | None) or not sqlite:
        return value
    return json.dumps(value)
