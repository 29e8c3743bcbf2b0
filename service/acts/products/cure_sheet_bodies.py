"""The cure sheet in the body of a request: a whole one, or changes to the last one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from decimal import Decimal
from typing import Any

from ...core.cure import moisture
from ...core.errors import CureSheetMissing
from ...core.products import cure_sheet, sheet_checks
from ...core.products.cure_sheet import CuredDepth, CureSheet, GelPoint, Mix, PostCure, StageTime
from ...core.products.hardness import USUAL, Scale
from ...store.products import Product
from .cure_sheet_views import show_sheet
from .cure_sheets import current, law_of

Body = Mapping[str, Any]
"""A cure sheet as a request has it, quantities in base units; or a part of one."""


def read_sheet(body: Body) -> CureSheet:
    """The sheet that a request's `cure` describes.

    Raises:
        CureSheetMissing, CureSheetInconsistent: as `sheet_checks.check` and `gel_law.fit`.
    """
    mix = body.get("mix")
    if mix is None or body.get("surface") is None:
        raise CureSheetMissing(
            "A cure sheet needs the mix and the surface.",
            advice="Give mix.kind, such as one_part, and 'surface'; write 'unknown' for a surface "
            "that nobody knows.",
            pointer="/cure/mix" if mix is None else "/cure/surface",
        )
    reference = body.get("reference") or {}

    def figure(name: str) -> float | None:
        return _float(body.get(name))

    sheet = CureSheet(
        mix=Mix(mix["kind"], _parts(mix.get("parts")), mix.get("by")),
        surface=body["surface"],
        partners=tuple(body.get("partners") or ()),
        reference_temperature=_float(reference.get("temperature")) or 298.15,
        reference_percent=_float(reference.get("catalyst_percent")),
        gel_points=tuple(_point(point) for point in body.get("gel_times") or ()),
        percent_min=figure("catalyst_percent_min"),
        percent_max=figure("catalyst_percent_max"),
        apply_min=figure("apply_min"),
        cure_min=figure("cure_min"),
        temperature_max=figure("temperature_max"),
        stages=_stages(body.get("milestones") or {}),
        closes_after=figure("closes_after"),
        cold_max=figure("cold_max"),
        gel_mass=_int(body.get("gel_mass")),
        pot_max=_int(body.get("pot_max")),
        build_max=_int(body.get("build_max")),
        build_min=_int(body.get("build_min")),
        film_gel=figure("film_gel"),
        active_oxygen=figure("active_oxygen_percent"),
        peroxide_type=body.get("peroxide_type"),
        hardness_min=body.get("hardness_min"),
        hardness_scale=_scale(body),
        post_cure=_post_cure(body.get("post_cure")),
        cured_depth=_depth(body.get("cured_depth")),
        second_depth=_depth(body.get("second_depth")),
        skin_time=figure("skin_time"),
        wax_percent_min=figure("wax_percent_min"),
        wax_percent_max=figure("wax_percent_max"),
        styrene_percent_max=figure("styrene_percent_max"),
    )
    if body.get("cures_by") == "moisture" and sheet.cured_depth is None:
        raise CureSheetMissing(
            "What cures by moisture needs how deep it cures, in how long, in which air.",
            advice="Give 'cured_depth' as the data sheet prints it, such as 3 mm in 24 h at 23 °C "
            "and 50 % of humidity.",
            pointer="/cure/cured_depth",
        )
    sheet = cure_sheet.with_floor(sheet, figure("temperature_min"))
    sheet_checks.check(sheet)
    law_of(sheet)  # refuses gel times that no law fits
    if sheet.cures_by_moisture:
        moisture.law_of(sheet)  # refuses two depths that no law fits
    return sheet


def changed(product: Product, change: Body) -> list[CureSheet]:
    """A product's current sheets, one of them with changed figures.

    Args:
        change: the figures to change. Of several sheets its `partners` select one; if there is
            only one, they are added to it.

    Raises:
        CureSheetMissing: there are several, and `partners` select none; or as `read_sheet`.
    """
    sheets: list[Body] = [asdict(show_sheet(kept)) for kept in current(product.id)]
    sheets = sheets or [{"partners": []}]
    partners = [sheet["partners"] for sheet in sheets]
    place, added = 0, _unknown(change.get("partners") or (), partners[0])
    if len(sheets) > 1:
        place, added = _place(product.code, partners, change), []
    change = {**change, "partners": [*partners[place], *added]}
    sheets[place] = _merged(sheets[place], change)
    return [read_sheet(sheet) for sheet in sheets]


def _place(code: str, partners: list[list[str]], change: Body) -> int:
    """The place of the sheet that a change is of."""
    named = {each.casefold() for each in change.get("partners") or ()}
    held = [{each.casefold() for each in known} for known in partners]
    fitting = [place for place, known in enumerate(held) if named <= known]
    if named and len(fitting) == 1:
        return fitting[0]
    each = "; ".join(", ".join(known) or "nothing" for known in partners)
    raise CureSheetMissing(
        f"{code} has {len(partners)} cure sheets. They are with: {each}.",
        advice="Name a catalyst or hardener of the sheet that you mean.",
        pointer="/cure_change/with",
    )


def _unknown(named: Sequence[str], known: Sequence[str]) -> list[str]:
    """The codes that are named and not known yet."""
    held = {code.casefold() for code in known}
    return [code for code in named if code.casefold() not in held]


def _merged(before: Body, change: Body) -> Body:
    """A sheet with changes: objects are changed figure by figure, lists are replaced.

    A gel time replaces those at its own temperature and percent.
    """
    merged = dict(before)
    if change.get("temperature_min") is not None:  # it is both of these
        merged |= {"apply_min": None, "cure_min": None}
    for name, value in change.items():
        if isinstance(value, dict) and isinstance(before.get(name), dict):
            value = _merged(before[name], value)
        if name == "gel_times":
            value = _gel_times(before.get(name) or [], value or [])
        if value is not None:
            merged[name] = value
    return merged


def _gel_times(before: Sequence[Body], given: Sequence[Body]) -> list[Body]:
    """A sheet's gel times with those given: each replaces the one at its place, or is added."""
    places: list[dict[Any, list[Body]]] = []
    for points in (before, given):
        by_place: dict[Any, list[Body]] = {}
        for point in points:
            by_place.setdefault(_place_of(point), []).append(point)
        places.append(by_place)
    return [point for points in (places[0] | places[1]).values() for point in points]


