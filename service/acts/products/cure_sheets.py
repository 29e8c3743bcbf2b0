"""A product's cure sheets: read from a request, kept by revision, found for a pair."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Any

from ...core.errors import CureSheetMissing, Invalid, PartnerMissing, UnknownReference
from ...core.products import cure_sheet, gel_law, sheet_checks
from ...core.products.cure_sheet import CureSheet, GelPoint, Mix, PostCure, StageTime
from ...core.products.gel_law import GelLaw
from ...core.products.materials import CURING_ROLES
from ...store import cure_sheets as store_sheets
from ...store.products import Product, find_product
from ...store.yard.hands import Hand
from ..yard import finding


@dataclass(frozen=True)
class Kept:
    """A sheet as the store has it: its row's id, its revision, and what it says."""

    id: int
    revision: int
    sheet: CureSheet


def read_sheet(body: dict[str, Any]) -> CureSheet:
    """The sheet that a request's `cure` describes; quantities already in base units.

    Raises:
        CureSheetMissing, CureSheetInconsistent: as `sheet_checks.check` and `gel_law.fit`.
    """
    mix = body.get("mix")
    if mix is None or body.get("surface") is None:
        raise CureSheetMissing(
            "A cure sheet needs the mix and the surface.",
            advice="Give mix and surface; write 'unknown' for a surface that nobody knows.",
            pointer="/cure/mix" if mix is None else "/cure/surface",
        )
    reference = body.get("reference") or {}
    sheet = cure_sheet.with_floor(
        CureSheet(
            mix=Mix(mix["kind"], _parts(mix.get("parts")), mix.get("by")),
            surface=body["surface"],
            partners=tuple(body.get("partners") or ()),
            reference_temperature=_float(reference.get("temperature")) or 298.15,
            reference_percent=_float(reference.get("catalyst_percent")),
            gel_points=tuple(_point(point) for point in body.get("gel_times") or ()),
            percent_min=_float(body.get("catalyst_percent_min")),
            percent_max=_float(body.get("catalyst_percent_max")),
            apply_min=_float(body.get("apply_min")),
            cure_min=_float(body.get("cure_min")),
            temperature_max=_float(body.get("temperature_max")),
            stages=_stages(body.get("milestones") or {}),
            closes_after=_float(body.get("closes_after")),
            cold_max=_float(body.get("cold_max")),
            gel_mass=_int(body.get("gel_mass")),
            pot_max=_int(body.get("pot_max")),
            build_max=_int(body.get("build_max")),
            build_min=_int(body.get("build_min")),
            film_gel=_float(body.get("film_gel")),
            active_oxygen=_float(body.get("active_oxygen_percent")),
            peroxide_type=body.get("peroxide_type"),
            barcol_min=body.get("barcol_min"),
            post_cure=_post_cure(body.get("post_cure")),
        ),
        _float(body.get("temperature_min")),
    )
    sheet_checks.check(sheet)
    law_of(sheet)
    return sheet


def changed(product: Product, change: dict[str, Any]) -> list[CureSheet]:
    """A product's sheets of now, one of them with other figures.

    Args:
        change: as a request's `cure`, without what stays. `partners` says which of several
            sheets it is; to one sheet they are added.

    Raises:
        CureSheetMissing: which of several sheets is not said; or as `read_sheet`.
    """
    before = [show_sheet(sheet) for sheet in current(product.id)] or [{"partners": []}]
    partners = [each["partners"] for each in before]
    place, added = 0, _unknown(change.get("partners") or (), partners[0])
    if len(before) > 1:
        place, added = _place(product.code, partners, change), []
    change = {**change, "partners": [*partners[place], *added]}
    before[place] = _merged(before[place], change)
    return [read_sheet(each) for each in before]


def _place(code: str, partners: list[list[str]], change: dict[str, Any]) -> int:
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


def _merged(before: dict[str, Any], change: dict[str, Any]) -> dict[str, Any]:
    """A sheet's figures with others in their place: objects figure by figure, lists whole.

    Gel times are the exception: each takes the place of those at its own temperature and percent.
    """
    merged = dict(before)
    if change.get("temperature_min") is not None:  # it stands for both
        merged |= {"apply_min": None, "cure_min": None}
    for name, value in change.items():
        if isinstance(value, dict) and isinstance(before.get(name), dict):
            value = _merged(before[name], value)
        if name == "gel_times":
            value = _gel_times(before.get(name) or [], value or [])
        if value is not None:
            merged[name] = value
    return merged


