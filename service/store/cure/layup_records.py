"""All that is known of some layups, gathered in a few queries however many they are."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..engine.queries import among, rows_of
from ..lookup import attach
from ..stock import lots as shelf
from ..tables import (
    Batch,
    BatchObservation,
    Bay,
    CupTest,
    Layup,
    LayupBatch,
    LayupMove,
    LayupObservation,
    Lot,
    Withdrawal,
)
from ..yard import withdrawals
from . import layups


@dataclass(frozen=True)
class LayupRecord:
    """What is known of a layup, as recorded by a moment.

    Attributes:
        row: with its job, product, catalyst, bay and cure sheet.
        pots: that went into it, the first mixed first.
        seen: what hands saw of it, oldest first. cups: by the pot's id, when hands saw its cup
            gelled or not, oldest first; none for a pot that nobody looked at.
        moves: where it was carried, (moment, bay), oldest first.
        cup_tests: by the pot's id, a usable test of its resin that came soon enough after its
            mixing; none for a pot that had one when it was mixed.
        closed_at: when the watch on it ended, epoch s, or None.
        ended_at: when it was covered, handed over or left, sound or not; epoch s, or None.
        withdrawn: how it was taken back, or None: it was laid. taken_back: what hands noted of it
            and took back, oldest first, each with how.
    """

    row: Layup
    pots: tuple[Batch, ...]
    seen: tuple[LayupObservation, ...]
    cups: dict[int, list[BatchObservation]]
    moves: tuple[tuple[int, Bay], ...]
    cup_tests: dict[int, CupTest]
    closed_at: int | None
    ended_at: int | None
    withdrawn: Withdrawal | None = None
    taken_back: tuple[tuple[LayupObservation, Withdrawal], ...] = ()

    @property
    def bay(self) -> Bay:
        """The bay that it is in."""
        return self.moves[-1][1] if self.moves else self.row.bay

    @property
    def bays(self) -> tuple[Bay, ...]:
        """Each bay that it was ever in, as often as it was carried there."""
        return (self.row.bay, *(bay for _, bay in self.moves))

    @property
    def started(self) -> int:
        """When its first pot was mixed, or it was laid, epoch s."""
        return layups.started(self.row, self.pots)


def records(rows: Sequence[Layup], as_known_at: int | None = None) -> list[LayupRecord]:
    """What is known of each of some layups, in their order.

    Args:
        as_known_at: epoch s: only what was recorded by then; without it, as known now.
    """
    attach(
        rows, Layup.job, Layup.product, Layup.catalyst, Layup.bay, Layup.cure_sheet, Layup.over
    )  # fmt: skip
    if as_known_at is not None:
        rows = layups.as_known(rows, as_known_at)
    ids = [row.id for row in rows]
    pots = _pots(ids)
    mixed = {pot.id: pot for found in pots.values() for pot in found}
    cups, tests = _cups(mixed, as_known_at), _tests(mixed, as_known_at)
    seen, moves = _seen(ids, as_known_at), _moves(ids, as_known_at)
    taken = withdrawals.of_rows(Withdrawal.layup, ids, as_known_at)
    noted = [each.id for one in seen.values() for each in one]
    unsaid = withdrawals.of_rows(Withdrawal.layup_observation, noted, as_known_at)
    return [
        LayupRecord(
            row,
            tuple(own := pots.get(row.id, [])),
            tuple(each for each in seen[row.id] if each.id not in unsaid),
            {pot.id: cups[pot.id] for pot in own if pot.id in cups},
            tuple((move.at, move.bay) for move in moves[row.id]),
            {pot.id: tests[pot.id] for pot in own if pot.id in tests},
            row.closed_at,
            row.ended_at,
            taken.get(row.id),
            tuple((each, unsaid[each.id]) for each in seen[row.id] if each.id in unsaid),
        )
        for row in rows
    ]


def _pots(ids: list[int]) -> dict[int, list[Batch]]:
    """Layup's id → its pots with their catalyst, the first mixed first."""
    pairs = rows_of(LayupBatch.select().where(among(LayupBatch.layup, ids)))
    layups_of = defaultdict(list)
    for pair in pairs:
        layups_of[pair.batch_id].append(pair.layup_id)
    found: dict[int, list[Batch]] = {}
    rows = Batch.select().where(among(Batch.id, layups_of))
    pots = rows_of(rows.order_by(Batch.mixed_at, Batch.id))
    attach(pots, Batch.catalyst_lot)
    attach([pot.catalyst_lot for pot in pots if pot.catalyst_lot is not None], Lot.product)
    for pot in pots:
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


def _cups(pots: Iterable[int], as_known_at: int | None) -> dict[int, list[BatchObservation]]:
    rows = BatchObservation.select().where(
        among(BatchObservation.batch, pots),
        BatchObservation.kind.in_(("gelled", "not_gelled")),
        withdrawals.standing(Withdrawal.batch_observation, as_known_at),
    )
    if as_known_at is not None:
        rows = rows.where(BatchObservation.recorded_at <= as_known_at)
    found: dict[int, list[BatchObservation]] = {}
    for seen in rows_of(rows.order_by(BatchObservation.at, BatchObservation.id)):
        found.setdefault(seen.batch_id, []).append(seen)
    return found


def _tests(pots: dict[int, Batch], as_known_at: int | None) -> dict[int, CupTest]:
    untested = [pot for pot in pots.values() if pot.cup_test_id is None]
    return {
        pot: test
        for pot, test in shelf.cup_tests_after(untested).items()
        if as_known_at is None or test.recorded_at <= as_known_at
    }
