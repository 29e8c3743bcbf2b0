"""A lead's signature under a job, and that while it stands nothing is written to the job.

`authority` is the job's as it was then, `profile` the quality gates that the yard went by,
`left_open` the JSON of what was left open, each with its reason. `head` is the head of the seals
at that moment, NULL where the store has none. A signature that was voided has its row in
`signature_end`.

The database refuses a row of a signed job whichever program writes it. Bays, stock and catalogue
are the yard's and go on; so do the announcements of what turned, and calendars.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard, guard_signed, unguard_signed

WHO = """
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""

SIGNATURE = f"""
    id {{id}},
    job_id {{int}} NOT NULL REFERENCES job (id),
    authority TEXT,
    profile TEXT NOT NULL,
    left_open TEXT NOT NULL,
    head TEXT,
    {WHO}
"""

SIGNATURE_END = f"""
    id {{id}},
    signature_id {{int}} NOT NULL UNIQUE REFERENCES signature (id),
    reason TEXT NOT NULL CHECK (reason <> ''),
    {WHO}
"""

_OF_LAYUP = "SELECT l.job_id FROM layup l WHERE l.id = NEW.layup_id"
_OF_MOVEMENT = """
    COALESCE(NEW.job_id, (SELECT b.job_id FROM batch b WHERE b.id = NEW.batch_id),
        (SELECT m.job_id FROM movement m WHERE m.id = NEW.reverses_id))
"""
_OF_WITHDRAWAL = """
    COALESCE(
        (SELECT l.job_id FROM layup l WHERE l.id = NEW.layup_id),
        (SELECT l.job_id FROM layup_observation o JOIN layup l ON l.id = o.layup_id
            WHERE o.id = NEW.layup_observation_id),
        (SELECT b.job_id FROM batch_observation o JOIN batch b ON b.id = o.batch_id
            WHERE o.id = NEW.batch_observation_id),
        (SELECT COALESCE(p.job_id, l.job_id) FROM photograph p
            LEFT JOIN layup l ON l.id = p.layup_id WHERE p.id = NEW.photograph_id))
"""
_OF_PHOTOGRAPH = "COALESCE(NEW.job_id, (SELECT l.job_id FROM layup l WHERE l.id = NEW.layup_id))"
_OF_PROBE = """
    SELECT l.job_id FROM layup_probe p JOIN layup l ON l.id = p.layup_id
    WHERE p.id = NEW.layup_probe_id
"""

_WETNESS = ("finding", "moisture_reading", "surface_note", "film_test", "weighed_sample")
_OF_WETNESS_WITHDRAWAL = "COALESCE({})".format(
    ", ".join(
        f"(SELECT w.job_id FROM {name} w WHERE w.id = NEW.{name}_id)"  # noqa: S608 (our own words)
        for name in _WETNESS
    )
)

ADDED = {
    "need": "NEW.job_id",
    "plan": "NEW.job_id",
    "batch": "NEW.job_id",
    "batch_observation": "SELECT b.job_id FROM batch b WHERE b.id = NEW.batch_id",
    "movement": _OF_MOVEMENT,
    "layup_batch": _OF_LAYUP,
    "layup_observation": _OF_LAYUP,
    "layup_move": _OF_LAYUP,
    "layup_probe": _OF_LAYUP,
    "layup_probe_end": _OF_PROBE,
    "layup_earlier": _OF_LAYUP,
    "withdrawal": _OF_WITHDRAWAL,
    "photograph": _OF_PHOTOGRAPH,
    **dict.fromkeys(_WETNESS, "NEW.job_id"),
    "wetness_withdrawal": _OF_WETNESS_WITHDRAWAL,
    "override": "NEW.job_id",
    "signature": "NEW.job_id",
}
"""Tables whose rows are only added, with the job of a new row."""

CHANGED = {"job": "NEW.id", "layup": "NEW.job_id"}
"""Tables whose rows are changed too."""


def up(migrator: Any, db: Any) -> None:
    """Create both tables, append-only, and put the guards on what belongs to a job."""
    create_table(db, "signature", SIGNATURE)
    db.execute_sql("CREATE INDEX signature_job ON signature (job_id, id)")
    guard(db, "signature")
    create_table(db, "signature_end", SIGNATURE_END)
    guard(db, "signature_end", ("o.signature_id = NEW.signature_id",))
    for table, job in ADDED.items():
        guard_signed(db, table, job)
    for table, job in CHANGED.items():
        guard_signed(db, table, job, changes=True)


def down(migrator: Any, db: Any) -> None:
    """Take the guards away and drop both tables: jobs are closed, and signed by nobody."""
    for table in ADDED:
        unguard_signed(db, table)
    for table in CHANGED:
        unguard_signed(db, table, changes=True)
    db.execute_sql("DROP TABLE signature_end")
    db.execute_sql("DROP TABLE signature")
