"""What is known of a layup: its pots, its moves, what hands saw of it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import Any, NamedTuple

from ...core.cure.layer import Cover
from ...core.cure.touch import Touch, Word, touch_of
from ...core.products.hardness import USUAL, Face, Scale, of_readings
from .. import tables
from ..bays import Bay, find_bays
from ..engine.columns import LARGEST
from ..engine.rows import Reader, Value, exists, insert, matching, query
from ..products import Product
from ..stock.jobs import Job
from ..yard import recorded, withdrawals
from ..yard.hands import Hand
from . import pots
from .pots import Batch

ENDS = ("covered", "handed_over", "scraped_off")
"""What a hand sees that ends a layup: no more is done to it."""


class Layup(NamedTuple):
    """One thing laid down that must cure before the next; `closed_at` ends the watch on it.

    `stated_percent_ppm` is of one without pots: what is known of a pot stands with the pot.
    `ended_at` is when it was covered, handed over or left with its job. One that was not sound then
    stays open until somebody says what became of it. `told` is the JSON of what was promised of it
    when it was laid. `tight_um` is the width of a joint between two tight faces.
    """

    id: int
    job_id: int
    title: str
    kind: str
    bay_id: int
    product_id: int
    catalyst_id: int | None
    cure_sheet_id: int
    stated_percent_ppm: int | None
    applied_at: int
    finished_at: int
    surface_mk: int | None
    cover: Cover | None
    thickness_um: int | None
    over_id: int | None
    effects: str
    closed_at: int | None
    closed_reason: str | None
    version: int
    over_surface: str | None
    ended_at: int | None
    told: str | None
    tight_um: int | None
    recorded_at: int
    who: str
    verified: bool
    job: Job
    bay: Bay
    product: Product
    catalyst: Product | None


class LayupObservation(NamedTuple):
    """What a hand saw of a layup; `readings` is JSON, those that made a hardness.

    Of a hardness: its `scale`, None for Barcol 934-1; the `face` that was read; the conditions that
    were `met`, by a space. Of a bag: its vacuum below the air, and the air's own pressure, in Pa,
    where they were told.
    """

    id: int
    layup_id: int
    kind: str
    at: int
    value: int | None
    note: str | None
    readings: str | None
    scale: Scale | None
    face: Face | None
    met: str | None
    pressure_pa: int | None
    air_pa: int | None
    recorded_at: int
    who: str
    verified: bool


class LayupMove(NamedTuple):
    """A layup carried to another bay."""

    id: int
    layup_id: int
    at: int
    recorded_at: int
    bay: Bay


_LAYUPS = Reader(Layup, tables.Layup)
_SEEN = Reader(LayupObservation, tables.LayupObservation)
_MOVES = Reader(LayupMove, tables.LayupMove)

find_layup = _LAYUPS.by_id
layup = _LAYUPS.of_id
layups = _LAYUPS.by_ids
find_observation = _SEEN.by_id

_LAID = withdrawals.standing("layup")


def page(
    after: int | None,
    limit: int,
    *,
    job_id: int | None = None,
    bay_id: int | None = None,
    curing: bool | None = None,
) -> list[Layup]:
    """Layups, the newest first, after the one with that id.

    Args:
        job_id, bay_id: to list only those of one. curing: only those still watched, or only not.
    """
    conditions: dict[str, Value] = {
        "layup.id < ?": LARGEST if after is None else after,
        "layup.job_id = ?": job_id,
        "layup.bay_id = ?": bay_id,
    }
    watched = {None: [], True: ["layup.closed_at IS NULL"], False: ["layup.closed_at IS NOT NULL"]}
    where, values = matching(conditions, *watched[curing])
    return _LAYUPS.all(f"{where} ORDER BY layup.id DESC LIMIT ?", *values, limit)


def of_product(product_id: int, limit: int) -> list[Layup]:
    """The last layups of a product, the newest first."""
    rest = f"WHERE layup.product_id = ? AND {_LAID} ORDER BY layup.id DESC LIMIT ?"
    return _LAYUPS.all(rest, product_id, limit)


def keep_told(layup_id: int, told: str) -> None:
    """Keep what was promised of a layup when it was laid."""
    tables.Layup.update(told=told).where(tables.Layup.id == layup_id).execute()


def add(*, now: int, hand: Hand, **columns: Any) -> Layup:
    """Add a layup; `columns` by their names."""
    return layup(insert(tables.Layup, **columns, **hand.signed(now)))


def add_pot(layup_id: int, batch_id: int, *, now: int, hand: Hand) -> None:
    """Record that a pot went into a layup."""
    insert(tables.LayupBatch, layup_id=layup_id, batch_id=batch_id, **hand.signed(now))


def move(layup_id: int, bay_id: int, *, at: int, now: int, hand: Hand) -> None:
    """Record that a layup was carried to another bay; `at` and `now` in epoch s."""
    insert(tables.LayupMove, layup_id=layup_id, bay_id=bay_id, at=at, **hand.signed(now))


def observe(layup_id: int, kind: str, *, at: int, now: int, hand: Hand, **columns: Any) -> None:
    """Record what a hand saw of a layup; `at` and `now` in epoch s, `columns` by their names."""
    insert(
        tables.LayupObservation, layup_id=layup_id, kind=kind, at=at, **columns,
        **hand.signed(now),
    )  # fmt: skip


def figure_of(seen: LayupObservation) -> tuple[float, float | None]:
    """(figure, its u) of a hardness: of its readings, else its value, of which no u is known."""
    if seen.readings:
        return of_readings(json.loads(seen.readings))
    return float(seen.value or 0), None


def started(row: Layup, pots: Iterable[Batch]) -> int:
    """When its first pot was mixed, or without one it was laid, epoch s."""
    return min((pot.mixed_at for pot in pots), default=row.applied_at)


def observations_of(layup_id: int, as_known_at: int | None = None) -> list[LayupObservation]:
    """What hands saw of a layup and did not take back, oldest first, as recorded by a moment."""
    rest = f"""
        WHERE layup_observation.layup_id = ? AND layup_observation.recorded_at <= ?
        AND {withdrawals.standing("layup_observation", as_known_at)}
        ORDER BY layup_observation.at, layup_observation.id
    """
    return _SEEN.all(rest, layup_id, LARGEST if as_known_at is None else as_known_at)


def noted_of(layup_ids: Iterable[int], as_known_at: int) -> list[LayupObservation]:
    """What hands noted of some layups, taken back or not, oldest first, as recorded by a moment."""
    rest = """
        WHERE layup_observation.layup_id IN (?*) AND layup_observation.recorded_at <= ?
        ORDER BY layup_observation.at, layup_observation.id
    """
    return _SEEN.all(rest, list(layup_ids), as_known_at)


def moves_of(layup_ids: Iterable[int], as_known_at: int) -> list[LayupMove]:
    """Where some layups were carried, oldest first, as recorded by a moment."""
    rest = """
        WHERE layup_move.layup_id IN (?*) AND layup_move.recorded_at <= ?
        ORDER BY layup_move.at, layup_move.id
    """
    return _MOVES.all(rest, list(layup_ids), as_known_at)


def lies_in(row: Layup) -> int:
    """The id of the bay that a layup was last carried to; else of the one where it was laid."""
    moves = moves_of([row.id], LARGEST)
    return moves[-1].bay.id if moves else row.bay_id


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


_COVERED_BY = "covered by layup"


def covered_by(upper: Layup) -> str:
    """Why the watch on the layer below ends."""
    return f"{_COVERED_BY} {upper.id}"


def ended_covered(row: Layup) -> bool:
    """Whether the watch on it ended as another layup was laid on it."""
    return (row.closed_reason or "").startswith(_COVERED_BY)


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
    return _LAYUPS.all(f"WHERE layup.over_id = ? AND {_LAID} ORDER BY layup.id", row.id)


def below(row: Layup) -> Layup | None:
    """The layup that one was laid over, or None."""
    return None if row.over_id is None else layup(row.over_id)


def unsettled_below(ids: Sequence[int]) -> dict[int, Layup]:
    """The nearest layup below each, at any depth, that was covered unsound and stays unsettled.

    Those that lie on none are left out.
    """
    sql = """
        WITH RECURSIVE under (top, id, depth) AS (
            SELECT id, over_id, 1 FROM layup WHERE id IN (?*) AND over_id IS NOT NULL
            UNION ALL
            SELECT under.top, layup.over_id, under.depth + 1
            FROM under JOIN layup ON layup.id = under.id WHERE layup.over_id IS NOT NULL
        )
        SELECT under.top, under.id FROM under JOIN layup ON layup.id = under.id
        WHERE layup.ended_at IS NOT NULL AND layup.closed_at IS NULL ORDER BY under.depth DESC
    """
    nearest: dict[int, int] = dict(query(sql, list(ids))) if ids else {}
    found = {row.id: row for row in _LAYUPS.by_ids(nearest.values())}
    return {top: found[lower] for top, lower in nearest.items()}


def any_of_job(job_id: int) -> bool:
    """Whether a job ever had a layup, taken back or not."""
    return exists("SELECT 1 FROM layup WHERE job_id = ?", job_id)


def last_of_job(job_id: int, moment: int) -> Layup | None:
    """What was laid last on a job by a moment (epoch s), or None."""
    rest = f"WHERE layup.job_id = ? AND layup.applied_at <= ? AND {_LAID}"
    return _LAYUPS.first(f"{rest} ORDER BY layup.applied_at DESC, layup.id DESC", job_id, moment)


def ever_laid_over(row: Layup) -> list[Layup]:
    """The layups that were laid over one, taken back or not."""
    return _LAYUPS.all("WHERE layup.over_id = ?", row.id)


def touch(seen: Iterable[LayupObservation], hard_from: float, scale: Scale | None = USUAL) -> Touch:
    """What stands of what hands saw of a layup, given oldest first; see `touch_of`.

    A hardness on another scale than `hard_from` is left out: it can't be compared.
    """
    words = (
        Word(each.kind, float(each.at), each.value)
        for each in seen
        if each.kind != "hardness" or (each.scale or USUAL) == (scale or USUAL)
    )
    return touch_of(words, hard_from)


def open_layups() -> list[Layup]:
    """Every layup that is watched, oldest first: not ended yet, or not sound when it was."""
    return _LAYUPS.all("WHERE layup.closed_at IS NULL ORDER BY layup.applied_at, layup.id")


def closed_since(moment: int) -> list[Layup]:
    """Every layup whose watch ended at a moment (epoch s) or later, oldest first."""
    rest = "WHERE layup.closed_at >= ? ORDER BY layup.applied_at, layup.id"
    return _LAYUPS.all(rest, moment)


def open_layups_of(job_id: int) -> list[Layup]:
    """A job's layups that are watched, oldest first: not ended yet, or in trouble when they did."""
    rest = "WHERE layup.job_id = ? AND layup.closed_at IS NULL"
    return _LAYUPS.all(f"{rest} ORDER BY layup.applied_at, layup.id", job_id)


