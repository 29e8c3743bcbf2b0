"""What is known of a layup: its pots, its moves, what hands saw of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from peewee import fn

from ...core.cure.touch import Touch, Word, touch_of
from .. import bays
from ..engine.queries import among, rows_of
from ..tables import (
    Batch,
    BatchObservation,
    Bay,
    Job,
    Layup,
    LayupBatch,
    LayupEarlier,
    LayupMove,
    LayupObservation,
    Reading,
    Withdrawal,
)
from ..yard import withdrawals
from ..yard.hands import Hand

ENDS = ("covered", "handed_over", "scraped_off")
"""What a hand sees that ends a layup: no more is done to it."""


def started(row: Layup, pots: Iterable[Batch]) -> int:
    """When its first pot was mixed, or without one it was laid, epoch s."""
    return min((pot.mixed_at for pot in pots), default=row.applied_at)


def batches_of(layup_id: int) -> list[Batch]:
    """The pots that went into a layup, the first mixed first."""
    pots = Batch.select().join(LayupBatch).where(LayupBatch.layup == layup_id)
    return list(pots.order_by(Batch.mixed_at, Batch.id))


def observations_of(layup_id: int, as_known_at: int | None = None) -> list[LayupObservation]:
    """What hands saw of a layup and did not take back, oldest first, as recorded by a moment."""
    seen = LayupObservation.select().where(
        LayupObservation.layup == layup_id,
        withdrawals.standing(Withdrawal.layup_observation, as_known_at),
    )
    if as_known_at is not None:
        seen = seen.where(LayupObservation.recorded_at <= as_known_at)
    return list(seen.order_by(LayupObservation.at, LayupObservation.id))


def observations_of_batch(batch_id: int, as_known_at: int | None = None) -> list[BatchObservation]:
    """What hands saw of a pot and did not take back, oldest first, as recorded by a moment."""
    return observations_of_batches([batch_id], as_known_at)[batch_id]


def observations_of_batches(
    batch_ids: Sequence[int], as_known_at: int | None = None
) -> dict[int, list[BatchObservation]]:
    """Pot's id → what hands saw of it, as `observations_of_batch`, in one query for all."""
    seen = BatchObservation.select().where(
        among(BatchObservation.batch, batch_ids),
        withdrawals.standing(Withdrawal.batch_observation, as_known_at),
    )
    if as_known_at is not None:
        seen = seen.where(BatchObservation.recorded_at <= as_known_at)
    found: dict[int, list[BatchObservation]] = {batch_id: [] for batch_id in batch_ids}
    for each in rows_of(seen.order_by(BatchObservation.at, BatchObservation.id)):
        found[each.batch_id].append(each)
    return found


def change(row: Layup, *, now: int, hand: Hand, **columns: object) -> None:
    """Change a layup's words or its end; what they were stays on record.

    Args:
        row: as it is now. now: epoch s. columns: title, cover, finished_at, ended_at,
            closed_at, closed_reason, or version: its new value.
    """
    if columns.keys() & set(_KEPT):
        kept = {name: getattr(row, name) for name in _KEPT}
        LayupEarlier.create(layup=row, **kept, **hand.signed(now))
    Layup.update(**columns).where(Layup.id == row.id).execute()


_KEPT = ("title", "cover", "finished_at", "ended_at", "closed_at", "closed_reason")


def as_known(rows: Sequence[Layup], as_known_at: int) -> list[Layup]:
    """Layups as their rows were at a moment, epoch s; of changes since there is a record."""
    ids = [row.id for row in rows]
    kept = rows_of(
        LayupEarlier.select().where(among(LayupEarlier.layup, ids)).order_by(LayupEarlier.id)
    )
    first: dict[int, LayupEarlier] = {}
    then: dict[int, LayupEarlier] = {}
    for each in kept:
        first.setdefault(each.layup_id, each)
        if each.recorded_at > as_known_at:
            then.setdefault(each.layup_id, each)
    return [_as_it_was(row, first.get(row.id), then.get(row.id), as_known_at) for row in rows]


def _as_it_was(
    row: Layup, first: LayupEarlier | None, then: LayupEarlier | None, as_known_at: int
) -> Layup:
    kept = {} if then is None else {name: getattr(then, name) for name in _KEPT}
    ended_at = kept.get("ended_at", row.ended_at)
    untracked = first is None or first.ended_at is not None
    if untracked and ended_at is not None and _told_ended(row, ended_at) > as_known_at:
        kept |= {"ended_at": None, "closed_at": None, "closed_reason": None}
    was = Layup(**{**row.__data__, **kept})
    was.__rel__ = dict(row.__rel__)
    return was


