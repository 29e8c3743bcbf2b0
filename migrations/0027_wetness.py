"""Findings, moisture meters and their readings, films, weighed samples, and what befell a surface.

A place is a text in the yard's words; `place_key` is it without case. Numbers of a meter's scale
are in thousandths of a point. `modes` is JSON, `[[name, "points" or "percent"], …]`; `placements`
is JSON, a list of thousandths. A row of `wetness_withdrawal` names the one thing that it takes
back; the thing itself stays.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard

WHO = """
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""

OF_JOB = "id {id}, job_id {int} NOT NULL REFERENCES job (id)"
PLACE = "place TEXT NOT NULL CHECK (place <> ''), place_key TEXT NOT NULL"

METER = f"""
    id {{id}},
    code TEXT NOT NULL,
    code_key TEXT NOT NULL UNIQUE,
    title TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('capacitance', 'pins')),
    low_milli {{int}} NOT NULL,
    high_milli {{int}} NOT NULL CHECK (high_milli > low_milli),
    modes TEXT NOT NULL,
    {WHO}
"""

FINDING = f"""
    {OF_JOB},
    {PLACE},
    side TEXT NOT NULL CHECK (side IN ('port', 'starboard', 'centreline')),
    kind TEXT NOT NULL CHECK (
        kind IN ('blister', 'crack', 'delamination', 'wet_core', 'hole', 'other')
    ),
    length_um {{int}} NOT NULL CHECK (length_um > 0),
    width_um {{int}} NOT NULL CHECK (width_um > 0),
    depth_um {{int}} CHECK (depth_um > 0),
    found_by TEXT NOT NULL CHECK (found_by <> ''),
    note TEXT,
    at {{int}} NOT NULL,
    {WHO}
"""

MOISTURE_READING = f"""
    {OF_JOB},
    {PLACE},
    meter_id {{int}} NOT NULL REFERENCES meter (id),
    mode TEXT NOT NULL,
    placements TEXT NOT NULL,
    surface_mk {{int}} NOT NULL,
    air_mk {{int}},
    humidity_ppm {{int}},
    bay_id {{int}} REFERENCES bay (id),
    dry_place {{int}} NOT NULL CHECK (dry_place IN (0, 1)),
    at {{int}} NOT NULL,
    {WHO}
"""

SURFACE_NOTE = f"""
    {OF_JOB},
    place TEXT CHECK (place <> ''),
    place_key TEXT,
    kind TEXT NOT NULL CHECK (kind IN (
        'hauled_out', 'washed', 'rain', 'opened', 'heat_on', 'heat_off', 'touched', 'oil', 'dust',
        'prepared'
    )),
    water TEXT CHECK (water IN ('sheets', 'beads')),
    note TEXT,
    at {{int}} NOT NULL,
    {WHO},
    CHECK (water IS NULL OR kind = 'washed')
"""

FILM_TEST = f"""
    {OF_JOB},
    {PLACE},
    taped_at {{int}} NOT NULL,
    looked_at {{int}} NOT NULL CHECK (looked_at > taped_at),
    drops {{int}} NOT NULL CHECK (drops IN (0, 1)),
    {WHO}
"""

WEIGHED_SAMPLE = f"""
    {OF_JOB},
    {PLACE},
    wet_mg {{int}} NOT NULL,
    dried_mg {{int}} NOT NULL CHECK (dried_mg > 0),
    at {{int}} NOT NULL,
    {WHO},
    CHECK (wet_mg >= dried_mg)
"""

OF_JOBS = {
    "finding": FINDING,
    "moisture_reading": MOISTURE_READING,
    "surface_note": SURFACE_NOTE,
    "film_test": FILM_TEST,
    "weighed_sample": WEIGHED_SAMPLE,
}
_COLUMNS = "".join(f"{name}_id {{int}} UNIQUE REFERENCES {name} (id),\n" for name in OF_JOBS)
_GIVEN = " + ".join(f"CASE WHEN {name}_id IS NULL THEN 0 ELSE 1 END" for name in OF_JOBS)

WITHDRAWAL = f"""
    id {{id}},
    {_COLUMNS}
    reason TEXT NOT NULL CHECK (reason <> ''),
    {WHO},
    CHECK ({_GIVEN} = 1)
"""


def up(migrator: Any, db: Any) -> None:
    """Create the tables, append-only."""
    create_table(db, "meter", METER)
    guard(db, "meter", ["o.code_key = NEW.code_key"])
    for name, columns in OF_JOBS.items():
        create_table(db, name, columns)
        db.execute_sql(f"CREATE INDEX {name}_job ON {name} (job_id, id)")
        guard(db, name)
    create_table(db, "wetness_withdrawal", WITHDRAWAL)
    guard(db, "wetness_withdrawal", [f"o.{name}_id = NEW.{name}_id" for name in OF_JOBS])


def down(migrator: Any, db: Any) -> None:
    """Drop them."""
    for name in ("wetness_withdrawal", *reversed(OF_JOBS), "meter"):
        db.execute_sql(f"DROP TABLE {name}")
