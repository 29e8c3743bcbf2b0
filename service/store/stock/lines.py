"""The ledger's lines: one for each time that stock came in, went out or was counted."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from .. import tables
from ..engine.columns import LARGEST
from ..engine.rows import Reader, Value, exists, matching, query, scalar
from ..yard import recorded
from ..yard.hands import Hand
from .jobs import Job
from .lots import Lot

NOT_REVERSED = """
    movement.kind <> 'reversal'
    AND NOT EXISTS (SELECT 1 FROM movement AS mirror WHERE mirror.reverses_id = movement.id)
"""
"""The SQL condition that a line stands: it is no reversal, and none reverses it."""

WAITING = """
    movement.counted_at IS NOT NULL AND movement.amount <> 0
    AND NOT EXISTS (SELECT 1 FROM movement AS mirror WHERE mirror.reverses_id = movement.id)
    AND NOT EXISTS (SELECT 1 FROM acceptance WHERE acceptance.movement_id = movement.id)
"""
"""The SQL condition that a count found a difference, stands, and waits for a lead to accept it."""


class Movement(NamedTuple):
    """One line of the ledger; `amount` is signed, `on_hand` what the lot had after it.

    `cost_minor` is what the line takes out of the lot's cost: above zero for a draw, below
    for a receipt or a return.
    """

    id: int
    lot_id: int
    kind: str
    amount: int
    on_hand: int
    job_id: int | None
    batch_id: int | None
    reverses_id: int | None
    reason: str | None
    typed: str | None
    density_mg_l: int | None
    cost_minor: int | None
    currency: str | None
    counted_at: int | None
    at: int
    recorded_at: int
    who: str
    verified: bool
    lot: Lot
    job: Job | None


_LINES = Reader(Movement, tables.Movement)

find_line = _LINES.by_id
line = _LINES.of_id
lines = _LINES.by_ids


def newest(
    after: int | None,
    limit: int,
    *,
    lot: int | None = None,
    job: int | None = None,
    by: Hand | None = None,
    waiting: bool = False,
) -> list[Movement]:
    """Lines, newest first.

    Args:
        after: the id of the line after which to go on. lot, job: ids, to list only theirs.
        by: to list only what this hand recorded.
        waiting: to list only counts that no lead has accepted yet.
    """
    conditions: dict[str, Value] = {
        "movement.id < ?": LARGEST if after is None else after,
        "movement.lot_id = ?": lot,
        "movement.job_id = ?": job,
    }
    if by is not None:
        conditions |= recorded.by("movement", by)
    where, values = matching(conditions, *([WAITING] if waiting else []))
    return _LINES.all(f"{where} ORDER BY movement.id DESC LIMIT ?", *values, limit)


def last_moved(by: Hand | str) -> Movement | None:
    """The last standing line that a hand recorded, or anybody of a name; None without one."""
    where, values = matching(recorded.by("movement", by), NOT_REVERSED)
    return _LINES.first(f"{where} ORDER BY movement.id DESC", *values)


def written_with(row: Movement) -> list[Movement]:
    """The lines of the ledger that one act wrote, the first first: a draw may be from many lots,
    and all that a pot drew belongs together.
    """
    if row.batch_id is not None:
        return of_batch(row.batch_id)
    if row.kind not in ("draw", "scrap"):
        return [row]
    rest = f"""
        WHERE movement.recorded_at = ? AND movement.who = ? AND movement.kind = ?
        AND movement.batch_id IS NULL AND {NOT_REVERSED} ORDER BY movement.id
    """
    same = (row.job_id, row.lot.product_id)
    rows = _LINES.all(rest, row.recorded_at, row.who, row.kind)
    return [each for each in rows if (each.job_id, each.lot.product_id) == same]


def of_batch(batch_id: int) -> list[Movement]:
    """The standing lines of a pot, in order."""
    rest = f"WHERE movement.batch_id = ? AND {NOT_REVERSED} ORDER BY movement.id"
    return _LINES.all(rest, batch_id)


def of_job(job_id: int, kinds: Iterable[str]) -> list[Movement]:
    """The standing lines of a job of some kinds, in order."""
    wanted = tuple(kinds)
    named = ", ".join("?" * len(wanted))
    rest = f"WHERE movement.job_id = ? AND movement.kind IN ({named}) AND {NOT_REVERSED}"
    return _LINES.all(f"{rest} ORDER BY movement.id", job_id, *wanted)


def of_lot(lot_id: int) -> list[Movement]:
    """A lot's movements, oldest first."""
    return _LINES.all("WHERE movement.lot_id = ? ORDER BY movement.id", lot_id)