def _told_ended(row: Layup, ended_at: int) -> int:
    """When it was told that a layup ended, epoch s, where its earlier row was not kept.

    A hand, the layer laid over it, or the closing of its job ended it, and may have told so late.
    """
    seen = LayupObservation.select().where(
        LayupObservation.layup == row.id, LayupObservation.kind.in_(ENDS)
    )
    told = [each.recorded_at for each in seen]
    told += [upper.recorded_at for upper in Layup.select().where(Layup.over == row.id)]
    told += [row.job.closed_at] if row.job.closed_at is not None else []
    return min(told, default=ended_at)


def end_of(row: Layup) -> tuple[int, str | None] | None:
    """When and why a layup ended, by what stands now; None where nothing ends it."""
    seen = [each for each in observations_of(row.id) if each.kind in ENDS]
    told: list[tuple[int, int, str | None]]
    told = [(each.recorded_at, each.at, each.note or each.kind) for each in seen]
    told += [(upper.recorded_at, upper.applied_at, covered_by(upper)) for upper in laid_over(row)]
    if row.job.closed_at is not None:
        told.append((row.job.closed_at, row.job.closed_at, row.job.close_reason))
    first = min(told, default=None, key=lambda each: each[0])
    return None if first is None else first[1:]


def covered_by(upper: Layup) -> str:
    """Why the watch on the layer below ends."""
    return f"covered by layup {upper.id}"


def came_off_with(lower: Layup) -> str:
    """What is noted of a layer that came off with the one below."""
    return f"came off with layup {lower.id}"


def is_covered(row: Layup) -> bool:
    """Whether a layup lies over one, or a hand said so."""
    return bool(laid_over(row)) or any(o.kind == "covered" for o in observations_of(row.id))


def laid_over(row: Layup) -> list[Layup]:
    """The layups that lie over one and were not scraped off, the first recorded first."""
    uppers = uppers_of(row)
    seen = {upper.id: {each.kind for each in observations_of(upper.id)} for upper in uppers}
    return [upper for upper in uppers if "scraped_off" not in seen[upper.id]]


def uppers_of(row: Layup) -> list[Layup]:
    """The layups that were laid over one, there or not, the first recorded first."""
    rows = Layup.select().where(Layup.over == row.id, withdrawals.standing(Withdrawal.layup))
    return list(rows.order_by(Layup.id))


def touch(seen: Iterable[LayupObservation], hard_from: float) -> Touch:
    """What stands of what hands saw of a layup, given oldest first; see `touch_of`."""
    words = (Word(each.kind, float(each.at), each.value) for each in seen)
    return touch_of(words, hard_from)


def open_layups() -> list[Layup]:
    """Every layup that is watched, oldest first: not ended yet, or not sound when it was."""
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


def unlaid_pots() -> list[Batch]:
    """The pots of open jobs that nobody laid up, lost or saw gel, the first mixed first."""
    later = BatchObservation.alias()
    wet_since = later.select().where(
        later.batch == BatchObservation.batch,
        later.kind == "not_gelled",
        withdrawals.standing(Withdrawal.batch_observation, of=later),
        (later.at > BatchObservation.at)
        | ((later.at == BatchObservation.at) & (later.id > BatchObservation.id)),
    )
    gone = BatchObservation.select(BatchObservation.batch).where(
        BatchObservation.batch == Batch.id,
        withdrawals.standing(Withdrawal.batch_observation),
        BatchObservation.kind.in_(("lost", "not_mixed"))
        | ((BatchObservation.kind == "gelled") & ~fn.EXISTS(wet_since)),
    )
    laid = LayupBatch.select(LayupBatch.batch).where(
        LayupBatch.batch == Batch.id,
        ~fn.EXISTS(Withdrawal.select().where(Withdrawal.layup == LayupBatch.layup)),
    )
    rows = Batch.select().where(
        Batch.job.in_(Job.select(Job.id).where(Job.closed_at.is_null())),
        ~fn.EXISTS(laid),
        ~fn.EXISTS(gone),
    )
    return rows_of(rows.order_by(Batch.mixed_at, Batch.id))


def layups_of_batches(batch_ids: Sequence[int]) -> list[Layup]:
    """The layups that any of some pots went into, each once."""
    pairs = LayupBatch.select(LayupBatch.layup).where(LayupBatch.batch.in_(list(batch_ids)))
    rows = Layup.select().where(Layup.id.in_(pairs), withdrawals.standing(Withdrawal.layup))
    return list(rows.order_by(Layup.id))


def of_job(job_id: int) -> list[Layup]:
    """The layups of a job, the first laid first."""
    rows = Layup.select().where(Layup.job == job_id, withdrawals.standing(Withdrawal.layup))
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
    read = bays.readings(bay_id, moment - within, moment)
    damp = [each.id for each in read if each.humidity_ppm is not None]
    return Reading.get_by_id(damp[-1]) if damp else None
