"""How a cure sheet is shown: its figures, its revision, and the gel law fitted to it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from ...core.amounts.quantities import DIFFERENCE, DOSE_MASS, GEL_TIME, SIZE, TEMPERATURE, TIME
from ...core.amounts.views import Called, Code, Moment, RowId, Says, View
from ...core.frozen import frozen
from ...core.products.cure_sheet import (
    STAGES,
    CuredDepth,
    GelPoint,
    MixKind,
    PostCure,
    Stage,
    StageTime,
    Surface,
)
from ...core.products.hardness import Scale
from ...store import cure_sheets as store_sheets
from . import cure_sheets
from .cure_sheets import Kept
from .law_views import LawView, show_law


@frozen
class MixView(View):
    """How it is mixed."""

    kind: MixKind
    parts: tuple[float, float] | None
    by: Literal["mass", "volume"] | None


@frozen
class ReferenceView(View):
    """What the milestones' times are given at."""

    temperature: Annotated[float, TEMPERATURE]
    catalyst_percent: float | None


@frozen
class GelTimeView(View):
    """A gel time of the data sheet."""

    temperature: Annotated[float, TEMPERATURE]
    catalyst_percent: float | None


@frozen
class GelTimeAtView(GelTimeView):
    """A gel time that is one figure."""

    time: Annotated[float, GEL_TIME]


@frozen
class GelTimeRangeView(GelTimeView):
    """A gel time that is a range."""

    shortest: Annotated[float, GEL_TIME, Called("from")]
    longest: Annotated[float, GEL_TIME, Called("to")]


@frozen
class StageView(View):
    """A milestone's time, at its own temperature or at the sheet's reference.

    Of a range, `time` is its middle by ratio.
    """

    time: Annotated[float, TIME]
    temperature: Annotated[float | None, TEMPERATURE]
    shortest: Annotated[float | None, TIME, Called("from")] = None
    longest: Annotated[float | None, TIME, Called("to")] = None


@frozen
class PostCureView(View):
    """A post-cure: so long between two temperatures, in one heat or in several."""

    low: Annotated[float, TEMPERATURE, Called("from")]
    high: Annotated[float, TEMPERATURE, Called("to")]
    time: Annotated[float, TIME]
    rise: Annotated[float | None, DIFFERENCE]


@frozen
class CuredDepthView(View):
    """How deep it cures by moisture from its face in the first so much time, in which air."""

    depth: Annotated[float, SIZE]
    time: Annotated[float, TIME]
    temperature: Annotated[float, TEMPERATURE]
    humidity_percent: float


@frozen
class SheetView(View):
    """One sheet."""

    partners: Annotated[list[Code], Called("with")]
    mix: MixView
    surface: Surface
    reference: ReferenceView
    gel_times: list[GelTimeAtView | GelTimeRangeView]
    catalyst_percent_min: float | None
    catalyst_percent_max: float | None
    apply_min: Annotated[float | None, TEMPERATURE]
    cure_min: Annotated[float | None, TEMPERATURE]
    temperature_max: Annotated[float | None, TEMPERATURE]
    milestones: Mapping[Stage, StageView]
    closes_after: Annotated[float | None, TIME]
    cold_max: Annotated[float | None, TIME]
    gel_mass: Annotated[int | None, DOSE_MASS]
    pot_max: Annotated[int | None, DOSE_MASS]
    build_max: Annotated[int | None, SIZE]
    build_min: Annotated[int | None, SIZE]
    film_gel: Annotated[float | None, GEL_TIME]
    active_oxygen_percent: float | None
    peroxide_type: str | None
    hardness_min: int | None
    hardness_scale: Scale | None
    post_cure: PostCureView | None
    cures_by: Annotated[
        Literal["moisture"] | None, Says("What it cures by, where that is not a partner.")
    ]
    cured_depth: CuredDepthView | None
    second_depth: CuredDepthView | None
    skin_time: Annotated[float | None, TIME]
    wax_percent_min: float | None
    wax_percent_max: float | None
    styrene_percent_max: float | None
    law: LawView | None


