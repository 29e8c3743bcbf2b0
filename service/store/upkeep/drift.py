"""Where the models and a migrated store differ: tables, columns, types, keys.

Migrations are written by hand, for their checks and guards, so nothing but this holds the
models to them.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import on_sqlite
from peewee import ForeignKeyField, Model, TextField

from ..engine.columns import Bytes
from ..engine.versions import HISTORY
from ..tables import MODELS

_NOT_OURS = {HISTORY, "sqlite_sequence"}


def drift(db: Any) -> list[str]:
    """Each difference in one sentence; none when the models are what was migrated."""
    there = set(db.get_tables()) - _NOT_OURS
    ours = {model._meta.table_name: model for model in MODELS}
    found = [f"table {name} is in the store alone" for name in sorted(there - set(ours))]
    found += [f"table {name} is in the models alone" for name in sorted(set(ours) - there)]
    for name in sorted(there & set(ours)):
        found += _differences(f"table {name}, column", _declared(db, ours[name]), _kept(db, name))
        found += _differences(f"table {name}, unique", _unique(ours[name]), _kept_unique(db, name))
    return found


def _differences(what: str, declared: set[str], kept: set[str]) -> list[str]:
    alone = [(item, "models") for item in declared - kept]
    alone += [(item, "store") for item in kept - declared]
    return [f"{what} {item} is so in the {where} alone" for item, where in sorted(alone)]


def _declared(db: Any, model: type[Model]) -> set[str]:
    return {
        _column(
            field.column_name,
            _type(db, field),
            field.null and not field.primary_key,
            _target(field),
        )
        for field in model._meta.sorted_fields
    }


def _type(db: Any, field: Any) -> str:
    if isinstance(field, TextField):
        return "TEXT"
    if isinstance(field, Bytes):
        return "BLOB" if on_sqlite(db) else "BYTEA"
    return "INTEGER" if on_sqlite(db) else "BIGINT"


def _target(field: Any) -> str | None:
    return field.rel_model._meta.table_name if isinstance(field, ForeignKeyField) else None


def _kept(db: Any, table: str) -> set[str]:
    targets = {key.column: key.dest_table for key in db.get_foreign_keys(table)}
    return {
        _column(
            column.name,
            column.data_type.upper(),
            column.null and not column.primary_key,
            targets.get(column.name),
        )
        for column in db.get_columns(table)
    }


def _column(name: str, kind: str, null: bool, target: str | None) -> str:
    points = f" → {target}" if target else ""
    return f"{name} {kind}{' or nothing' if null else ''}{points}"


def _unique(model: type[Model]) -> set[str]:
    indexes = [index for index in model._meta.fields_to_index() if index._unique]
    return {_key(field.column_name for field in index._expressions) for index in indexes}


def _kept_unique(db: Any, table: str) -> set[str]:
    keys = {_key(index.columns) for index in db.get_indexes(table) if index.unique}
    return keys - {"id"}


def _key(columns: Any) -> str:
    return ", ".join(columns)
