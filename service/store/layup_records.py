"""All that is known of some layups, gathered in a few queries however many they are."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from . import layups, shelf
from .compiled import among, rows_of
from .lookup import attach
from .tables import (
    Batch,
    BatchObservation,
    Bay,
    CupTest,
    Layup,
    LayupBatch,
    LayupMove,
    LayupObservation,
)


@dataclass(frozen=True)
class LayupRecord:
    """What is known of a layup, as recorded by a moment.

    Attributes:
        row: with its job, product, catalyst, bay and cure sheet.
        pots: that went into it, the first mixed first.
        seen: what hands saw of it, oldest first. cup_gels: when hands saw the cup of its first
            pot gel, epoch s, earliest first.
        moves: where it was carried, (moment, bay), oldest first.
        cup_tests: by the pot's id, a usable test of its resin that came soon enough after its
            mixing; none for a pot that had one when it was mixed.
        closed_at: when the watch on it ended, epoch s, or None.
        ended_at: when it was covered, handed over or left, sound or not; epoch s, or None.
    """

    row: Layup
    pots: tuple[Batch, ...]
    seen: tuple[LayupObservation, ...]
    cup_gels: tuple[int, ...]
    moves: tuple[tuple[int, Bay], ...]
    cup_tests: dict[int, CupTest]
    closed_at: int | None
    ended_at: int | None

    @property
    def bay(self) -> Bay:
        """The bay that it is in."""
        return self.moves[-1][1] if self.moves else self.row.bay

    @property
    def started(self) -> int:
        """When its first pot was mixed, or it was laid, epoch s."""
        return layups.started(self.row, self.pots)


def records(rows: Sequence[Layup], as_known_at: int | None = None) -> list[LayupRecord]:
    """What is known of each of some layups, in their order.

    Args:
        as_known_at: epoch s: only what was recorded by then; without it, as known now.
    """
    attach(rows, Layup.job, Layup.product, Layup.catalyst, Layup.bay, Layup.cure_sheet)
    ids = [row.id for row in rows]
    pots = _pots(ids)
    gels = _cup_gels([found[0].id for found in pots.values()], as_known_at)
    tests = _tests({pot.id: pot for found in pots.values() for pot in found}, as_known_at)
    seen, moves = _seen(ids, as_known_at), _moves(ids, as_known_at)
    return [
        LayupRecord(
            row,
            tuple(own := pots.get(row.id, [])),
            tuple(seen[row.id]),
            tuple(gels[own[0].id]) if own else (),
            tuple((move.at, move.bay) for move in moves[row.id]),
            {pot.id: tests[pot.id] for pot in own if pot.id in tests},
            layups.closed_at(row, as_known_at),
            layups.ended_at(row, as_known_at),
        )
        for row in rows
    ]


def _pots(ids: list[int]) -> dict[int, list[Batch]]:
    pairs = rows_of(LayupBatch.select().where(among(LayupBatch.layup, ids)))
    layups_of = defaultdict(list)
    for pair in pairs:
        layups_of[pair.batch_id].append(pair.layup_id)
    found: dict[int, list[Batch]] = {}
    rows = Batch.select().where(among(Batch.id, layups_of))
    for pot in rows_of(rows.order_by(Batch.mixed_at, Batch.id)):
        for layup in layups_of[pot.id]:
            found.setdefault(layup, []).append(pot)
    return found


def _seen(ids: list[int], as_known_at: int | None) -> dict[int, list[LayupObservation]]:
    rows = LayupObservation.select().where(among(LayupObservation.layup, ids))
    if as_known_at is not None:
        rows = rows.where(LayupObservation.recorded_at <= as_known_at)
    found = defaultdict(list)
    for seen in rows_of(rows.order_by(LayupObservation.at, LayupObservation.id)):
        found[seen.layup_id].append(seen)
    return found


def _moves(ids: list[int], as_known_at: int | None) -> dict[int, list[LayupMove]]:
    rows = LayupMove.select().where(among(LayupMove.layup, ids))
    if as_known_at is not None:
        rows = rows.where(LayupMove.recorded_at <= as_known_at)
    moves = rows_of(rows.order_by(LayupMove.at, LayupMove.id))
    attach(moves, LayupMove.bay)
    found = defaultdict(list)
    for move in moves:
        found[move.layup_id].append(move)
    return found


def _cup_gels(pots: Iterable[int], as_known_at: int | None) -> dict[int, list[int]]:
    rows = BatchObservation.select().where(
        among(BatchObservation.batch, pots), BatchObservation.kind == "gelled"
    )
    if as_known_at is not None:
        rows = rows.where(BatchObservation.recorded_at <= as_known_at)
    found = defaultdict(list)
    for seen in rows_of(rows.order_by(BatchObservation.at, BatchObservation.id)):
        found[seen.batch_id].append(seen.at)
    return found


def _tests(pots: dict[int, Batch], as_known_at: int | None) -> dict[int, CupTest]:
    untested = [pot for pot in pots.values() if pot.cup_test_id is None]
    return {
        pot: test
        for pot, test in shelf.cup_tests_after(untested).items()
        if as_known_at is None or test.recorded_at <= as_known_at
    }
