"""The gel law of a pair at a moment: its sheet, with the cups and films that its lots gelled in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ...core.products import gel_law
from ...core.products.cure_sheet import CureSheet
from ...core.products.evidence import Cup, Film
from ...core.products.gel_law import GelLaw
from ...store.cure.brackets import PairFilm
from ...store.products import Product
from ...store.stock.cup_tests import PairTest
from . import cure_sheets
from .cure_sheets import strength_of

AGE_STEP_S = 5 * 86_400
"""Cups and films age in steps, so that the layups of a few days share one law."""


def law_of_pair(
    sheet: CureSheet,
    partner: Product | None,
    tests: Sequence[PairTest],
    films: Sequence[PairFilm],
    at: int,
    also: Iterable[int] = (),
) -> GelLaw:
    """The law of a resin and its partner.

    Args:
        tests, films: of the resin's lots, with any partner; those up to `at`, epoch s, count.
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
    seen = [_film(each, sheet, partner, at) for each in films if each.at <= at]
    taught = tuple(film for film in seen if film is not None)
    return gel_law.fit(sheet.gel_points, tuple(cups), films=taught)


def factor_basis(law: GelLaw, test: int | None) -> str:
    """What the factor of a lot rests on, in words.

    Args:
        test: the id of its last cup test, or None.
    """
    if test is not None:
        return f"cup test {test}"
    if law.cups:
        return "other cups of the pair"
    return "looks at layups of the pair" if law.films else "assumed"


def _cups(test: PairTest, sheet: CureSheet, partner: Product, at: int) -> list[Cup]:
    percent = None
    if sheet.mix.kind == "catalysed":
        percent = test.percent_ppm / 1e4 * strength_of(sheet, partner)
    age = _age(test.at, at)
    return [
        Cup(test.lot_id, test.temperature_mk / 1000, percent, float(time), age)
        for time in (test.gel_s, test.second_gel_s)
        if time is not None
    ]


def _film(told: PairFilm, sheet: CureSheet, partner: Product, at: int) -> Film | None:
    if told.catalyst_id != partner.id:
        return None
    percent = None
    if sheet.mix.kind == "catalysed":
        if told.percent_ppm is None:
            return None
        percent = told.percent_ppm / 1e4 * strength_of(sheet, partner)
    from ...core.cure.bracket import film_of  # late: of most pairs no layup was looked at in time

    return film_of(told.looks, percent, sheet, cure_sheets.law_of(sheet), _age(told.at, at))


def _age(then: int, at: int) -> float:
    """s from a test or a look to a moment, in steps."""
    return float(max(at - then, 0) // AGE_STEP_S * AGE_STEP_S)
