"""How far the store has come in what milestones rest on, without reading what that is.

Whoever keeps something that was worked out from layups, readings and hands' words asks this
before using it again: as long as the revision is the same, so are the milestones.
"""

from __future__ import annotations

from typing import NamedTuple

from .database import db
from .faults import translated

RECORDED = (
    "reading", "bay_pattern", "layup", "layup_observation", "layup_move", "batch_observation",
    "cup_test", "layup_earlier", "withdrawal",
)  # fmt: skip
_LAST_IDS = " + ".join(f"COALESCE((SELECT MAX(id) FROM {table}), 0)" for table in RECORDED)
_ASKED = f"""
    SELECT {_LAST_IDS} + (SELECT version FROM yard) + COALESCE((SELECT SUM(version) FROM bay), 0),
        COUNT(*), COALESCE(SUM(version), 0)
    FROM layup WHERE closed_at IS NULL
"""


class Revision(NamedTuple):
    """Equal to another where nothing came in between.

    Attributes:
        rises: a number that only rises: with each row that a milestone may rest on, and each
            change of a bay or the yard.
        layups, changes: how many layups are watched, and the sum of their versions.
    """

    rises: int
    layups: int
    changes: int


def revision() -> Revision:
    """The store's revision, as this transaction sees it: four numbers, however old the store is."""
    with translated():
        return Revision(*map(int, db.execute_sql(_ASKED).fetchone()))
