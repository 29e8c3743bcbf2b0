"""The first store: catalogue, lots and their ledger, jobs, bays, pots and layups.

On disk a number says its unit in its name: `_mg` milligram, `_ul` microlitre, `_um`
micrometre, `_mk` millikelvin, `_s` seconds, `_ppm` millionths. `amount` and `on_hand`
are in the base unit of the product's measure (mg, µm, thousandths of a piece).
`*_at` are seconds since 1970 UTC, `*_on` are dates, `*_key` is a code without case.
"""

from __future__ import annotations

from typing import Any

from cureyard_migrations.dialect import create_table, guard, on_sqlite

WHO = """
    recorded_at {int} NOT NULL,
    who TEXT NOT NULL,
    verified {int} NOT NULL CHECK (verified IN (0, 1))
"""

TABLES = {
    "yard": """
        id {int} PRIMARY KEY CHECK (id = 1),
        zone TEXT NOT NULL,
        units TEXT NOT NULL CHECK (units IN ('metric', 'us')),
        currency TEXT NOT NULL,
        address TEXT NOT NULL,
        seeded_at {int} NOT NULL,
        version {int} NOT NULL CHECK (version > 0)
    """,
    "product": """
        id {id},
        code TEXT NOT NULL,
        code_key TEXT NOT NULL UNIQUE,
        name TEXT NOT NULL,
        role TEXT NOT NULL,
        chemistry TEXT,
        measure TEXT NOT NULL CHECK (measure IN ('mass', 'length', 'count')),
        density_mg_l {int} CHECK (density_mg_l > 0),
        cured_density_mg_l {int} CHECK (cured_density_mg_l > 0),
        fibre_fraction_ppm {int} CHECK (fibre_fraction_ppm BETWEEN 1 AND 1000000),
        areal_weight_mg_m2 {int} CHECK (areal_weight_mg_m2 > 0),
        width_um {int} CHECK (width_um > 0),
        length_um {int} CHECK (length_um > 0),
        thickness_um {int} CHECK (thickness_um > 0),
        shelf_life_s {int} CHECK (shelf_life_s > 0),
        open_life_s {int} CHECK (open_life_s > 0),
        life_type TEXT NOT NULL CHECK (life_type IN ('I', 'II')),
        active_oxygen_ppm {int} CHECK (active_oxygen_ppm > 0),
        peroxide_type TEXT,
        effects TEXT NOT NULL,
        storage_min_mk {int} CHECK (storage_min_mk >= 0),
        storage_max_mk {int} CHECK (storage_max_mk >= storage_min_mk),
        supplier TEXT,
        reorder_at {int} CHECK (reorder_at >= 0),
        made_at {int} NOT NULL,
        version {int} NOT NULL CHECK (version > 0)
    """,
    "cure_sheet": f"""
        id {{id}},
        product_id {{int}} NOT NULL REFERENCES product (id),
        revision {{int}} NOT NULL CHECK (revision > 0),
        position {{int}} NOT NULL CHECK (position >= 0),
        body TEXT NOT NULL,
        {WHO},
        UNIQUE (product_id, revision, position)
    """,
    "bay": """
        id {id},
        code TEXT NOT NULL,
        code_key TEXT NOT NULL UNIQUE,
        title TEXT NOT NULL,
        uncertainty_mk {int} NOT NULL CHECK (uncertainty_mk >= 0),
        gap_max_s {int} NOT NULL CHECK (gap_max_s > 0),
        made_at {int} NOT NULL,
        version {int} NOT NULL CHECK (version > 0)
    """,
    "bay_pattern": f"""
        id {{id}},
        bay_id {{int}} NOT NULL REFERENCES bay (id),
        at {{int}} NOT NULL,
        day_mk {{int}} NOT NULL CHECK (day_mk >= 0),
        night_mk {{int}} NOT NULL CHECK (night_mk >= 0),
        day_from TEXT NOT NULL CHECK (day_from LIKE '__:__'),
        day_until TEXT NOT NULL CHECK (day_until LIKE '__:__'),
        {WHO}
    """,
    "reading": f"""
        id {{id}},
        bay_id {{int}} NOT NULL REFERENCES bay (id),
        at {{int}} NOT NULL,
        temperature_mk {{int}} NOT NULL CHECK (temperature_mk >= 0),
        humidity_ppm {{int}} CHECK (humidity_ppm BETWEEN 0 AND 1000000),
        replaces_id {{int}} UNIQUE REFERENCES reading (id) CHECK (replaces_id < id),
        reason TEXT,
        {WHO},
        CHECK (replaces_id IS NULL OR reason IS NOT NULL)
    """,
    "lot": """
        id {id},
        product_id {int} NOT NULL REFERENCES product (id),
        number TEXT NOT NULL,
        number_key TEXT NOT NULL,
        container TEXT NOT NULL,
        on_hand {int} NOT NULL CHECK (on_hand >= 0),
        received_at {int} NOT NULL,
        received_on TEXT NOT NULL CHECK (received_on LIKE '____-__-__'),
        made_on TEXT CHECK (made_on LIKE '____-__-__'),
        expires_on TEXT CHECK (expires_on LIKE '____-__-__'),
        opened_on TEXT CHECK (opened_on LIKE '____-__-__'),
        bay_id {int} REFERENCES bay (id),
        held {int} NOT NULL CHECK (held IN (0, 1)),
        hold_reason TEXT,
        parent_id {int} REFERENCES lot (id) CHECK (parent_id < id),
        length_um {int} CHECK (length_um > 0),
        width_um {int} CHECK (width_um > 0),
        cost_minor {int} CHECK (cost_minor >= 0),
        cost_of {int} CHECK (cost_of > 0),
        cost_left_minor {int},
        currency TEXT,
        supplier TEXT,
        version {int} NOT NULL CHECK (version > 0),
        UNIQUE (product_id, number_key, container),
        CHECK ((cost_minor IS NULL) = (cost_of IS NULL)),
        CHECK ((cost_minor IS NULL) = (cost_left_minor IS NULL)),
        CHECK ((cost_minor IS NULL) = (currency IS NULL))
    """,
    "lot_event": f"""
        id {{id}},
        lot_id {{int}} NOT NULL REFERENCES lot (id),
        kind TEXT NOT NULL CHECK (kind IN ('moved', 'held', 'released', 'opened', 'extended')),
        at {{int}} NOT NULL,
        bay_id {{int}} REFERENCES bay (id),
        reason TEXT,
        from_on TEXT CHECK (from_on LIKE '____-__-__'),
        until_on TEXT CHECK (until_on LIKE '____-__-__'),
        {WHO}
    """,
    "job": """
        id {id},
        number TEXT NOT NULL,
        number_key TEXT NOT NULL UNIQUE,
        title TEXT NOT NULL,
        craft TEXT NOT NULL,
        structural TEXT NOT NULL CHECK (structural IN ('yes', 'no', 'unknown')),
        authority TEXT,
        opened_at {int} NOT NULL,
        closed_at {int},
        close_reason TEXT,
        version {int} NOT NULL CHECK (version > 0)
    """,
    "cup_test": f"""
        id {{id}},
        lot_id {{int}} NOT NULL REFERENCES lot (id),
        catalyst_lot_id {{int}} NOT NULL REFERENCES lot (id),
        mass_mg {{int}} NOT NULL CHECK (mass_mg > 0),
        temperature_mk {{int}} NOT NULL CHECK (temperature_mk >= 0),
        percent_ppm {{int}} NOT NULL CHECK (percent_ppm >= 0),
        gel_s {{int}} NOT NULL CHECK (gel_s > 0),
        second_gel_s {{int}} CHECK (second_gel_s > 0),
        condition TEXT NOT NULL,
        factor_ppm {{int}} NOT NULL CHECK (factor_ppm > 0),
        verdict TEXT NOT NULL,
        at {{int}} NOT NULL,
        {WHO}
    """,
    "batch": f"""
        id {{id}},
        job_id {{int}} NOT NULL REFERENCES job (id),
        resin_lot_id {{int}} NOT NULL REFERENCES lot (id),
        catalyst_lot_id {{int}} REFERENCES lot (id),
        cure_sheet_id {{int}} NOT NULL REFERENCES cure_sheet (id),
        resin_mg {{int}} NOT NULL CHECK (resin_mg > 0),
        catalyst_mg {{int}} CHECK (catalyst_mg >= 0),
        catalyst_ul {{int}} CHECK (catalyst_ul >= 0),
        percent_ppm {{int}} CHECK (percent_ppm >= 0),
        temperature_mk {{int}} NOT NULL CHECK (temperature_mk >= 0),
        temperature_basis TEXT NOT NULL CHECK (temperature_basis IN ('given', 'bay')),
        factor_ppm {{int}} NOT NULL CHECK (factor_ppm > 0),
        cup_test_id {{int}} REFERENCES cup_test (id),
        gel_s {{int}} CHECK (gel_s > 0),
        gel_earliest_s {{int}} CHECK (gel_earliest_s > 0),
        gel_latest_s {{int}} CHECK (gel_latest_s > 0),
        answer TEXT NOT NULL,
        mixed_at {{int}} NOT NULL,
        {WHO}
    """,
    "movement": f"""
        id {{id}},
        lot_id {{int}} NOT NULL REFERENCES lot (id),
        kind TEXT NOT NULL
            CHECK (kind IN ('receipt', 'draw', 'return', 'count', 'scrap', 'reversal')),
        amount {{int}} NOT NULL,
        on_hand {{int}} NOT NULL CHECK (on_hand >= 0),
        job_id {{int}} REFERENCES job (id),
        batch_id {{int}} REFERENCES batch (id),
        reverses_id {{int}} UNIQUE REFERENCES movement (id) CHECK (reverses_id < id),
        reason TEXT,
        typed TEXT,
        density_mg_l {{int}} CHECK (density_mg_l > 0),
        cost_minor {{int}},
        currency TEXT,
        counted_at {{int}},
        at {{int}} NOT NULL,
        {WHO},
        CHECK (kind NOT IN ('receipt', 'return') OR amount > 0),
        CHECK (kind NOT IN ('draw', 'scrap') OR amount < 0),
        CHECK ((kind = 'count') = (counted_at IS NOT NULL)),
        CHECK ((kind = 'reversal') = (reverses_id IS NOT NULL)),
        CHECK (kind <> 'reversal' OR reason IS NOT NULL),
        CHECK ((cost_minor IS NULL) = (currency IS NULL))
    """,
    "batch_observation": f"""
        id {{id}},
        batch_id {{int}} NOT NULL REFERENCES batch (id),
        kind TEXT NOT NULL,
        at {{int}} NOT NULL,
        value {{int}},
        note TEXT,
        {WHO}
    """,
    "layup": f"""
        id {{id}},
        job_id {{int}} NOT NULL REFERENCES job (id),
        title TEXT NOT NULL,
        kind TEXT NOT NULL,
        bay_id {{int}} NOT NULL REFERENCES bay (id),
        product_id {{int}} NOT NULL REFERENCES product (id),
        catalyst_id {{int}} REFERENCES product (id),
        cure_sheet_id {{int}} NOT NULL REFERENCES cure_sheet (id),
        percent_ppm {{int}} CHECK (percent_ppm >= 0),
        factor_ppm {{int}} NOT NULL CHECK (factor_ppm > 0),
        applied_at {{int}} NOT NULL,
        finished_at {{int}} NOT NULL,
        surface_mk {{int}} CHECK (surface_mk >= 0),
        cover TEXT,
        thickness_um {{int}} CHECK (thickness_um > 0),
        over_id {{int}} REFERENCES layup (id),
        fillers {{int}} NOT NULL CHECK (fillers IN (0, 1)),
        effects TEXT NOT NULL,
        closed_at {{int}},
        closed_reason TEXT,
        version {{int}} NOT NULL CHECK (version > 0),
        {WHO}
    """,
    "layup_batch": f"""
        id {{id}},
        layup_id {{int}} NOT NULL REFERENCES layup (id),
        batch_id {{int}} NOT NULL REFERENCES batch (id),
        {WHO},
        UNIQUE (layup_id, batch_id)
    """,
    "layup_observation": f"""
        id {{id}},
        layup_id {{int}} NOT NULL REFERENCES layup (id),
        kind TEXT NOT NULL,
        at {{int}} NOT NULL,
        value {{int}},
        note TEXT,
        {WHO}
    """,
    "layup_move": f"""
        id {{id}},
        layup_id {{int}} NOT NULL REFERENCES layup (id),
        bay_id {{int}} NOT NULL REFERENCES bay (id),
        at {{int}} NOT NULL,
        {WHO}
    """,
    "override": f"""
        id {{id}},
        slug TEXT NOT NULL,
        reason TEXT NOT NULL,
        lot_id {{int}} REFERENCES lot (id),
        movement_id {{int}} REFERENCES movement (id),
        batch_id {{int}} REFERENCES batch (id),
        layup_id {{int}} REFERENCES layup (id),
        job_id {{int}} REFERENCES job (id),
        {WHO}
    """,
    "answer": """
        id {id},
        scope TEXT NOT NULL,
        key TEXT NOT NULL,
        body_hash TEXT NOT NULL,
        status {int} NOT NULL,
        body TEXT NOT NULL,
        location TEXT,
        etag TEXT,
        made_at {int} NOT NULL,
        UNIQUE (scope, key)
    """,
}

