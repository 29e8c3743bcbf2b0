"""The names that people type, read from an SQLite store's file without opening the store.

For Tab, which nobody waits for. Nothing is made, brought to this program's version or written:
a file of another version that does not have a column is an error, and its names are not offered.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any, Literal

from ..core.amounts.quantities import KIND_OF_MEASURE, show

Noun = Literal["jobs", "closed jobs", "products", "bays", "lots", "layups", "batches"]

MOST = 200
"""Names that are read."""

_READ: dict[Noun, str] = {
    "jobs": "SELECT number, title FROM job WHERE closed_at IS NULL ORDER BY id DESC",
    "closed jobs": "SELECT number, title FROM job WHERE closed_at IS NOT NULL ORDER BY id DESC",
    "products": "SELECT code, name FROM product ORDER BY id",
    "bays": "SELECT code, title FROM bay ORDER BY id",
    "layups": "SELECT id, title FROM layup ORDER BY id DESC",
    "batches": "SELECT batch.id, job.number FROM batch JOIN job ON job.id = batch.job_id "
    "ORDER BY batch.id DESC",
}
_LOTS = """
    SELECT product.code, lot.number, lot.container, lot.on_hand, product.measure, lot.held,
        (SELECT units FROM yard)
    FROM lot JOIN product ON product.id = lot.product_id ORDER BY lot.id LIMIT ?
"""


def names(address: str, noun: Noun) -> list[tuple[str, str]] | None:
    """Each name, as a person types it, and a word beside it; None for a store in no file.

    Args:
        address: as `open_store` takes it.

    Raises:
        sqlite3.Error: there is no such file, or it is no store that this program can read.
    """
    file = address.removeprefix("sqlite:///")
    if "://" in file:
        return None
    with closing(_opened(Path(file).absolute())) as store:
        if noun == "lots":
            return [_lot(*row) for row in store.execute(_LOTS, [MOST])]
        found = store.execute(f"{_READ[noun]} LIMIT ?", [MOST])
        return [(str(name), word) for name, word in found]


def _opened(file: Path) -> sqlite3.Connection:
    """A connection that only reads.

    Where nobody has the store open there is no log beside it. Then the file is said not to change,
    or SQLite would make an empty log to look at it (sqlite.org/wal.html, 'Read-Only Databases').
    """
    how = "mode=ro" if file.with_name(f"{file.name}-wal").exists() else "mode=ro&immutable=1"
    return sqlite3.connect(f"{file.as_uri()}?{how}", uri=True, timeout=0.5)


def _lot(
    code: str, number: str, container: str, on_hand: int, measure: Any, held: int, units: Any
) -> tuple[str, str]:
    name = f"{code}/{number}" if container == "1" else f"{code}/{number}/{container}"
    amount = show(on_hand, KIND_OF_MEASURE[measure], units)
    return name, f"{amount['value']:g} {amount['unit']}{', held' if held else ''}"