def _place_of(point: Body) -> tuple[float, float | None]:
    """The temperature and percent of a gel time: K to a hundredth, where °F and °C agree."""
    percent = point.get("catalyst_percent")
    return round(float(point["temperature"]), 2), None if percent is None else float(percent)


def _point(body: Body) -> GelPoint:
    shortest = body.get("time") or body.get("shortest")
    longest = body.get("time") or body.get("longest")
    if not shortest or not longest:
        raise CureSheetMissing(
            "A gel time needs either a time, or a range from and to.",
            advice="Write it as the data sheet prints it.",
            pointer="/cure/gel_times",
        )
    return GelPoint(
        float(body["temperature"]),
        _float(body.get("catalyst_percent")),
        float(shortest),
        float(longest),
    )


def _stages(body: Body) -> tuple[tuple[str, StageTime], ...]:
    return tuple((name, _stage(stage)) for name, stage in body.items() if stage is not None)


def _stage(stage: Body) -> StageTime:
    heat, time = _float(stage.get("temperature")), float(stage["time"])
    shortest, longest = _float(stage.get("shortest")), _float(stage.get("longest"))
    if shortest is None or longest is None or shortest == longest:
        return StageTime(time, heat)
    return StageTime.between(shortest, longest, heat)


def _parts(parts: list[Decimal] | None) -> tuple[float, float] | None:
    return None if parts is None else (float(parts[0]), float(parts[1]))


def _post_cure(body: Body | None) -> PostCure | None:
    if body is None:
        return None
    low, high, time = (float(body[name]) for name in ("low", "high", "time"))
    return PostCure(low, high, time, _float(body.get("rise")))


def _depth(body: Body | None) -> CuredDepth | None:
    if body is None:
        return None
    names = ("depth", "time", "temperature", "humidity_percent")
    return CuredDepth(*(float(body[name]) for name in names))


def _scale(body: Body) -> Scale | None:
    """The scale of the least hardness; Barcol 934-1 unless it is said."""
    if body.get("hardness_min") is None:
        return None
    return body.get("hardness_scale") or USUAL


def _float(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _int(value: Decimal | None) -> int | None:
    return None if value is None else round(value)
