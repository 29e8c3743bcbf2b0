"""The lots that a job used: the amount and its cost, and whether each was in date at the time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Annotated

from ...core.amounts.quantities import GEL_TIME, TEMPERATURE
from ...core.amounts.views import Code, Moment, Says, Stock, View
from ...core.frozen import frozen
from ...core.stock import cup_test, lots
from ...core.stock.cup_test import Condition, Verdict
from ...core.stock.lots import Basis
from ...store.stock import cup_tests
from ...store.stock import lots as shelf
from ...store.stock.cup_tests import CupTest
from ...store.stock.lines import Movement
from ...store.stock.lots import Lot
from ..products.nature import life_type_of
from ..products.stuff import kind_of
from ..stock import lot_life
from ..stock.lot import BASIS_MEANS, MoneyView
from ..yard import conversions, moments

Lines = Sequence[Movement]


@frozen
class CupView(View):
    """A cup test on record; `factor` is of its gel time over the sheet's."""

    id: int
    at: Moment
    gel_times: list[Annotated[int, GEL_TIME]]
    catalyst_percent: Decimal | None
    temperature: Annotated[Decimal, TEMPERATURE]
    factor: float
    verdict: Verdict
    condition: Condition
    who: str
    verified: bool


@frozen
class UsedLot(View):
    """A lot that a job used: the amount, when, whether it was in date then, and the cost."""

    id: int
    product: Code
    number: Code
    container: str
    used: Annotated[Stock, Says("Less what was brought back of it, as a piece too.")]
    used_from: Moment
    used_until: Moment
    received_on: date
    made_on: date | None
    expires_on: date | None
    good_until_then: date | None
    good_until_basis: Annotated[Basis, Says(BASIS_MEANS)]
    in_date_then: bool | None
    cup_tests: list[CupView]
    cost: MoneyView | None


@frozen
class Returned(View):
    """An amount that was brought back, and the lot that it went into or is since."""

    id: int
    product: Code
    number: Code
    container: str
    offcut: Annotated[bool, Says("Whether it is a lot of its own since.")]
    quantity: Stock
    at: Moment
    who: str
    verified: bool


def show(lines: Lines) -> list[UsedLot]:
    """Each lot's net amount and its share of the lot's cost; None where it has no cost.

    An amount that came back, as a piece too, is taken off the lot that it was drawn from.

    Args:
        lines: those of the ledger that were not reversed.
    """
    by_lot: dict[int, list[Movement]] = defaultdict(list)
    for line in lines:
        if line.kind != "return":
            by_lot[line.lot_id].append(line)
    rows = [found[0].lot for found in by_lot.values()]
    for line in lines:
        if line.kind == "return":
            by_lot[_source(line)].append(line)
    lives, tests = lot_life.lives_of(rows), cup_tests.of_lots(by_lot)
    extended = shelf.extended_when(by_lot)
    return [
        _show(row, by_lot[row.id], lives[row.id], extended[row.id], tests[row.id]) for row in rows
    ]


def returned(lines: Lines) -> list[Returned]:
    """The amounts that were brought back, line by line."""
    return [
        Returned(
            id=line.lot_id,
            product=line.lot.product.code,
            number=line.lot.number,
            container=line.lot.container,
            offcut=line.lot.parent_id is not None,
            quantity=(line.amount, kind_of(line.lot.product)),
            at=line.at,
            who=line.who,
            verified=line.verified,
        )
        for line in lines
        if line.kind == "return"
    ]


def _source(line: Movement) -> int:
    """The lot that a returned amount was drawn from; a returned piece is a lot of its own."""
    return int(line.lot.parent_id or line.lot_id)


def show_test(row: CupTest) -> CupView:
    """A cup test on record."""
    return CupView(
        id=row.id,
        at=row.at,
        gel_times=[time for time in (row.gel_s, row.second_gel_s) if time is not None],
        catalyst_percent=conversions.percent(row.percent_ppm or None),
        temperature=conversions.kelvin(row.temperature_mk),
        factor=row.factor_ppm / 1e6,
        verdict=row.verdict,
        condition=row.condition,
        who=row.who,
        verified=row.verified,
    )


def _show(
    row: Lot,
    lines: Lines,
    life: lots.Life,
    extended: Sequence[tuple[int, date]],
    tests: Sequence[CupTest],
) -> UsedLot:
    used = [line.at for line in lines if line.kind != "return"]
    first, last = min(used), max(used)
    final = life_type_of(row.product) == "I"
    longer = [day for at, day in extended if at <= last and not final]
    then = _life_on(life, moments.day_of(last), longer)
    end = lots.expires_on(then)
    return UsedLot(
        id=row.id,
        product=row.product.code,
        number=row.number,
        container=row.container,
        used=(-sum(line.amount for line in lines), kind_of(row.product)),
        used_from=first,
        used_until=last,
        received_on=row.received_on,
        made_on=row.made_on,
        expires_on=lots.expires_on(life),
        good_until_then=end,
        good_until_basis=lots.expires_basis(then),
        in_date_then=None if end is None else moments.day_of(last) <= end,
        cup_tests=[show_test(t) for t in tests if t.at <= last + cup_test.TAKEN_UP_WITHIN_S],
        cost=_cost(lines),
    )


def _life_on(life: lots.Life, on: date, extended: Sequence[date]) -> lots.Life:
    """A lot's life as it was on a day: a later opening or extension did not count yet."""
    opened = life.opened_on if life.opened_on and life.opened_on <= on else None
    return replace(life, opened_on=opened, extended_to=max(extended, default=None))


def _cost(lines: Lines) -> MoneyView | None:
    known = [(line.cost_minor, line.currency) for line in lines if line.cost_minor is not None]
    if not known:
        return None
    return MoneyView(sum(minor for minor, _ in known) / 100, known[0][1])
