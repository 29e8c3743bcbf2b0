"""Proving the seals, where each movement was a transaction of its own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from cureyard_service.store.engine.database import db, opened, reading
from cureyard_service.store.engine.rows import insert, query
from cureyard_service.store.engine.sealing import TABLES, sealed
from cureyard_service.store.tables import MODELS, Movement
from cureyard_service.store.upkeep.seals import every_row_is_as_it_was_sealed

from ..acts.sample_yard import HAND
from . import stores
from .harness import Row, Scale, compared, timed

AT_ONCE = 10_000
DRAW = "UPDATE lot SET on_hand = on_hand - 1 WHERE id = ? RETURNING id"


def rows(scale: Scale, folder: Path) -> Iterator[Row]:
    """All rows read and held to their hashes, against only reading them."""
    many = scale.n(200_000, 20_000)
    store = stores.new(stores.at(folder, "sealed"))
    with opened(store):
        _draw_each(many)
        yield compared(
            f"prove the seals of {many:,} transactions", "reading every row, in columns", 3.0,
            timed(_proved), timed(_read), scale.n(8, 3),
        )  # fmt: skip


def _draw_each(many: int) -> None:
    """Draws, each sealed by itself, but all in one commit."""
    with db.atomic():
        for number in range(many):
            with sealed(db):
                query(DRAW, 1)
                insert(
                    Movement, lot_id=1, kind="draw", amount=-1, on_hand=number, at=number,
                    typed="1 mg", **HAND.signed(number),
                )  # fmt: skip


def _proved() -> None:
    with reading():
        findings = every_row_is_as_it_was_sealed(db)
    if findings:
        raise RuntimeError(findings[0])


def _read() -> None:
    """Every row of what is sealed, and of the chain."""
    with reading():
        for model in MODELS:
            table = model._meta.table_name
            if table in TABLES or table in ("written", "seal"):
                _read_table(table, [f.column_name for f in model._meta.sorted_fields])


def _read_table(table: str, names: list[str]) -> None:
    columns, after = ", ".join(f'"{name}"' for name in names), 0
    sql = f'SELECT {columns} FROM "{table}" WHERE id > ? ORDER BY id LIMIT {AT_ONCE}'
    while found := query(sql, after):
        after = found[-1][names.index("id")]
