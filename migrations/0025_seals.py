"""Seals: what each transaction wrote is named and hashed, and the hashes are tied into a chain.

`written` is a transaction's row, and `seal` its place in the chain: see `seals`. `found` is 1 where
rows were sealed as they were found. What a store has from before is sealed so. `answer`, which
only repeats what was answered and is dropped after a while, is not sealed, nor is `token_use`.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard, on_sqlite
from cureyard_migrations.seals import seal_as_found

TABLES = {
    "written": """
        id {id},
        version {int} NOT NULL CHECK (version > 0),
        found {int} NOT NULL CHECK (found IN (0, 1)),
        parts TEXT NOT NULL
    """,
    "seal": """
        id {id},
        written_id {int} NOT NULL UNIQUE REFERENCES written (id),
        head TEXT NOT NULL CHECK (length(head) = 64)
    """,
}

KEPT = (
    "acceptance", "batch", "batch_observation", "bay_pattern", "cup_test", "cure_sheet", "feed",
    "feed_end", "layup_batch", "layup_earlier", "layup_move", "layup_observation", "logbook",
    "lot_event", "movement", "need", "override", "phone", "phone_code_end", "photograph", "plan",
    "reached", "reading", "token", "token_end", "withdrawal",
)  # fmt: skip
CHANGING = ("bay", "job", "layup", "lot", "product", "yard")

TIE = """
CREATE FUNCTION tie_seals(everything BOOLEAN) RETURNS void LANGUAGE plpgsql AS $$
DECLARE
    last TEXT;
    since BIGINT := 0;
    line RECORD;
BEGIN
    PERFORM set_config('synchronous_commit', 'off', true);
    IF everything THEN
        PERFORM pg_advisory_xact_lock(4785327003);
    ELSIF NOT pg_try_advisory_xact_lock(4785327003) THEN
        RETURN;
    ELSE
        SELECT COALESCE(MAX(written_id), 0) - 200 INTO since FROM seal;
    END IF;
    SELECT head INTO last FROM seal ORDER BY id DESC LIMIT 1;
    FOR line IN SELECT * FROM written w WHERE w.id > since
        AND NOT EXISTS (SELECT 1 FROM seal s WHERE s.written_id = w.id) ORDER BY w.id
    LOOP
        last := encode(sha256(convert_to(COALESCE(last, '') || ' ' || line.version || ' '
            || line.found || ' ' || line.parts, 'UTF8')), 'hex');
        INSERT INTO seal (written_id, head) VALUES (line.id, last);
    END LOOP;
END $$
"""
"""Ties what was committed to the chain, by one at a time: no transaction waits for another's.

Ids are given before a commit, so one may be seen late. Who is in a hurry looks 200 ids back; who
wants `everything` waits for his turn and looks at all.
"""


def up(migrator: Any, db: Any) -> None:
    """Create both tables and seal what there is."""
    for name, columns in TABLES.items():
        create_table(db, name, columns)
    guard(db, "written")
    guard(db, "seal", ("o.written_id = NEW.written_id",))
    if not on_sqlite(db):
        db.execute_sql(TIE)
    seal_as_found(db, 25, KEPT, CHANGING)


def down(migrator: Any, db: Any) -> None:
    """Drop them: what was changed past the program is not told any more."""
    if not on_sqlite(db):
        db.execute_sql("DROP FUNCTION tie_seals(BOOLEAN)")
    db.execute_sql("DROP TABLE seal")
    db.execute_sql("DROP TABLE written")
