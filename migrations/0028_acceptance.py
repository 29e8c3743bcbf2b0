"""How a hardness was taken, and the probes that tell the temperature of a post-cure.

`scale` is NULL where nobody chose one: what was noted before is on Barcol 934-1. `face` is what was
read, laminate or gel coat. `met` has the conditions that a hand says were met, by a space. A probe
is a bay whose readings are the layup's own; one that was named by mistake is ended, and never
counted.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard
from cureyard_migrations.seals import seal_as_found

COLUMNS = ("scale", "face", "met")

WHO = """
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""

LAYUP_PROBE = f"""
    id {{id}},
    layup_id {{int}} NOT NULL REFERENCES layup (id),
    bay_id {{int}} NOT NULL REFERENCES bay (id),
    on_part {{int}} NOT NULL CHECK (on_part IN (0, 1)),
    {WHO}
"""

LAYUP_PROBE_END = f"""
    id {{id}},
    layup_probe_id {{int}} NOT NULL UNIQUE REFERENCES layup_probe (id),
    reason TEXT NOT NULL CHECK (reason <> ''),
    {WHO}
"""


def up(migrator: Any, db: Any) -> None:
    """Add the columns and create both tables, append-only."""
    for column in COLUMNS:
        db.execute_sql(f"ALTER TABLE layup_observation ADD COLUMN {column} TEXT")
    seal_as_found(db, 28, ("layup_observation",), ())
    create_table(db, "layup_probe", LAYUP_PROBE)
    db.execute_sql("CREATE INDEX layup_probe_layup ON layup_probe (layup_id, id)")
    guard(db, "layup_probe")
    create_table(db, "layup_probe_end", LAYUP_PROBE_END)
    guard(db, "layup_probe_end", ("o.layup_probe_id = NEW.layup_probe_id",))


def down(migrator: Any, db: Any) -> None:
    """Drop them: a hardness keeps its value and readings, and is of Barcol 934-1."""
    db.execute_sql("DROP TABLE layup_probe_end")
    db.execute_sql("DROP TABLE layup_probe")
    for column in reversed(COLUMNS):
        db.execute_sql(f"ALTER TABLE layup_observation DROP COLUMN {column}")
    seal_as_found(db, 27, ("layup_observation",), ())
