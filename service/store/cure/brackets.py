"""Layups of one pot that hands found wet and then set: what the pair of their resin learns from."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from ...core.cure.found import SET
from ..engine.columns import LARGEST
from ..engine.rows import query
from ..yard import withdrawals

if TYPE_CHECKING:
    from ...core.cure.bracket import Bracket

KINDS = (*(kind for kind in SET if kind != "hardness"), "not_gelled")
"""Looks that tell whether it has set; a hardness may be of a soft layer."""
BACK_S = 180 * 86_400
"""Older looks are left out: by then a lot's age alone makes them nearly nothing."""


class PairFilm(NamedTuple):
    """A bracket of a resin lot's gel, with the products of resin and catalyst; `at` its end."""

    resin_id: int
    catalyst_id: int
    percent_ppm: int | None
    at: int
    looks: Bracket


class _Look(NamedTuple):
    layup_id: int
    resin_id: int
    lot_id: int
    catalyst_id: int
    percent_ppm: int | None
    mixed_at: int
    applied_at: int
    surface_mk: int | None
    uncertainty_mk: int
    checked_on: str | None
    gap_max_s: int
    id: int
    kind: str
    at: int


def of_resins(
    product_ids: Iterable[int], since: int, as_known_at: int | None = None
) -> list[PairFilm]:
    """The brackets of some resins, of layups laid since `BACK_S` before a moment, epoch s.

    Not those of several pots, of a thickened or promoted mix, or of one carried to another bay.

    Args:
        as_known_at: epoch s; without it, as known now.
    """
    known = LARGEST if as_known_at is None else as_known_at
    by_layup: dict[int, list[_Look]] = defaultdict(list)
    for row in query(_looks(as_known_at), sorted(set(product_ids)), since - BACK_S, known, known):
        by_layup[row[0]].append(_Look(*row))
    pairs = [pair for looks in by_layup.values() if (pair := _bracket(looks)) is not None]
    if not pairs:
        return []
    from ...core.cure.bracket import Bracket  # late, as below: of most resins there is no such pair

    read = _readings([last for _, last in pairs], known, as_known_at)
    return [
        PairFilm(
            last.resin_id,
            last.catalyst_id,
            last.percent_ppm,
            last.at,
            Bracket(
                last.lot_id, float(last.mixed_at), float(first.at), float(last.at),
                tuple(read[last.layup_id].items()), _kelvins(last),
                float(last.gap_max_s), float(last.applied_at),
                None if last.surface_mk is None else last.surface_mk / 1000,
            ),
        )
        for first, last in pairs
    ]  # fmt: skip


def _kelvins(look: _Look) -> float:
    """Half-width of the range of its bay's temperature."""
    from ...core.bays.thermometer import known_to

    checked_on = None if look.checked_on is None else date.fromisoformat(look.checked_on)
    return known_to(look.uncertainty_mk / 1000, checked_on, look.at)


def _bracket(looks: list[_Look]) -> tuple[_Look, _Look] | None:
    """The last look that found it wet and the first that found it set; None if hands disagree."""
    wet = [look for look in looks if look.kind == "not_gelled"]
    there = [look for look in looks if look.kind != "not_gelled"]
    if not wet or not there or wet[-1].at >= there[0].at:
        return None
    return wet[-1], there[0]


def _looks(as_known_at: int | None) -> str:
    kinds = ", ".join(f"'{kind}'" for kind in KINDS)
    return f"""
        SELECT layup.id, layup.product_id, batch.resin_lot_id, catalyst.product_id,
        batch.percent_ppm, batch.mixed_at, layup.applied_at, layup.surface_mk,
        bay.uncertainty_mk, bay.checked_on, bay.gap_max_s,
        layup_observation.id, layup_observation.kind, layup_observation.at
        FROM layup JOIN layup_batch ON layup_batch.layup_id = layup.id
        JOIN batch ON batch.id = layup_batch.batch_id
        JOIN lot AS catalyst ON catalyst.id = batch.catalyst_lot_id
        JOIN bay ON bay.id = layup.bay_id
        JOIN layup_observation ON layup_observation.layup_id = layup.id
        WHERE layup.product_id IN (?*) AND layup.applied_at >= ?
        AND layup_observation.kind IN ({kinds}) AND layup_observation.recorded_at <= ?
        AND {withdrawals.standing("layup", as_known_at)}
        AND {withdrawals.standing("layup_observation", as_known_at)}
        AND EXISTS (
            SELECT 1 FROM layup_observation AS wet
            WHERE wet.layup_id = layup.id AND wet.kind = 'not_gelled'
        )
        AND NOT EXISTS (
            SELECT 1 FROM layup_batch AS other
            WHERE other.layup_id = layup.id AND other.batch_id <> layup_batch.batch_id
        )
        AND NOT EXISTS (
            SELECT 1 FROM layup_move
            WHERE layup_move.layup_id = layup.id AND layup_move.recorded_at <= ?
        )
        AND CAST(batch.filled AS INTEGER) = 0 AND layup.effects NOT LIKE '%promotes%'
        ORDER BY layup.id, layup_observation.at, layup_observation.id
    """


def _readings(
    looks: Iterable[_Look], known: int, as_known_at: int | None
) -> dict[int, dict[float, float]]:
    """Layup's id → the readings of its bay around its gel: epoch s → K."""
    from .. import bays

    sql = f"""
        SELECT seen.layup_id, reading.at, reading.temperature_mk FROM layup_observation AS seen
        JOIN layup ON layup.id = seen.layup_id
        JOIN layup_batch ON layup_batch.layup_id = layup.id
        JOIN batch ON batch.id = layup_batch.batch_id
        JOIN bay ON bay.id = layup.bay_id
        JOIN reading ON reading.bay_id = bay.id
        AND reading.at BETWEEN batch.mixed_at - bay.gap_max_s AND seen.at + bay.gap_max_s
        WHERE seen.id IN (?*) AND reading.recorded_at <= ?
        AND {withdrawals.standing("reading", as_known_at)} AND {bays.believed(as_known_at)}
        ORDER BY reading.at, reading.id
    """
    read: dict[int, dict[float, float]] = defaultdict(dict)
    ids = [look.id for look in looks]
    for layup_id, at, temperature_mk in query(sql, ids, known):
        read[layup_id][float(at)] = temperature_mk / 1000  # the last word of a moment counts
    return read