def closed_with(job: Job) -> list[Layup]:
    """The layups of a closed job that its closing ended, oldest first."""
    where, values = matching(
        {
            "layup.job_id = ?": job.id,
            "layup.ended_at = ?": job.closed_at,
            "layup.closed_reason = ?": job.close_reason,
        },
        *(["layup.closed_reason IS NULL"] if job.close_reason is None else []),
        _LAID,
    )
    return _LAYUPS.all(f"{where} ORDER BY layup.applied_at, layup.id", *values)


def bays_of_job(job_id: int) -> list[Bay]:
    """The bays that a job's layups lie in, of those that are still watched; each bay once."""
    sql = "SELECT id, bay_id FROM layup WHERE job_id = ? AND closed_at IS NULL"
    lies_in = dict(query(sql, job_id))
    lies_in |= {each.layup_id: each.bay.id for each in moves_of(list(lies_in), LARGEST)}
    return find_bays(lies_in.values())


def last_laid(by: Hand | str) -> Layup | None:
    """The layup that a hand recorded last, or anybody of a name, and nobody took back; or None."""
    where, values = matching(recorded.by("layup", by), _LAID)
    return _LAYUPS.first(f"{where} ORDER BY layup.id DESC", *values)


def last_seen(by: Hand | str) -> LayupObservation | None:
    """What a hand noted last of a layup, or anybody of a name, and nobody took back; or None."""
    where, values = matching(
        recorded.by("layup_observation", by), withdrawals.standing("layup_observation")
    )
    return _SEEN.first(f"{where} ORDER BY layup_observation.id DESC", *values)


