"""Record a cup test: a lot's gel time against its sheet's is the factor of later doses."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Annotated

from ...core.amounts.quantities import GEL_TIME, Given
from ...core.amounts.views import Moment, View
from ...core.errors import Invalid
from ...core.frozen import frozen
from ...core.products.cure_sheet import ASSUMED_GEL_MASS_MG
from ...core.stock import cup_test
from ...core.stock.cup_test import Condition, Result, Verdict
from ...store.engine.database import writing
from ...store.products import Product
from ...store.stock import cup_tests
from ...store.stock.cup_tests import CupTest
from ...store.stock.lots import Lot
from ...store.yard.hands import Hand
from ..products import cure_sheets
from ..products.cure_sheets import Kept, strength_of
from ..products.stuff import stuff_of
from ..yard import conversions, finding, moments
from .change_lot import hold


@frozen
class CupTestView(View):
    """What a cup test says of a lot."""

    id: int
    lot: int
    catalyst_lot: int
    gel_times: list[Annotated[int, GEL_TIME]]
    expected: Annotated[float, GEL_TIME]
    factor: float
    verdict: Verdict
    advice: str
    at: Moment
    who: str


def cup_lot(
    lot: Lot,
    *,
    mass: Given,
    temperature: Decimal,
    gel_times: Sequence[Decimal],
    now: int,
    hand: Hand,
    catalyst_lot: int,
    catalyst_percent: Decimal | None = None,
    condition: Condition = "normal",
    at: int | None = None,
) -> CupTestView:
    """Record a cup test, and hold the lot if the verdict is to hold or scrap it.

    Args:
        mass: of the resin in the cup. temperature: K. gel_times: of one or two cups, s.

    Raises:
        Invalid: as `cup_test.judge`; or a catalysed product without a percent.
        CureSheetMissing: there is no sheet for the pair.
    """
    with writing():
        at = moments.happened(at, now, "/at", by=hand)
        source = finding.lot(catalyst_lot, "/catalyst_lot")
        kept = cure_sheets.for_pair(lot.product, source.product.code)
        expected = _expected(kept, source.product, temperature, catalyst_percent)
        gel_mass = kept.sheet.gel_mass or ASSUMED_GEL_MASS_MG
        times = [float(time) for time in gel_times]
        held = conversions.in_ledger(mass, stuff_of(lot.product), "/mass")
        result = cup_test.judge(times, expected, held, gel_mass, condition)
        row = cup_tests.add(
            now=now,
            hand=hand,
            lot_id=lot.id,
            catalyst_lot_id=source.id,
            mass_mg=held,
            temperature_mk=conversions.milli(temperature),
            percent_ppm=conversions.ppm(catalyst_percent) or 0,
            gel_s=round(times[0]),
            second_gel_s=round(times[1]) if len(times) > 1 else None,
            condition=condition,
            factor_ppm=round(result.factor * 1e6),
            verdict=result.verdict,
            at=at,
        )
        if result.verdict in ("hold", "scrap") and not lot.held:
            hold(lot, f"cup test {row.id}: {result.advice}", now, hand)
        return _show(row, result, expected)


def _show(row: CupTest, result: Result, expected: float) -> CupTestView:
    return CupTestView(
        id=row.id,
        lot=row.lot_id,
        catalyst_lot=row.catalyst_lot_id,
        gel_times=[time for time in (row.gel_s, row.second_gel_s) if time is not None],
        expected=expected,
        factor=round(result.factor, 3),
        verdict=result.verdict,
        advice=result.advice,
        at=row.at,
        who=row.who,
    )


def _expected(
    kept: Kept, catalyst: Product, temperature: Decimal, percent: Decimal | None
) -> float:
    """The gel time by the sheet, s."""
    if kept.sheet.mix.kind == "catalysed" and percent is None:
        raise Invalid(
            "The cup's catalyst percent is needed.",
            advice="Give it as it was weighed.",
            pointer="/catalyst_percent",
        )
    law = cure_sheets.law_of(kept.sheet)
    effective = None if percent is None else float(percent) * strength_of(kept.sheet, catalyst)
    return law.gel_time(float(temperature), effective)
