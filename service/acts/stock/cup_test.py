"""Test a lot: its gel time in a cup against the sheet gives the factor of later doses."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ...core.amounts.quantities import Given
from ...core.errors import Invalid
from ...core.products.cure_sheet import ASSUMED_GEL_MASS_MG
from ...core.stock import cup_test
from ...core.stock.cup_test import Result
from ...store.engine.database import writing
from ...store.products import Product
from ...store.stock import cup_tests
from ...store.stock.cup_tests import CupTest
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..products import cure_sheets
from ..products.cure_sheets import Kept, strength_of
from ..products.product import stuff_of
from ..yard import conversions as units
from ..yard import finding, moments
from .change_lot import hold


def cup_lot(
    lot: Lot,
    *,
    mass: Given,
    temperature: Decimal,
    gel_times: list[Decimal],
    now: int,
    hand: Hand,
    catalyst_lot: int,
    catalyst_percent: Decimal | None = None,
    condition: cup_test.Condition = "normal",
    at: int | None = None,
) -> dict[str, Any]:
    """Record a cup test. A lot that it finds suspect is held.

    Args:
        mass: of resin in the cup. temperature: K. gel_times: of one or two cups, s.

    Raises:
        Invalid: as `cup_test.judge`; or no percent for a catalysed product.
        CureSheetMissing: the pair has no sheet.
    """
    with writing():
        at = moments.happened(at, now, "/at", by=hand)
        source = finding.lot(catalyst_lot, "/catalyst_lot")
        kept = cure_sheets.for_pair(lot.product, source.product.code)
        expected = _expected(kept, source.product, temperature, catalyst_percent)
        gel_mass = kept.sheet.gel_mass or ASSUMED_GEL_MASS_MG
        times = [float(time) for time in gel_times]
        held = units.in_ledger(mass, stuff_of(lot.product), "/mass")
        result = cup_test.judge(times, expected, held, gel_mass, condition)
        row = cup_tests.add(
            now=now,
            hand=hand,
            lot_id=lot.id,
            catalyst_lot_id=source.id,
            mass_mg=held,
            temperature_mk=units.milli(temperature),
            percent_ppm=units.ppm(catalyst_percent) or 0,
            gel_s=round(times[0]),
            second_gel_s=round(times[1]) if len(times) > 1 else None,
            condition=condition,
            factor_ppm=round(result.factor * 1e6),
            verdict=result.verdict,
            at=at,
        )
        if result.verdict in ("hold", "scrap") and not lot.held:
            hold(lot, f"cup test {row.id}: {result.advice}", now, hand)
        return show_test(row, result, expected)


def show_test(row: CupTest, result: Result, expected: float) -> dict[str, Any]:
    """A cup test for an answer; times in s."""
    return {
        "id": row.id,
        "lot": row.lot_id,
        "catalyst_lot": row.catalyst_lot_id,
        "gel_times": [t for t in (row.gel_s, row.second_gel_s) if t is not None],
        "expected": expected,
        "factor": round(result.factor, 3),
        "verdict": result.verdict,
        "advice": result.advice,
        "at": row.at,
        "who": row.who,
    }


def _expected(
    kept: Kept, catalyst: Product, temperature: Decimal, percent: Decimal | None
) -> float:
    if kept.sheet.mix.kind == "catalysed" and percent is None:
        raise Invalid(
            "The cup's catalyst percent is needed.",
            advice="Give it as it was weighed.",
            pointer="/catalyst_percent",
        )
    law = cure_sheets.law_of(kept.sheet)
    effective = None if percent is None else float(percent) * strength_of(kept.sheet, catalyst)
    return law.gel_time(float(temperature), effective)
