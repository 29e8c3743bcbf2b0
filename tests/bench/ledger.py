"""A ledger of a million lines: a draw, the last page, the proofs."""

from __future__ import annotations

import base64
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from cureyard_service.store.engine.database import db, opened, reading
from cureyard_service.store.upkeep import proofs
from cureyard_service.store.upkeep.seals import every_row_is_as_it_was_sealed

from . import draws, plans, stores
from .asking import get, piped
from .harness import Row, Scale, compared, timed

LOTS, LINES = 10_000, 100
SUM = "SELECT lot_id, SUM(amount) FROM movement GROUP BY lot_id"


def rows(scale: Scale, folder: Path) -> Iterator[Row]:
    """All three, on one store."""
    lots = scale.n(LOTS, LOTS // 8)
    old, new = (stores.new(stores.at(folder, f"ledger {name}")) for name in ("old", "new"))
    stores.add_lots(old, lots, LINES, stocked="i % 10 = 0")
    stores.add_lots(new, 10, LINES, stocked="1")
    yield _draw(scale, old, new, f"{lots * LINES:,} movements and {lots:,} lots")
    yield _pages(scale, old, lots * LINES)
    yield _proofs(scale, old, lots * LINES)


def _draw(scale: Scale, old: str, new: str, what: str) -> Row:
    with piped("cureyard", old) as ours, piped("cureyard", new) as theirs:
        ours.ask(draws.draw()), theirs.ask(draws.draw())  # the first opens the drum
        traced = [one.ask({**draws.draw(), "traced": True})["sql"] for one in (ours, theirs)]
        return compared(
            f"a draw, with {what} in the store", "the same draw with 1,000 movements", 1.25,
            ours.taking(draws.draw), theirs.taking(draws.draw), scale.n(400, 60),
            **plans.compared(old, *traced),
        )  # fmt: skip


def _pages(scale: Scale, store: str, lines: int) -> Row:
    last = base64.b32hexencode(b"51").decode().rstrip("=").lower()
    with piped("cureyard", store) as real:
        first_page, last_page = "/v1/movements", f"/v1/movements?after={last}"
        return compared(
            f"the last page of {lines:,} movements", "the first page", 1.3,
            real.taking(lambda: get(last_page)), real.taking(lambda: get(first_page)),
            scale.n(200, 40),
        )  # fmt: skip


def _proofs(scale: Scale, store: str, lines: int) -> Row:
    connection = sqlite3.connect(store)
    with opened(store):
        row = compared(
            f"prove, on {lines:,} movements", "the bare SUM … GROUP BY", 3.0,
            timed(_proved), timed(lambda: connection.execute(SUM).fetchall()), scale.n(12, 3),
        )  # fmt: skip
    connection.close()
    return row


def _proved() -> None:
    """All proofs but that of the seals, which reads every column: see `seals`."""
    with reading():
        for check in proofs.CHECKS:
            found = [] if check is every_row_is_as_it_was_sealed else check(db)
            if found:
                raise RuntimeError(found[0])
