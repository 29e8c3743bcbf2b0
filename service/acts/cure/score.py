"""The score of a product: how its lots gel against the sheet, and how its promises came out."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp
from typing import Annotated

from ...core.amounts.quantities import TIME
from ...core.amounts.views import Code, OneOf, View
from ...core.cure import handing_over, score
from ...core.cure.score import Outcome, Promise
from ...core.frozen import frozen
from ...store import products as catalogue
from ...store.cure import brackets, layups
from ...store.cure.layup_records import LayupRecord, records
from ...store.products import Product
from ...store.stock.cup_tests import of_resins
from ..products import cure_sheets
from ..products.pair_law import law_of_pair
from ..yard import settings
from .promise import STAGES, promises

LAST = 30
"""How many promises the score looks back."""
LAYUPS = 100
"""How many layups those promises are looked for in."""


@frozen
class PairView(View):
    """How a pair gels against its sheet, by its cups and by looks at its layups."""

    catalyst: Code
    factor: float
    spread_percent: float
    cups: int
    films: int


@frozen
class KeptView(View):
    """A promise and how it came out; times since its beginning, `seen` when a hand looked."""

    layup: int
    stage: Annotated[str, OneOf(STAGES)]
    earliest: Annotated[float, TIME]
    likely: Annotated[float, TIME]
    latest: Annotated[float | None, TIME]
    seen: Annotated[float, TIME]
    outcome: Outcome


@frozen
class ScoreView(View):
    """The score: pairs by what was seen of them; promises that a look tells of, newest first."""

    pairs: list[PairView]
    counted: int
    outside: int
    expected: float
    words: str | None
    promises: list[KeptView]


def score_of(product: Product, now: int) -> ScoreView:
    """The score of a product."""
    sure = settings.sure()
    rows = layups.of_product(product.id, LAYUPS)
    kept = [each for record in records(rows) for each in _kept(record)][:LAST]
    found = score.tally([each.outcome for each in kept])
    return ScoreView(
        pairs=_pairs(product, now),
        counted=found.counted,
        outside=found.outside,
        expected=round(found.expected(sure), 1),
        words=found.words(sure),
        promises=kept,
    )


def _pairs(product: Product, now: int) -> list[PairView]:
    tests, films = of_resins([product.id]), brackets.of_resins([product.id], now)
    shown = []
    for kept in cure_sheets.current(product.id):
        for code in kept.sheet.partners:
            partner = catalogue.find_product(code)
            law = law_of_pair(kept.sheet, partner, tests, films, now)
            belief = law.belief()
            if partner is not None and law.points and (law.cups or law.films):
                spread = round(100 * (exp(belief.spread) - 1), 1)
                shown.append(
                    PairView(
                        partner.code,
                        round(exp(belief.mean), 3),
                        spread,
                        len(law.cups),
                        len(law.films),
                    )
                )
    return shown


def _kept(record: LayupRecord) -> list[KeptView]:
    if record.withdrawn is not None:
        return []
    looks = _looks(record)
    return [
        KeptView(
            layup=record.row.id,
            stage=promise.stage,
            earliest=promise.earliest - promise.since,
            likely=promise.at - promise.since,
            latest=None if promise.latest is None else promise.latest - promise.since,
            seen=seen - promise.since,
            outcome=found,
        )
        for promise in promises(record.row, record.started)
        for not_yet, there in [looks[promise.stage]]
        if (found := score.outcome(promise, not_yet, there)) is not None
        and (seen := _told_by(promise, not_yet, there)) is not None
    ]


def _told_by(promise: Promise, not_yet: float | None, there: float | None) -> float | None:
    """The look that tells how it came out."""
    late = promise.latest is not None and not_yet is not None and not_yet > promise.latest
    return not_yet if late else there


def _looks(record: LayupRecord) -> dict[str, tuple[float | None, float | None]]:
    """By stage: when a hand last found that it had not come, and first that it had."""
    sheet = cure_sheets.kept(record.cure_sheet).sheet
    hard_from = handing_over.hard_from(sheet.hardness_min, record.row.product.chemistry)
    touch = layups.touch(record.seen, hard_from, sheet.hardness_scale)
    wet = max((float(o.at) for o in record.seen if o.kind == "not_gelled"), default=None)
    part = wet, _first(record.seen, "gelled")
    cups = [look for looks in record.cups.values() for look in looks]
    cup_wet = max((float(o.at) for o in cups if o.kind == "not_gelled"), default=None)
    cup = cup_wet, min((float(o.at) for o in cups if o.kind == "gelled"), default=None)
    timed = sheet.film_gel is not None
    in_cup = cup if timed or cup != (None, None) else part
    hard = touch.sandable
    return {
        "gel": in_cup if len(record.pots) <= 1 else (None, None),
        "film": part,
        "recoat_opens": (None, touch.no_transfer),
        "sandable": (None, hard if record.row.cover or sheet.surface != "air_inhibited" else None),
    }


def _first(seen: Sequence[layups.LayupObservation], kind: str) -> float | None:
    return min((float(each.at) for each in seen if each.kind == kind), default=None)
