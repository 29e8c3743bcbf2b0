"""The gel law of a pair at a moment: its sheet, with the cups that its lots were tested in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ...core.products import gel_law
from ...core.products.cure_sheet import CureSheet
from ...core.products.evidence import Cup
from ...core.products.gel_law import GelLaw
from ...store.products import Product
from ...store.stock.cup_tests import PairTest
from . import cure_sheets
from .cure_sheets import strength_of

AGE_STEP_S = 5 * 86_400
"""Cups age in steps, so that the layups of a few days share one law."""


def law_of_pair(
    sheet: CureSheet,
    partner: Product | None,
    tests: Sequence[PairTest],
    at: int,
    also: Iterable[int] = (),
) -> GelLaw:
    """The law of a resin and its partner.

    Args:
        tests: of the resin's lots, with any partner; those up to `at`, epoch s, count.
        also: ids of later tests that count as well.
    """
    if partner is None or not sheet.gel_points:
        return cure_sheets.law_of(sheet)
    later = set(also)
    counted = [
        test
        for test in tests
        if test.catalyst_id == partner.id and (test.at <= at or test.id in later)
    ]
    cups = [cup for test in counted for cup in _cups(test, sheet, partner, at)]
    return gel_law.fit(sheet.gel_points, tuple(cups))


def factor_basis(law: GelLaw, test: int | None) -> str:
    """What the factor of a lot rests on, in words.

    Args:
        test: the id of its last cup test, or None.
    """
    if test is not None:
        return f"cup test {test}"
    return "other cups of the pair" if law.cups else "assumed"


def _cups(test: PairTest, sheet: CureSheet, partner: Product, at: int) -> list[Cup]:
    percent = None
    if sheet.mix.kind == "catalysed":
        percent = test.percent_ppm / 1e4 * strength_of(sheet, partner)
    age = float(max(at - test.at, 0) // AGE_STEP_S * AGE_STEP_S)
    return [
        Cup(test.lot_id, test.temperature_mk / 1000, percent, float(time), age)
        for time in (test.gel_s, test.second_gel_s)
        if time is not None
    ]
