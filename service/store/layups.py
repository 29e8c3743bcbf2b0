"""What is known of a layup: its pots, its moves, what hands saw of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from peewee import fn

from ..core.errors import UnsoundBelow
from ..core.touch import Touch, Word, touch_of
from .compiled import rows_of
from .tables import (
    Batch,
    BatchObservation,
    Job,
    Layup,
    LayupBatch,
    LayupObservation,
    Override,
    Reading,
)

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


def touch(seen: Iterable[LayupObservation]) -> Touch:
    """What stands of what hands saw of a layup, given oldest first."""
    return touch_of(Word(each.kind, float(each.at), each.value) for each in seen)


def ended_at(layup: Layup, as_known_at: int | None = None) -> int | None:
    """When a layup was covered, handed over or left, as recorded by a moment; None before."""
    if as_known_at is None or layup.ended_at is None:
        return layup.ended_at
    told = [(when, at) for when, at in _ends(layup) if when <= as_known_at]
    return min(told)[1] if told else None


def closed_at(layup: Layup, as_known_at: int | None = None) -> int | None:
    """When the watch on a layup ended, epoch s, as recorded by a moment; None while it runs.

    It ends with the layup, or for one that was not sound then, with a later word on it.
    """
    ended = ended_at(layup, as_known_at)
    if as_known_at is None or ended is None:
        return layup.closed_at if as_known_at is None else None
    seen = observations_of(layup.id)
    later_wet = any(o.kind == "not_gelled" and o.recorded_at > as_known_at for o in seen)
    if layup.closed_at is None and not later_wet:  # it never was
        return None
    known = touch(each for each in seen if each.recorded_at <= as_known_at)
    unsound = _covered_unsound(layup, seen, as_known_at)
    settled = known.gelled if known.scraped_off is None else known.scraped_off
    if known.not_gelled is not None or (unsound and settled is None):
        return None
    told = [(each.recorded_at, each.at) for each in seen] + _ends(layup)
    if any(when <= as_known_at and at == layup.closed_at for when, at in told):
        return layup.closed_at
    return max(ended, int(settled)) if unsound and settled is not None else ended


def _ends(layup: Layup) -> list[tuple[int, int]]:
    """What ended a layup: (when it was recorded, when it was), epoch s."""
    found = [(o.recorded_at, o.at) for o in observations_of(layup.id) if o.kind in ENDS]
    found += [(upper.recorded_at, upper.applied_at) for upper in uppers_of(layup.id)]
    closed = Job.get_by_id(layup.job_id).closed_at
    return found if closed is None else [*found, (closed, closed)]


def uppers_of(layup_id: int) -> list[Layup]:
    """The layups that were laid over one, in the order in which they were recorded."""
    return list(Layup.select().where(Layup.over == layup_id).order_by(Layup.id))


def _covered_unsound(layup: Layup, seen: Iterable[LayupObservation], as_known_at: int) -> bool:
    """Whether somebody overrode, by a moment, that it was not to be covered."""
    uppers = {upper.id for upper in uppers_of(layup.id)}
    covered = {each.recorded_at for each in seen if each.kind == "covered"}
    rows = Override.select().where(
        Override.slug == UnsoundBelow.slug,
        Override.layup.in_([layup.id, *uppers]),
        Override.recorded_at <= as_known_at,
    )
    return any(row.layup_id in uppers or row.recorded_at in covered for row in rows)


def open_layups() -> list[Layup]:
    """Every layup that is watched, oldest first: not ended yet, or not sound when it was."""
    rows = Layup.select().where(Layup.closed_at.is_null())
    return rows_of(rows.order_by(Layup.applied_at, Layup.id))


def unlaid_pots() -> list[Batch]:
    """The pots of open jobs that nobody laid up, lost or saw gel, the first mixed first."""
    later = BatchObservation.alias()
    wet_since = later.select().where(
        later.batch == BatchObservation.batch,
        later.kind == "not_gelled",
        (later.at > BatchObservation.at)
        | ((later.at == BatchObservation.at) & (later.id > BatchObservation.id)),
    )
    gone = BatchObservation.select(BatchObservation.batch).where(
        BatchObservation.batch == Batch.id,
        BatchObservation.kind.in_(("lost", "not_mixed"))
        | ((BatchObservation.kind == "gelled") & ~fn.EXISTS(wet_since)),
    )
    laid = LayupBatch.select(LayupBatch.batch).where(LayupBatch.batch == Batch.id)
    rows = Batch.select().where(
        Batch.job.in_(Job.select(Job.id).where(Job.closed_at.is_null())),
        ~fn.EXISTS(laid),
        ~fn.EXISTS(gone),
    )
    return rows_of(rows.order_by(Batch.mixed_at, Batch.id))


def layups_of_batches(batch_ids: Sequence[int]) -> list[Layup]:
    """The layups that any of some pots went into, each once."""
    pairs = LayupBatch.select(LayupBatch.layup).where(LayupBatch.batch.in_(list(batch_ids)))
    return list(Layup.select().where(Layup.id.in_(pairs)).order_by(Layup.id))


def humidity_near(bay_id: int, moment: int, within: int) -> Reading | None:
    """A bay's last reading with a humidity, at most `within` seconds before a moment."""
    rows = Reading.select().where(
        Reading.bay == bay_id,
        Reading.humidity_ppm.is_null(False),
        Reading.at.between(moment - within, moment),
    )
    return rows.order_by(Reading.at.desc(), Reading.id.desc()).first()