def receipt_of(lot_id: int) -> Movement | None:
    """The line by which a lot came in, or None: an offcut came back by a return."""
    return _LINES.first("WHERE movement.lot_id = ? AND movement.kind = 'receipt'", lot_id)


def draws_of_batch(batch_id: int) -> list[Movement]:
    """What was drawn for a pot, in the order it went in; reversals too."""
    return draws_of_batches([batch_id])[batch_id]


def draws_of_batches(batch_ids: Iterable[int]) -> dict[int, list[Movement]]:
    """What was drawn for each of some pots, in the order it went in; reversals too."""
    found: dict[int, list[Movement]] = {batch: [] for batch in batch_ids}
    for row in _LINES.all("WHERE movement.batch_id IN (?*) ORDER BY movement.id", list(found)):
        if row.batch_id is not None:
            found[row.batch_id].append(row)
    return found


def lots_in_batches(batch_ids: Iterable[int]) -> dict[int, list[Lot]]:
    """Pot's id → the lots drawn for it, in the order they went in."""
    return {
        batch: [row.lot for row in rows if row.kind == "draw"]
        for batch, rows in draws_of_batches(batch_ids).items()
        if rows
    }


def count_lines(lot_ids: Iterable[int]) -> dict[int, int]:
    """Lot id → how many movements it has."""
    wanted = list(lot_ids)
    sql = "SELECT lot_id, COUNT(id) FROM movement WHERE lot_id IN (?*) GROUP BY lot_id"
    return dict.fromkeys(wanted, 0) | dict(query(sql, wanted))


def last_line() -> int:
    """The id of the ledger's last line; 0 when it has none."""
    return int(scalar("SELECT MAX(id) FROM movement") or 0)


def is_reversed(line_id: int) -> bool:
    """Whether a line has a mirror."""
    return exists("SELECT 1 FROM movement WHERE reverses_id = ?", line_id)


def counted_since(lot_id: int, moment: int, *, after: int = 0) -> bool:
    """Whether a standing count of a lot was made at a moment (epoch s) or later.

    Args:
        after: id of a line; only counts recorded after it are looked at.
    """
    sql = f"""
        SELECT 1 FROM movement WHERE movement.lot_id = ? AND movement.kind = 'count'
        AND movement.id > ? AND movement.counted_at >= ? AND {NOT_REVERSED}
    """
    return exists(sql, lot_id, after, moment)


def drawn_of(job_id: int, lot_id: int) -> int:
    """How much of a lot a job drew and has not brought back, pieces included, base units.

    The return that made a piece a lot is of the lot that it was cut from, not of the piece.
    """
    sql = f"""
        SELECT COALESCE(SUM(movement.amount), 0) FROM movement
        WHERE movement.job_id = ? AND {NOT_REVERSED} AND (
            (movement.kind = 'draw' AND movement.lot_id = ?)
            OR (movement.kind = 'return' AND movement.lot_id IN (
                SELECT id FROM lot WHERE parent_id = ? OR (id = ? AND parent_id IS NULL)
            ))
        )
    """
    return -int(scalar(sql, job_id, lot_id, lot_id, lot_id))


def used_beside(row: Movement) -> bool:
    """Whether a lot has another standing line."""
    others = "SELECT 1 FROM movement WHERE movement.lot_id = ? AND movement.id <> ?"
    return exists(f"{others} AND {NOT_REVERSED}", row.lot_id, row.id)
