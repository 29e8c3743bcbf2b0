"""Estimate a cure by moisture in steady air, before anything is laid. Nothing is kept."""

from __future__ import annotations

from typing import Annotated

from ...core import arrays as np
from ...core.amounts.quantities import SIZE, TIME
from ...core.amounts.sentences import heat
from ...core.amounts.views import Code, Says, View
from ...core.bays.vapour import pressure
from ...core.cure import moisture, moisture_forecast
from ...core.cure.moisture import Course
from ...core.cure.moisture_forecast import From
from ...core.errors import CureSheetMissing, Invalid, TooCold
from ...core.frozen import frozen
from ...core.products import cautions
from ...core.words import Text, say
from ..products import cure_sheets
from ..products.nature import natures_of
from ..yard import finding, settings

LONGEST_S = 10 * 365 * 86_400.0
"""As far as a steady cure is looked ahead."""


@frozen
class TimeSpanView(View):
    """A time from the laying, with its band."""

    earliest: Annotated[float, TIME]
    at: Annotated[float, TIME]
    latest: Annotated[float, TIME]


@frozen
class MoistureView(View):
    """When a joint in steady air skins, and when it is cured through."""

    product: Code
    comes: Annotated[From, Says("Where the moisture comes in: an open face, or the edges.")]
    depth: Annotated[float, SIZE, Says("How far it has to come.")]
    skin: Annotated[
        TimeSpanView | None, Says("Tool it before the earliest; null where no sheet says.")
    ]
    through: Annotated[TimeSpanView | None, Says("Null where it takes over ten years.")]
    cautions: list[Text]


def cured(
    *,
    product: str,
    temperature: float,
    humidity_percent: float,
    thickness: float | None = None,
    tight_width: float | None = None,
) -> MoistureView:
    """The cure of a joint in air of one temperature (K) and humidity; sizes in µm.

    Args:
        thickness: of a bead, from its open face. tight_width: of a joint between two tight faces.

    Raises:
        UnknownReference. CureSheetMissing: the product does not cure by moisture.
        Invalid: not exactly one of the two sizes. TooCold: colder than its sheet allows.
    """
    if (thickness is None) == (tight_width is None):
        raise Invalid(
            "Give either how thick it is under its open face, or how wide between tight faces.",
            advice="Leave the other out.",
            pointer="/thickness",
        )
    row = finding.product(product, "/product")
    sheets = [kept.sheet for kept in cure_sheets.current(row.id)]
    sheet = next((each for each in sheets if each.cures_by_moisture), None)
    if sheet is None:
        raise CureSheetMissing(
            f"{row.code} has no cure sheet that says how deep it cures by moisture.",
            advice="Enter 'cures_by' and 'cured_depth' from its data sheet.",
            pointer="/product",
        )
    if sheet.cure_min is not None and temperature < sheet.cure_min:
        raise TooCold(
            say("Below {} it does not cure: nothing is promised.", heat(sheet.cure_min)),
            advice="Warm the bay first, with flameless, ducted heat.",
            pointer="/temperature",
        )
    law = moisture.law_of(sheet)
    way = moisture_forecast.way(thickness, tight_width)
    depth = float(way.depth or 0)
    e = pressure(temperature, humidity_percent)
    course = moisture.course(
        law, np.array([0.0, LONGEST_S]), np.array([temperature] * 2), np.array([e] * 2)
    )
    edges = [1 - settings.sure(), 0.5, settings.sure()]
    return MoistureView(
        product=row.code,
        comes=way.comes,
        depth=depth,
        skin=None if sheet.skin_time is None else _span(course, sheet.skin_time, edges),
        through=_span(course, law.demand(depth), edges),
        cautions=[*_edges(way.comes), *cautions.by_moisture(row.chemistry, natures_of(row))],
    )


def _span(course: Course, demand: float, edges: list[float]) -> TimeSpanView | None:
    found = [course.reaches(demand, p) for p in edges]
    return TimeSpanView(*found) if found[-1] <= LONGEST_S else None


def _edges(comes: From) -> list[Text]:
    return [moisture_forecast.FROM_EDGES] if comes == "edges" else []