INDEXES = (
    "INDEX movement_lot ON movement (lot_id, id)",
    "INDEX movement_job ON movement (job_id, id)",
    "INDEX movement_batch ON movement (batch_id)",
    "UNIQUE INDEX reading_first ON reading (bay_id, at) WHERE replaces_id IS NULL",
    "INDEX reading_bay ON reading (bay_id, at)",
    "INDEX bay_pattern_bay ON bay_pattern (bay_id, at)",
    "INDEX lot_due ON lot (product_id, expires_on)",
    "INDEX lot_number ON lot (number_key)",
    "INDEX lot_parent ON lot (parent_id)",
    "INDEX lot_event_lot ON lot_event (lot_id, at)",
    "INDEX cup_test_lot ON cup_test (lot_id, at)",
    "INDEX batch_job ON batch (job_id)",
    "INDEX batch_resin ON batch (resin_lot_id)",
    "INDEX batch_catalyst ON batch (catalyst_lot_id)",
    "INDEX batch_observation_batch ON batch_observation (batch_id, at)",
    "INDEX layup_open ON layup (applied_at) WHERE closed_at IS NULL",
    "INDEX layup_job ON layup (job_id)",
    "INDEX layup_batch_batch ON layup_batch (batch_id)",
    "INDEX layup_observation_layup ON layup_observation (layup_id, at)",
    "INDEX layup_move_layup ON layup_move (layup_id, at)",
    "INDEX override_lot ON override (lot_id)",
    "INDEX answer_made ON answer (made_at)",
)