def layups_of_batches(batch_ids: Iterable[int]) -> list[Layup]:
    """The layups that any of some pots went into, each once."""
    rest = f"""
        WHERE layup.id IN (SELECT layup_id FROM layup_batch WHERE batch_id IN (?*))
        AND {_LAID} ORDER BY layup.id
    """
    return _LAYUPS.all(rest, list(batch_ids))


def of_job(job_id: int) -> list[Layup]:
    """The layups of a job, the first laid first."""
    rest = f"WHERE layup.job_id = ? AND {_LAID} ORDER BY layup.applied_at, layup.id"
    return _LAYUPS.all(rest, job_id)


def batch_ids_of(layup_ids: Iterable[int]) -> dict[int, list[int]]:
    """Layup's id → the pots that went into it; in the order of the ids given."""
    found: dict[int, list[int]] = {layup_id: [] for layup_id in layup_ids}
    sql = "SELECT layup_id, batch_id FROM layup_batch WHERE layup_id IN (?*) ORDER BY id"
    for layup_id, batch_id in query(sql, list(found)):
        found[layup_id].append(batch_id)
    return found


def batches_of(layup_id: int) -> list[Batch]:
    """The pots that went into a layup, the first mixed first."""
    return batches_of_layups([layup_id])[layup_id]


def batches_of_layups(layup_ids: Iterable[int]) -> dict[int, list[Batch]]:
    """Layup's id → the pots that went into it, the first mixed first."""
    pairs = batch_ids_of(layup_ids)
    found = {pot.id: pot for pot in pots.batches(each for ids in pairs.values() for each in ids)}
    return {
        layup_id: sorted((found[each] for each in ids), key=lambda pot: (pot.mixed_at, pot.id))
        for layup_id, ids in pairs.items()
    }