@frozen
class CureView(View):
    """A product's sheets of now."""

    revision: int
    sheets: list[SheetView]


@frozen
class RevisionView(View):
    """One sheet of one revision."""

    id: RowId
    revision: int
    recorded_at: Moment
    who: str
    sheet: SheetView


def _show_stage(stage: StageTime) -> StageView:
    shortest, longest = stage.ends if stage.spread else (None, None)
    return StageView(stage.time, stage.temperature, shortest, longest)


def show_sheet(kept: Kept) -> SheetView:
    """A sheet with the gel law fitted to it."""
    sheet = kept.sheet
    return SheetView(
        partners=list(sheet.partners),
        mix=MixView(sheet.mix.kind, sheet.mix.parts, sheet.mix.by),
        surface=sheet.surface,
        reference=ReferenceView(sheet.reference_temperature, sheet.reference_percent),
        gel_times=[_show_point(point) for point in sheet.gel_points],
        catalyst_percent_min=sheet.percent_min,
        catalyst_percent_max=sheet.percent_max,
        apply_min=sheet.apply_min,
        cure_min=sheet.cure_min,
        temperature_max=sheet.temperature_max,
        milestones={
            name: _show_stage(stage) for name in STAGES if (stage := sheet.stage(name)) is not None
        },
        closes_after=sheet.closes_after,
        cold_max=sheet.cold_max,
        gel_mass=sheet.gel_mass,
        pot_max=sheet.pot_max,
        build_max=sheet.build_max,
        build_min=sheet.build_min,
        film_gel=sheet.film_gel,
        active_oxygen_percent=sheet.active_oxygen,
        peroxide_type=sheet.peroxide_type,
        hardness_min=sheet.hardness_min,
        hardness_scale=sheet.hardness_scale,
        post_cure=None if sheet.post_cure is None else show_post_cure(sheet.post_cure),
        cures_by="moisture" if sheet.cures_by_moisture else None,
        cured_depth=_show_depth(sheet.cured_depth),
        second_depth=_show_depth(sheet.second_depth),
        skin_time=sheet.skin_time,
        wax_percent_min=sheet.wax_percent_min,
        wax_percent_max=sheet.wax_percent_max,
        styrene_percent_max=sheet.styrene_percent_max,
        law=show_law(cure_sheets.law_of(sheet)) if sheet.gel_points else None,
    )


def show_cure(kept: list[Kept]) -> CureView | None:
    """The sheets of a product's newest revision; None where it has none."""
    if not kept:
        return None
    return CureView(kept[0].revision, [show_sheet(each) for each in kept])


def list_revisions(product_id: int, after: int | None, limit: int) -> list[RevisionView]:
    """Every sheet that a product ever had, the last recorded first, after the one with that id."""
    return [
        RevisionView(
            id=row.id,
            revision=row.revision,
            recorded_at=row.recorded_at,
            who=row.who,
            sheet=show_sheet(cure_sheets.kept(row)),
        )
        for row in store_sheets.revisions_of(product_id, after, limit)
    ]


def show_post_cure(wanted: PostCure) -> PostCureView:
    """The post-cure that a sheet asks for."""
    return PostCureView(wanted.low, wanted.high, wanted.time, wanted.rise)


def _show_depth(found: CuredDepth | None) -> CuredDepthView | None:
    if found is None:
        return None
    return CuredDepthView(found.depth, found.time, found.temperature, found.humidity)


def _show_point(point: GelPoint) -> GelTimeAtView | GelTimeRangeView:
    if point.shortest == point.longest:
        return GelTimeAtView(point.temperature, point.percent, point.shortest)
    return GelTimeRangeView(point.temperature, point.percent, point.shortest, point.longest)
