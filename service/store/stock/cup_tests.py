"""Cup tests: gel times of a resin lot that somebody measured in a cup."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from ...core.stock import cup_test
from ...core.stock.cup_test import Condition, Verdict
from .. import tables
from ..engine.columns import LARGEST
from ..engine.rows import Reader, insert, query
from ..yard.hands import Hand

USABLE_VERDICTS = ("use", "caution")
"""Of a cup test whose factor doses and milestones go by."""


class CupTest(NamedTuple):
    """A gel time of a resin lot with a catalyst lot, and what it says of the resin."""

    id: int
    lot_id: int
    catalyst_lot_id: int
    mass_mg: int
    temperature_mk: int
    percent_ppm: int
    gel_s: int
    second_gel_s: int | None
    condition: Condition
    factor_ppm: int
    verdict: Verdict
    at: int
    recorded_at: int
    who: str
    verified: bool


class PairTest(NamedTuple):
    """A usable gel time of a resin lot, with the products of resin and catalyst."""

    id: int
    lot_id: int
    resin_id: int
    catalyst_id: int
    temperature_mk: int
    percent_ppm: int
    gel_s: int
    second_gel_s: int | None
    at: int


_TESTS = Reader(CupTest, tables.CupTest)

test = _TESTS.of_id


def add(*, now: int, hand: Hand, **columns: Any) -> CupTest:
    """Add a test; `columns` by their names."""
    return test(insert(tables.CupTest, **columns, **hand.signed(now)))


def cup_test_at(lot_id: int, moment: int, as_known_at: int | None = None) -> CupTest | None:
    """The cup test that gives a lot's factor at a moment, or None: the last one counts.

    None as well when that one has lapsed, or its verdict lets nobody use the lot.

    Args:
        moment, as_known_at: epoch seconds; without the second, as known now.
    """
    rest = """
        WHERE cup_test.lot_id = ? AND cup_test.at <= ? AND cup_test.at > ?
        AND cup_test.recorded_at <= ? ORDER BY cup_test.at DESC, cup_test.id DESC
    """
    known = LARGEST if as_known_at is None else as_known_at
    found = _TESTS.first(rest, lot_id, moment, moment - cup_test.LAPSES_AFTER_S, known)
    return found if found is not None and found.verdict in USABLE_VERDICTS else None


def of_lots(lot_ids: Iterable[int]) -> dict[int, list[CupTest]]:
    """Lot id → its cup tests, oldest first; usable or not."""
    found: dict[int, list[CupTest]] = {lot_id: [] for lot_id in lot_ids}
    rest = "WHERE cup_test.lot_id IN (?*) ORDER BY cup_test.at, cup_test.id"
    for row in _TESTS.all(rest, list(found)):
        found[row.lot_id].append(row)
    return found


def of_resins(product_ids: Iterable[int], as_known_at: int | None = None) -> list[PairTest]:
    """The usable tests of all lots of some resins, oldest first, as known at a moment or now."""
    sql = """
        SELECT cup_test.id, cup_test.lot_id, resin.product_id, catalyst.product_id,
        cup_test.temperature_mk, cup_test.percent_ppm, cup_test.gel_s, cup_test.second_gel_s,
        cup_test.at FROM cup_test
        JOIN lot AS resin ON resin.id = cup_test.lot_id
        JOIN lot AS catalyst ON catalyst.id = cup_test.catalyst_lot_id
        WHERE resin.product_id IN (?*) AND cup_test.recorded_at <= ?
        AND cup_test.verdict IN ('use', 'caution') ORDER BY cup_test.at, cup_test.id
    """
    known = LARGEST if as_known_at is None else as_known_at
    return [PairTest(*row) for row in query(sql, sorted(set(product_ids)), known)]