APPEND_ONLY: dict[str, tuple[str, ...]] = {
    "cure_sheet": (
        "o.product_id = NEW.product_id AND o.revision = NEW.revision AND o.position = NEW.position",
    ),
    "bay_pattern": (),
    "reading": (
        "o.replaces_id = NEW.replaces_id",
        "NEW.replaces_id IS NULL AND o.replaces_id IS NULL"
        " AND o.bay_id = NEW.bay_id AND o.at = NEW.at",
    ),
    "lot_event": (),
    "movement": ("o.reverses_id = NEW.reverses_id",),
    "cup_test": (),
    "batch": (),
    "batch_observation": (),
    "layup_batch": ("o.layup_id = NEW.layup_id AND o.batch_id = NEW.batch_id",),
    "layup_observation": (),
    "layup_move": (),
    "override": (),
}
"""Each append-only table, and how a row `o` is found that an INSERT would replace."""


def up(migrator: Any, db: Any) -> None:
    """Create every table, index and guard."""
    for name, columns in TABLES.items():
        create_table(db, name, columns)
    for index in INDEXES:
        db.execute_sql(f"CREATE {index}")
    for table, keys in APPEND_ONLY.items():
        guard(db, table, keys)


def down(migrator: Any, db: Any) -> None:
    """Drop every table, and with them every record: before the first store was nothing."""
    for table in reversed(TABLES):
        db.execute_sql(f"DROP TABLE {table}")
    if not on_sqlite(db):
        db.execute_sql("DROP FUNCTION refuse_change()")
