"""Record triggers and indexes of a new store: `python -m tests.store.upkeep.record_schema`.

Run it after each migration, and look at what git says has changed.
"""

from __future__ import annotations

from pathlib import Path

from cureyard_service.store.engine.database import opened
from cureyard_service.store.upkeep import schema
from cureyard_service.store.upkeep.migrate import migrate_forward

from ... import engines

FOLDER = Path(__file__).parents[3] / "service" / "store" / "upkeep"


def record(engine: engines.Engine) -> None:
    """Write the file of an engine."""
    with opened(engine.empty()) as store:
        migrate_forward(store)
        lines = sorted(f"{name}: {text}\n" for name, text in schema.texts(store).items())
        (FOLDER / schema.file_name(store)).write_text("".join(lines), encoding="utf-8")


if __name__ == "__main__":
    for name in engines.NAMES:
        with engines.started(name) as engine:
            record(engine)