def _gel_times(before: list[dict[str, Any]], given: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """A sheet's gel times with those that are given: in place of the same one, else after them."""
    places: list[dict[Any, list[dict[str, Any]]]] = []
    for points in (before, given):
        by_place: dict[Any, list[dict[str, Any]]] = {}
        for point in points:
            by_place.setdefault(_place_of(point), []).append(point)
        places.append(by_place)
    return [point for points in (places[0] | places[1]).values() for point in points]


def _place_of(point: dict[str, Any]) -> tuple[float, float | None]:
    """Where a gel time is measured: K to a hundredth, as °F and °C differ beyond it; percent."""
    percent = point.get("catalyst_percent")
    return round(float(point["temperature"]), 2), None if percent is None else float(percent)


def law_of(sheet: CureSheet) -> GelLaw:
    """The gel law of a sheet."""
    if not sheet.gel_points:
        return gel_law.undosed(sheet.reference_temperature)
    return gel_law.fit(sheet.gel_points)


def keep(product: Product, sheets: list[CureSheet], now: int, hand: Hand) -> None:
    """Write a product's sheets as its next revision, whole.

    Raises:
        Invalid: the product's role cures nothing, or two sheets hold for one pair.
        UnknownReference: a partner that the store does not have.
    """
    if sheets and product.role not in CURING_ROLES:
        raise Invalid(
            f"A {product.role} has no cure sheet of its own.",
            advice="Put the sheet on the resin, coating, foam or adhesive.",
            pointer="/cure",
        )
    _check_partners(sheets)
    revision = store_sheets.latest_revision(product.id) + 1
    for position, sheet in enumerate(sheets):
        body = json.dumps(cure_sheet.as_plain(sheet))
        store_sheets.keep(product.id, revision, position, body, now=now, hand=hand)


def current(product_id: int) -> list[Kept]:
    """A product's sheets in their latest revision, in order."""
    return [kept(row) for row in store_sheets.current_sheets(product_id)]


def current_of(product_ids: Sequence[int]) -> dict[int, list[Kept]]:
    """Product id → its sheets in their latest revision, in as few queries as for one."""
    rows = store_sheets.current_sheets_of(product_ids)
    return {product_id: [kept(row) for row in found] for product_id, found in rows.items()}


def revisions(product_id: int, after: int | None, limit: int) -> list[dict[str, Any]]:
    """Every sheet that a product ever had, the last recorded first, after the one with that id."""
    rows = store_sheets.revisions_of(product_id, after, limit)
    return [
        {
            "id": row.id,
            "revision": row.revision,
            "recorded_at": row.recorded_at,
            "who": row.who,
            "sheet": show_sheet(kept(row)),
        }
        for row in rows
    ]


def kept(row: store_sheets.CureSheet) -> Kept:
    """A row's sheet."""
    return Kept(row.id, row.revision, _read(row.body))


@lru_cache(maxsize=256)
def _read(body: str) -> CureSheet:
    """A sheet from its text, which never changes; read once, however many layups lie by it."""
    return cure_sheet.from_plain(json.loads(body))


def for_pair(product: Product, partner: str | None) -> Kept:
    """The one sheet of a product that holds with a catalyst or hardener.

    Raises:
        CureSheetMissing, PartnerMissing: as `cure_sheet.sheet_for`.
    """
    sheets = current(product.id)
    chosen = cure_sheet.sheet_for([k.sheet for k in sheets], partner, product.code)
    return next(k for k in sheets if k.sheet is chosen)


def pair(
    product: Product,
    named: str | None,
    pointer: str = "/catalyst",
    *,
    weighed: bool = True,
) -> tuple[Kept, Product | None]:
    """A product's sheet and its catalyst or hardener; None for the latter of one part.

    Args:
        named: the partner's code, None to take the only one. pointer: of that code.
        weighed: as for `cure_sheet.partner_for`.

    Raises:
        CureSheetMissing, UnknownReference. PartnerMissing: several would do, or none is known.
    """
    try:
        kept = for_pair(product, named)
        code = cure_sheet.partner_for(kept.sheet, named, product.code, weighed=weighed)
    except PartnerMissing as missing:
        missing.pointer = pointer
        raise
    return kept, finding.product(code, pointer) if code else None


def show_sheet(sheet: Kept) -> dict[str, Any]:
    """A sheet with its fitted law, in base units, by the names of the interface."""
    what = sheet.sheet
    return {
        "partners": list(what.partners),
        "mix": {"kind": what.mix.kind, "parts": what.mix.parts, "by": what.mix.by},
        "surface": what.surface,
        "reference": {
            "temperature": what.reference_temperature,
            "catalyst_percent": what.reference_percent,
        },
        "gel_times": [_show_point(point) for point in what.gel_points],
        "catalyst_percent_min": what.percent_min,
        "catalyst_percent_max": what.percent_max,
        "apply_min": what.apply_min,
        "cure_min": what.cure_min,
        "temperature_max": what.temperature_max,
        "milestones": {
            name: {"time": stage.time, "temperature": stage.temperature}
            for name, stage in what.stages
        },
        "closes_after": what.closes_after,
        "cold_max": what.cold_max,
        "gel_mass": what.gel_mass,
        "pot_max": what.pot_max,
        "build_max": what.build_max,
        "build_min": what.build_min,
        "film_gel": what.film_gel,
        "active_oxygen_percent": what.active_oxygen,
        "peroxide_type": what.peroxide_type,
        "barcol_min": what.barcol_min,
        "post_cure": show_post_cure(what.post_cure),
        "law": show_law(law_of(what)) if what.gel_points else None,
    }


def show_law(law: GelLaw) -> dict[str, Any]:
    """What a law says of itself."""
    return {
        "activation_energy_kj_mol": round(law.E / 1000, 2),
        "order": round(law.n, 3),
        "fitted": list(law.fitted),
        "assumed": list(law.assumed),
        "scatter_percent": round(100 * law.scatter, 1),
        "flags": list(law.flags),
    }


def _check_partners(sheets: list[CureSheet]) -> None:
    seen: set[str] = set()
    for sheet in sheets:
        for code in sheet.partners:
            if code.casefold() in seen:
                raise Invalid(
                    f"Two cure sheets name {code}.", advice="Keep one of them.", pointer="/cure"
                )
            seen.add(code.casefold())
            if find_product(code) is None:
                raise UnknownReference(
                    f"There is no product {code}.",
                    advice="Add the catalyst or hardener first, then the resin.",
                    pointer="/cure/with",
                )


def _point(body: dict[str, Any]) -> GelPoint:
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


def _show_point(point: GelPoint) -> dict[str, Any]:
    shown = {"temperature": point.temperature, "catalyst_percent": point.percent}
    if point.shortest == point.longest:
        return {**shown, "time": point.shortest}
    return {**shown, "shortest": point.shortest, "longest": point.longest}


def _stages(body: dict[str, Any]) -> tuple[tuple[str, StageTime], ...]:
    return tuple(
        (name, StageTime(float(stage["time"]), _float(stage.get("temperature"))))
        for name, stage in body.items()
        if stage is not None
    )


def _parts(parts: list[Decimal] | None) -> tuple[float, float] | None:
    return None if parts is None else (float(parts[0]), float(parts[1]))


def _post_cure(body: dict[str, Any] | None) -> PostCure | None:
    if body is None:
        return None
    return PostCure(float(body["low"]), float(body["high"]), float(body["time"]))


def show_post_cure(wanted: PostCure | None) -> dict[str, Any] | None:
    """A post-cure by the names of the interface."""
    return None if wanted is None else {"low": wanted.low, "high": wanted.high, "time": wanted.time}


def _float(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _int(value: Decimal | None) -> int | None:
    return None if value is None else round(value)


def strength_of(sheet: CureSheet, catalyst: Product | None) -> float:
    """Active oxygen of a catalyst over that of the sheet's peroxide; 1 where it can't be told."""
    if catalyst is None or not (sheet.active_oxygen and catalyst.active_oxygen_ppm):
        return 1.0
    if sheet.peroxide_type != catalyst.peroxide_type:
        return 1.0
    return float(catalyst.active_oxygen_ppm / 1e4 / sheet.active_oxygen)
