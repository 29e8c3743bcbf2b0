"""Pots that were mixed, and what hands saw of them."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any, NamedTuple

from ...core.stock import cup_test
from .. import tables
from ..engine.columns import LARGEST
from ..engine.rows import Reader, Value, insert, matching
from ..stock import cup_tests
from ..stock.cup_tests import USABLE_VERDICTS, CupTest
from ..stock.jobs import Job
from ..stock.lots import Lot
from ..yard import recorded, withdrawals
from ..yard.hands import Hand


class Batch(NamedTuple):
    """One pot, mixed; `answer` is the JSON of what the hand was told."""

    id: int
    job_id: int
    resin_lot_id: int
    catalyst_lot_id: int | None
    cure_sheet_id: int
    resin_mg: int
    catalyst_mg: int | None
    catalyst_ul: int | None
    percent_ppm: int | None
    temperature_mk: int
    temperature_basis: str
    factor_ppm: int
    cup_test_id: int | None
    gel_s: int | None
    gel_earliest_s: int | None
    gel_latest_s: int | None
    filled: bool
    answer: str
    mixed_at: int
    recorded_at: int
    who: str
    verified: bool
    job: Job
    resin_lot: Lot
    catalyst_lot: Lot | None

    @property
    def spread_by(self) -> int:
        """When its working time is over, epoch s, as the hand was told at its mixing."""
        return self.mixed_at + int(json.loads(self.answer)["pot"]["working_time"] or 0)


class BatchObservation(NamedTuple):
    """What a hand saw of a pot: gelled, not gelled, lost, not mixed."""

    id: int
    batch_id: int
    kind: str
    at: int
    value: int | None
    note: str | None
    recorded_at: int
    who: str
    verified: bool


_POTS = Reader(Batch, tables.Batch)
_SEEN = Reader(BatchObservation, tables.BatchObservation)

find_batch = _POTS.by_id
batch = _POTS.of_id
batches = _POTS.by_ids
find_observation = _SEEN.by_id


def page(after: int | None, limit: int, job_id: int | None = None) -> list[Batch]:
    """Pots, the newest first, after the one with that id; of a job if asked."""
    conditions: dict[str, Value] = {
        "batch.id < ?": LARGEST if after is None else after,
        "batch.job_id = ?": job_id,
    }
    where, values = matching(conditions)
    return _POTS.all(f"{where} ORDER BY batch.id DESC LIMIT ?", *values, limit)


def of_job(job_id: int) -> list[Batch]:
    """The pots of a job, by id."""
    return _POTS.all("WHERE batch.job_id = ? ORDER BY batch.id", job_id)


def any_before(row: Batch, since: int) -> bool:
    """Whether a pot of the same resin was mixed before another, since a moment (epoch s)."""
    rest = """
        WHERE batch.resin_lot_id IN (SELECT id FROM lot WHERE product_id = ?)
        AND batch.mixed_at >= ?
        AND (batch.mixed_at < ? OR (batch.mixed_at = ? AND batch.id < ?)) LIMIT 1
    """
    at = row.mixed_at
    return bool(_POTS.all(rest, row.resin_lot.product_id, since, at, at, row.id))


def add(*, now: int, hand: Hand, **columns: Any) -> Batch:
    """Add a pot; `columns` by their names."""
    return _POTS.of_id(insert(tables.Batch, **columns, **hand.signed(now)))


def observe(
    batch_id: int, kind: str, *, at: int, note: str | None = None, now: int, hand: Hand
) -> None:
    """Record what a hand saw of a pot; `at` and `now` in epoch s."""
    insert(
        tables.BatchObservation, batch_id=batch_id, kind=kind, at=at, note=note,
        **hand.signed(now),
    )  # fmt: skip


def observations_of_batch(batch_id: int, as_known_at: int | None = None) -> list[BatchObservation]:
    """What hands saw of a pot and did not take back, oldest first, as recorded by a moment."""
    return observations_of_batches([batch_id], as_known_at)[batch_id]


def observations_of_batches(
    batch_ids: Sequence[int], as_known_at: int | None = None
) -> dict[int, list[BatchObservation]]:
    """Pot's id → what hands saw of it, as `observations_of_batch`, in one query for all."""
    rest = f"""
        WHERE batch_observation.batch_id IN (?*) AND batch_observation.recorded_at <= ?
        AND {withdrawals.standing("batch_observation", as_known_at)}
        ORDER BY batch_observation.at, batch_observation.id
    """
    known = LARGEST if as_known_at is None else as_known_at
    found: dict[int, list[BatchObservation]] = {batch_id: [] for batch_id in batch_ids}
    for each in _SEEN.all(rest, list(batch_ids), known):
        found[each.batch_id].append(each)
    return found


def last_seen(by: Hand | str) -> BatchObservation | None:
    """What a hand saw last of a pot, or anybody of a name, of what can be taken back; or None."""
    conditions = recorded.by("batch_observation", by)
    not_final = "batch_observation.kind <> 'not_mixed'"
    where, values = matching(conditions, not_final, withdrawals.standing("batch_observation"))
    return _SEEN.first(f"{where} ORDER BY batch_observation.id DESC", *values)


def unlaid() -> list[Batch]:
    """The pots of open jobs that nobody laid up, lost or saw gel, the first mixed first."""
    wet_since = f"""
        SELECT 1 FROM batch_observation AS later
        WHERE later.batch_id = seen.batch_id AND later.kind = 'not_gelled'
        AND {withdrawals.standing("batch_observation", alias="later")}
        AND (later.at > seen.at OR (later.at = seen.at AND later.id > seen.id))
    """
    rest = f"""
        WHERE batch.job_id IN (SELECT id FROM job WHERE closed_at IS NULL)
        AND NOT EXISTS (
            SELECT 1 FROM layup_batch WHERE layup_batch.batch_id = batch.id
            AND NOT EXISTS (
                SELECT 1 FROM withdrawal WHERE withdrawal.layup_id = layup_batch.layup_id
            )
        ) AND NOT EXISTS (
            SELECT 1 FROM batch_observation AS seen WHERE seen.batch_id = batch.id
            AND {withdrawals.standing("batch_observation", alias="seen")}
            AND (
                seen.kind IN ('lost', 'not_mixed')
                OR (seen.kind = 'gelled' AND NOT EXISTS ({wet_since}))
            )
        ) ORDER BY batch.mixed_at, batch.id
    """
    return _POTS.all(rest)


def tests_after(pots: Sequence[Batch]) -> dict[int, CupTest]:
    """Pot's id → the first usable test soon enough after it to replace its assumed factor."""
    tests = cup_tests.of_lots(pot.resin_lot_id for pot in pots)
    found = {}
    for pot in pots:
        until = pot.mixed_at + cup_test.TAKEN_UP_WITHIN_S
        usable = (t for t in tests[pot.resin_lot_id] if t.verdict in USABLE_VERDICTS)
        soon = next((t for t in usable if pot.mixed_at < t.at <= until), None)
        if soon is not None:
            found[pot.id] = soon
    return found
