"""What is known of a layup: its pots, its moves, what hands saw of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from .compiled import among, rows_of
from .tables import (
    Batch,
    BatchObservation,
    Bay,
    Layup,
    LayupBatch,
    LayupMove,
    LayupObservation,
    Reading,
)

ENDS = ("covered", "handed_over")
"""What a hand sees that ends the watch on a layup."""


def started(row: Layup, pots: Iterable[Batch]) -> int:
    """When its first pot was mixed, or without one it was laid, epoch s."""
    return min((pot.mixed_at for pot in pots), default=row.applied_at)


def batches_of(layup_id: int) -> list[Batch]:
    """The pots that went into a layup, the first mixed first."""
    pots = Batch.select().join(LayupBatch).where(LayupBatch.layup == layup_id)
    return list(pots.order_by(Batch.mixed_at, Batch.id))


def observations_of(layup_id: int, as_known_at: int | None = None) -> list[LayupObservation]:
    """What hands saw of a layup, oldest first, as recorded by a moment."""
    seen = LayupObservation.select().where(LayupObservation.layup == layup_id)
    if as_known_at is not None:
        seen = seen.where(LayupObservation.recorded_at <= as_known_at)
    return list(seen.order_by(LayupObservation.at, LayupObservation.id))


def observations_of_batch(batch_id: int, as_known_at: int | None = None) -> list[BatchObservation]:
    """What hands saw of a pot, oldest first, as recorded by a moment."""
    seen = BatchObservation.select().where(BatchObservation.batch == batch_id)
    if as_known_at is not None:
        seen = seen.where(BatchObservation.recorded_at <= as_known_at)
    return list(seen.order_by(BatchObservation.at, BatchObservation.id))


def closed_at(layup: Layup, as_known_at: int | None = None) -> int | None:
    """When the watch on a layup ended, epoch s, as recorded by a moment; None while it runs.

    A hand, the layer laid over it, or the closing of its job ends it, and may tell so late.
    """
    if as_known_at is None or layup.closed_at is None:
        return layup.closed_at
    told = [seen.recorded_at for seen in observations_of(layup.id) if seen.kind in ENDS]
    told += [upper.recorded_at for upper in Layup.select().where(Layup.over == layup.id)]
    told += [layup.job.closed_at] if layup.job.closed_at is not None else []
    return layup.closed_at if min(told) <= as_known_at else None


def open_layups() -> list[Layup]:
    """Every layup that nobody has covered or handed over yet, oldest first."""
    rows = Layup.select().where(Layup.closed_at.is_null())
    return rows_of(rows.order_by(Layup.applied_at, Layup.id))


def bays_of_job(job_id: int) -> list[Bay]:
    """The bays that a job's layups lie in, of those that are still watched; each bay once."""
    rows = Layup.select(Layup.id, Layup.bay).where(
        Layup.job == job_id, Layup.closed_at.is_null()
    )  # fmt: skip
    lies_in = {row.id: row.bay_id for row in rows}
    moves = LayupMove.select().where(LayupMove.layup.in_(list(lies_in)))
    lies_in |= {move.layup_id: move.bay_id for move in moves.order_by(LayupMove.at, LayupMove.id)}
    return list(Bay.select().where(Bay.id.in_(list(set(lies_in.values())))).order_by(Bay.id))


def layups_of_batches(batch_ids: Sequence[int]) -> list[Layup]:
    """The layups that any of some pots went into, each once."""
    pairs = LayupBatch.select(LayupBatch.layup).where(LayupBatch.batch.in_(list(batch_ids)))
    return list(Layup.select().where(Layup.id.in_(pairs)).order_by(Layup.id))


def of_job(job_id: int) -> list[Layup]:
    """The layups of a job, the first laid first."""
    rows = Layup.select().where(Layup.job == job_id)
    return rows_of(rows.order_by(Layup.applied_at, Layup.id))


def batch_ids_of(layup_ids: Iterable[int]) -> dict[int, list[int]]:
    """Layup's id → the pots that went into it; in the order of the ids given."""
    found: dict[int, list[int]] = {layup: [] for layup in layup_ids}
    pairs = LayupBatch.select().where(among(LayupBatch.layup, found))
    for pair in rows_of(pairs.order_by(LayupBatch.id)):
        found[pair.layup_id].append(pair.batch_id)
    return found


def humidity_near(bay_id: int, moment: int, within: int) -> Reading | None:
    """A bay's last reading with a humidity, at most `within` seconds before a moment."""
    rows = Reading.select().where(
        Reading.bay == bay_id,
        Reading.humidity_ppm.is_null(False),
        Reading.at.between(moment - within, moment),
    )
    return rows.order_by(Reading.at.desc(), Reading.id.desc()).first()
