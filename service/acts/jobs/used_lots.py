"""The lots that a job used: how much, at what cost, and whether each was in date at the time."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from ...core.stock import cup_test, lots
from ...store.stock import cup_tests
from ...store.stock import lots as shelf
from ...store.stock.cup_tests import CupTest
from ...store.stock.lines import Movement
from ...store.stock.lots import Lot
from ..products.nature import life_type_of
from ..products.product import kind_of
from ..stock import lot_end
from ..yard import conversions as units
from ..yard import moments

Lines = Sequence[Movement]


def show(lines: Lines) -> list[dict[str, Any]]:
    """Each lot's net amount and its share of the lot's cost; None where it has no cost.

    What came back, as a piece too, is taken off the lot that it was drawn from.

    Args:
        lines: of the ledger that stand, with their lots and those lots' products.
    """
    by_lot: dict[int, list[Movement]] = defaultdict(list)
    for line in lines:
        if line.kind != "return":
            by_lot[line.lot_id].append(line)
    rows = [found[0].lot for found in by_lot.values()]
    for line in lines:
        if line.kind == "return":
            by_lot[_source(line)].append(line)
    lives, tests = lot_end.lives_of(rows), cup_tests.of_lots(by_lot)
    extended = shelf.extended_when(by_lot)
    return [
        _show(row, by_lot[row.id], lives[row.id], extended[row.id], tests[row.id]) for row in rows
    ]


def returned(lines: Lines) -> list[dict[str, Any]]:
    """What was brought back, line by line; `offcut` where it is a lot of its own since."""
    return [
        {
            "id": line.lot_id,
            "product": line.lot.product.code,
            "number": line.lot.number,
            "container": line.lot.container,
            "offcut": line.lot.parent_id is not None,
            "quantity": (line.amount, kind_of(line.lot.product)),
            "at": line.at,
            "who": line.who,
            "verified": line.verified,
        }
        for line in lines
        if line.kind == "return"
    ]


def _source(line: Movement) -> int:
    """The lot that what came back was drawn from: a piece is one by its own return."""
    return int(line.lot.parent_id or line.lot_id)


def show_test(row: CupTest) -> dict[str, Any]:
    """A cup test as it stands on record; times in s."""
    return {
        "id": row.id,
        "at": row.at,
        "gel_times": [time for time in (row.gel_s, row.second_gel_s) if time is not None],
        "catalyst_percent": units.percent(row.percent_ppm or None),
        "temperature": units.kelvin(row.temperature_mk),
        "factor": row.factor_ppm / 1e6,
        "verdict": row.verdict,
        "condition": row.condition,
        "who": row.who,
        "verified": row.verified,
    }


def _show(
    row: Lot,
    lines: Lines,
    life: lots.Life,
    extended: Sequence[tuple[int, date]],
    tests: Sequence[CupTest],
) -> dict[str, Any]:
    used = [line.at for line in lines if line.kind != "return"]
    first, last = min(used), max(used)
    final = life_type_of(row.product) == "I"
    longer = [day for at, day in extended if at <= last and not final]
    then = _life_on(life, moments.day_of(last), longer)
    end = lots.expires_on(then)
    return {
        "id": row.id,
        "product": row.product.code,
        "number": row.number,
        "container": row.container,
        "used": (-sum(line.amount for line in lines), kind_of(row.product)),
        "used_from": first,
        "used_until": last,
        "received_on": row.received_on,
        "made_on": row.made_on,
        "expires_on": lots.expires_on(life),
        "good_until_then": end,
        "good_until_basis": lots.expires_basis(then),
        "in_date_then": None if end is None else moments.day_of(last) <= end,
        "cup_tests": [show_test(t) for t in tests if t.at <= last + cup_test.TAKEN_UP_WITHIN_S],
        "cost": _cost(lines),
    }


def _life_on(life: lots.Life, on: date, extended: Sequence[date]) -> lots.Life:
    """A lot's life as it stood on a day: what was opened or extended later did not count yet."""
    opened = life.opened_on if life.opened_on and life.opened_on <= on else None
    return replace(life, opened_on=opened, extended_to=max(extended, default=None))


def _cost(lines: Lines) -> dict[str, Any] | None:
    known = [(line.cost_minor, line.currency) for line in lines if line.cost_minor is not None]
    if not known:
        return None
    return {"amount": sum(minor for minor, _ in known) / 100, "currency": known[0][1]}
