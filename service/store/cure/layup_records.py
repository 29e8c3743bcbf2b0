"""All that is known of some layups, gathered in a few queries however many they are."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar

from ...core.frozen import frozen
from .. import cure_sheets
from ..bays import Bay
from ..cure_sheets import CureSheet
from ..engine.columns import LARGEST
from ..stock import cup_tests
from ..stock.cup_tests import CupTest, PairTest
from ..yard import withdrawals
from ..yard.withdrawals import Withdrawal
from . import brackets, earlier, layups, pots
from . import probes as layup_probes
from .brackets import PairFilm
from .layups import Layup, LayupMove, LayupObservation
from .pots import Batch, BatchObservation
from .probes import LayupProbe


@frozen
class LayupRecord:
    """What is known of a layup, as recorded by a moment.

    Attributes:
        unsettled: the nearest layup below it, at any depth, that was covered unsound and of which
            nobody has said what became; or None.
        pots: that went into it, the first mixed first.
        seen: what hands saw of it, oldest first. cups: by the pot's id, when hands saw its cup
            gelled or not, oldest first; none for a pot that nobody looked at.
        moves: where it was carried, (moment, bay), oldest first. probes: that tell its own
            temperature in its post-cure.
        cup_tests: by the pot's id, a usable test of its resin that came soon enough after its
            mixing; none for a pot that had one when it was mixed.
        tested: all usable tests of its resin product, oldest first. films: all brackets of it.
        closed_at: when the watch on it ended, epoch s, or None.
        ended_at: when it was covered, handed over or left, sound or not; epoch s, or None.
        withdrawn: how it was taken back, or None: it was laid. taken_back: what hands noted of it
            and took back, oldest first, each with how.
    """

    row: Layup
    cure_sheet: CureSheet
    unsettled: Layup | None
    pots: tuple[Batch, ...]
    seen: tuple[LayupObservation, ...]
    cups: dict[int, list[BatchObservation]]
    moves: tuple[tuple[int, Bay], ...]
    probes: tuple[LayupProbe, ...]
    cup_tests: dict[int, CupTest]
    tested: tuple[PairTest, ...]
    films: tuple[PairFilm, ...]
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
        """Each bay that it was ever in, as often as it was carried there, and its probes'."""
        probed = (probe.bay for probe in self.probes)
        return (self.row.bay, *(bay for _, bay in self.moves), *probed)

    @property
    def started(self) -> int:
        """When its first pot was mixed, or it was laid, epoch s."""
        return layups.started(self.row, self.pots)


def records(rows: Sequence[Layup], as_known_at: int | None = None) -> list[LayupRecord]:
    """What is known of each of some layups, in their order.

    Args:
        as_known_at: epoch s: only what was recorded by then; without it, as known now.
    """
    if as_known_at is not None:
        rows = earlier.as_known(rows, as_known_at)
    known = LARGEST if as_known_at is None else as_known_at
    ids = [row.id for row in rows]
    sheets = {each.id: each for each in cure_sheets.sheets(row.cure_sheet_id for row in rows)}
    unsettled = layups.unsettled_below(ids)
    mixed = layups.batches_of_layups(ids)
    every = {pot.id: pot for found in mixed.values() for pot in found}
    cups, tests = _cups(list(every), as_known_at), _tests(every, known)
    tested, films = _tested(rows, as_known_at), _films(rows, as_known_at)
    seen = _by_layup(ids, layups.noted_of(ids, known))
    moves = _by_layup(ids, layups.moves_of(ids, known))
    probed = _by_layup(ids, layup_probes.of_layups(ids, as_known_at))
    taken = withdrawals.of_rows("layup", ids, as_known_at)
    noted = [each.id for one in seen.values() for each in one]
    unsaid = withdrawals.of_rows("layup_observation", noted, as_known_at)
    return [
        LayupRecord(
            row,
            sheets[row.cure_sheet_id],
            unsettled.get(row.id),
            tuple(own := mixed[row.id]),
            tuple(each for each in seen[row.id] if each.id not in unsaid),
            {pot.id: cups[pot.id] for pot in own if pot.id in cups},
            tuple((move.at, move.bay) for move in moves[row.id]),
            tuple(probed[row.id]),
            {pot.id: tests[pot.id] for pot in own if pot.id in tests},
            tested[row.product_id],
            films[row.product_id],
            row.closed_at,
            row.ended_at,
            taken.get(row.id),
            tuple((each, unsaid[each.id]) for each in seen[row.id] if each.id in unsaid),
        )
        for row in rows
    ]


_Noted = TypeVar("_Noted", LayupObservation, LayupMove, LayupProbe)


def _by_layup(ids: Iterable[int], rows: Iterable[_Noted]) -> dict[int, list[_Noted]]:
    found: dict[int, list[_Noted]] = {layup_id: [] for layup_id in ids}
    for row in rows:
        found[row.layup_id].append(row)
    return found


def _cups(pot_ids: list[int], as_known_at: int | None) -> dict[int, list[BatchObservation]]:
    seen = pots.observations_of_batches(pot_ids, as_known_at)
    cups = {
        pot: [s for s in told if s.kind in ("gelled", "not_gelled")] for pot, told in seen.items()
    }
    return {pot: told for pot, told in cups.items() if told}


def _tested(rows: Sequence[Layup], known_at: int | None) -> dict[int, tuple[PairTest, ...]]:
    found: dict[int, list[PairTest]] = {row.product_id: [] for row in rows}
    for test in cup_tests.of_resins(found, known_at):
        found[test.resin_id].append(test)
    return {product: tuple(tests) for product, tests in found.items()}


def _films(rows: Sequence[Layup], known_at: int | None) -> dict[int, tuple[PairFilm, ...]]:
    found: dict[int, list[PairFilm]] = {row.product_id: [] for row in rows}
    since = min((row.applied_at for row in rows), default=0)
    for film in brackets.of_resins(found, since, known_at):
        found[film.resin_id].append(film)
    return {product: tuple(films) for product, films in found.items()}


def _tests(mixed: dict[int, Batch], known_at: int) -> dict[int, CupTest]:
    untested = [pot for pot in mixed.values() if pot.cup_test_id is None]
    found = pots.tests_after(untested)
    return {pot: test for pot, test in found.items() if test.recorded_at <= known_at}
