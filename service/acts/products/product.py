"""Add a product to the catalogue, change it, and show it."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Annotated, Any

from ...core.amounts.quantities import (
    AREAL_WEIGHT,
    DENSITY,
    LENGTH,
    SIZE,
    TEMPERATURE,
    TIME,
    Measure,
)
from ...core.amounts.views import Code, OneOf, RowId, Says, Stock, View
from ...core.cure.compatibility import BINDERS
from ...core.errors import AlreadyExists, Invalid
from ...core.frozen import frozen
from ...core.products import materials
from ...core.products.cure_sheet import CureSheet
from ...core.products.materials import CHEMISTRIES, EFFECTS, ROLES, Stuff
from ...store import products as catalogue
from ...store.engine import rows
from ...store.engine.database import writing
from ...store.products import Product, find_product
from ...store.yard.hands import Hand
from ..yard import conversions, finding
from ..yard.imports import Facts
from . import cure_sheet_bodies, cure_sheets, fillers
from .cure_sheet_views import CureView, show_cure
from .cure_sheets import Kept
from .fillers import ConsistencyView
from .law_views import untold_words
from .nature import LIFE_TYPES, lacks_shelf_life, life_type_of, natures_of
from .stuff import CONVERTING, kind_of, measure_of, stuff_by, stuff_of

_FIGURES = {
    "density": "density_mg_l",
    "cured_density": "cured_density_mg_l",
    "areal_weight": "areal_weight_mg_m2",
    "width": "width_um",
    "length": "length_um",
    "thickness": "thickness_um",
    "bulk_density": "bulk_density_mg_l",
    "particle_density": "particle_density_mg_l",
    "shelf_life": "shelf_life_s",
    "open_life": "open_life_s",
}

_WORDS = ("name", "chemistry", "life_type", "peroxide_type", "supplier", "promoted", "binder")
"""Facts that are kept as they are given."""


@frozen
class ProductView(View):
    """A product, with its cure sheets of now."""

    id: RowId
    code: Code
    name: str
    role: Annotated[str, OneOf(ROLES)]
    chemistry: Annotated[str | None, OneOf(CHEMISTRIES)]
    measure: Measure
    density: Annotated[int | None, DENSITY]
    cured_density: Annotated[int | None, DENSITY]
    fibre_fraction: Decimal | None
    areal_weight: Annotated[int | None, AREAL_WEIGHT]
    width: Annotated[int | None, LENGTH]
    length: Annotated[int | None, LENGTH]
    thickness: Annotated[int | None, SIZE]
    shelf_life: Annotated[int | None, TIME]
    open_life: Annotated[int | None, TIME]
    life_type: Annotated[str, OneOf(LIFE_TYPES)]
    active_oxygen_percent: Decimal | None
    peroxide_type: str | None
    effects: list[Annotated[str, OneOf(EFFECTS)]]
    promoted: bool | None
    binder: Annotated[str | None, OneOf(BINDERS)]
    bulk_density: Annotated[int | None, DENSITY]
    particle_density: Annotated[int | None, DENSITY]
    consistencies: list[ConsistencyView]
    storage_min: Annotated[Decimal | None, TEMPERATURE]
    storage_max: Annotated[Decimal | None, TEMPERATURE]
    supplier: str | None
    reorder_at: Stock | None
    version: int
    cure: CureView | None
    warnings: Annotated[list[str], Says("What the catalogue should not be without.")]


def add_product(
    *, code: str, name: str, role: str, now: int, hand: Hand, **facts: Any
) -> ProductView:
    """Add a product.

    Args:
        facts: the other fields of the interface, figures in base units.

    Raises:
        AlreadyExists: the code is taken. Invalid: no such role, or life type II of a product
            whose life ends for good; figures of a filler on another role.
        CureSheetMissing, CureSheetInconsistent, UnknownReference: of its cure sheets.
    """
    measure = materials.check_role(role)
    with writing():
        if find_product(code):
            raise AlreadyExists(
                f"There is a product {code} already.",
                advice="Change that one, or choose another code.",
                pointer="/code",
            )
        columns = _columns(facts)
        columns |= _reorder(facts, stuff_by(code, role, facts.get("chemistry"), columns))
        columns.setdefault("life_type", "II")
        row = catalogue.add(code, name=name, role=role, measure=measure, made_at=now, **columns)
        _check_life_type(row, facts.get("life_type"))
        _check_effects(row)
        fillers.check(row)
        sheets = [cure_sheet_bodies.read_sheet(body) for body in facts.get("cure") or ()]
        if sheets:
            cure_sheets.keep(row, sheets, now, hand)
        return show_product(row)


def change_product(
    row: Product, *, now: int, hand: Hand, anew: bool = False, **facts: Any
) -> ProductView:
    """Change a product; the arguments are those of `add_product`.

    What is as it was changes nothing: then the version stays. Either of two facts makes a new
    revision of its cure sheets: `cure` has all of them, and `cure_change` only the figures that
    differ from the last revision.

    Args:
        anew: whether sheets that are as they were are a revision too.

    Raises: as `add_product`; Invalid: both were given.
    """
    with writing():
        columns = _columns(facts)
        figures = {name: columns.get(name, getattr(row, name)) for name in CONVERTING}
        chemistry = facts.get("chemistry") or row.chemistry
        columns |= _reorder(facts, stuff_by(row.code, row.role, chemistry, figures))
        sheets = _next_sheets(row, facts.get("cure"), facts.get("cure_change"))
        now_kept = [kept.sheet for kept in cure_sheets.current(row.id)]
        is_revision = bool(sheets) and (anew or sheets != now_kept)
        if is_revision or rows.differing(row, columns):
            catalogue.change(row.id, **columns)
        changed = finding.product(row.code)
        _check_life_type(changed, facts.get("life_type"))
        if facts.get("effects"):
            _check_effects(changed)
        fillers.check(changed)
        if is_revision:
            cure_sheets.keep(row, sheets, now, hand)
        return show_product(finding.product(row.code))


def _next_sheets(
    row: Product,
    whole: Sequence[cure_sheet_bodies.Body] | None,
    change: cure_sheet_bodies.Body | None,
) -> list[CureSheet]:
    if whole is not None and change is not None:
        raise Invalid(
            "The request both replaces the cure sheet and changes it.",
            advice="Give cure or cure_change, one of the two.",
            pointer="/cure_change",
        )
    if change is not None:
        return cure_sheet_bodies.changed(row, change)
    return [cure_sheet_bodies.read_sheet(body) for body in whole or ()]


def differing(row: Product, facts: Facts) -> list[str]:
    """The names of those facts that differ from a product's."""
    stuff = stuff_of(row)
    found = []
    for name, value in facts.items():
        told = {name: value}
        columns = {"role": value} if name == "role" else _columns(told) | _reorder(told, stuff)
        if name == "life_type" and value == life_type_of(row):
            continue
        if any(getattr(row, column) != given for column, given in columns.items()):
            found.append(name)
    return found


def show_product(row: Product) -> ProductView:
    """A product with its current cure sheets."""
    return _show(row, cure_sheets.current(row.id))


def _show(row: Product, sheets: list[Kept]) -> ProductView:
    return ProductView(
        id=row.id,
        code=row.code,
        name=row.name,
        role=row.role,
        chemistry=row.chemistry,
        measure=measure_of(row),
        density=row.density_mg_l,
        cured_density=row.cured_density_mg_l,
        fibre_fraction=_share(row.fibre_fraction_ppm),
        areal_weight=row.areal_weight_mg_m2,
        width=row.width_um,
        length=row.length_um,
        thickness=row.thickness_um,
        shelf_life=row.shelf_life_s,
        open_life=row.open_life_s,
        life_type=life_type_of(row),
        active_oxygen_percent=conversions.percent(row.active_oxygen_ppm),
        peroxide_type=row.peroxide_type,
        effects=row.effects.split(),
        promoted=row.promoted,
        binder=row.binder,
        bulk_density=row.bulk_density_mg_l,
        particle_density=row.particle_density_mg_l,
        consistencies=fillers.show(row),
        storage_min=_kelvin(row.storage_min_mk),
        storage_max=_kelvin(row.storage_max_mk),
        supplier=row.supplier,
        reorder_at=None if row.reorder_at is None else (row.reorder_at, kind_of(row)),
        version=row.version,
        cure=show_cure(sheets),
        warnings=_asking(row, show_cure(sheets)),
    )


def _asking(row: Product, cure: CureView | None) -> list[str]:
    laws = [sheet.law for sheet in cure.sheets if sheet.law is not None] if cure else []
    found = [untold_words(law.assumed) for law in laws if law.assumed]
    if lacks_shelf_life(row, cures=cure is not None):
        found.append(
            f"No shelf life is known: without it no lot of {row.code} goes out of date. Enter the "
            "data sheet's 'shelf_life'."
        )
    found += fillers.asking(row)
    return list(dict.fromkeys(found))


def list_products(after: int | None, limit: int, role: str | None = None) -> list[ProductView]:
    """Products by age, after the one with that id; of one role if it is named."""
    found = catalogue.page(after, limit, role)
    sheets = cure_sheets.current_of([row.id for row in found])
    return [_show(row, sheets[row.id]) for row in found]


def _check_life_type(row: Product, asked: str | None) -> None:
    if asked == "II" and life_type_of(row) == "I":
        raise Invalid(
            f"{row.code} is a peroxide or an isocyanate: its life ends for good, type I.",
            advice="Leave the life type out; where it is neither, correct its chemistry.",
            pointer="/life_type",
        )


def _check_effects(row: Product) -> None:
    """Refuse an additive that could never go into a mix: it is weighed, among the fillers."""
    if not materials.AS_RESIN & set(row.effects.split()):
        return
    if measure_of(row) != "mass":
        found = f"What waxes, thins or pigments is weighed, and the role {row.role} is not."
    elif "promoter" in natures_of(row):
        found = f"{row.code} can't be a promoter as well: that goes in first, on its own."
    else:
        return
    raise Invalid(
        found,
        advice="Enter wax, styrene and colour paste under the role filler.",
        pointer="/effects",
    )


def _columns(facts: Facts) -> dict[str, Any]:
    """The columns that facts set; a fact that is absent or null sets none."""
    given = {name: value for name, value in facts.items() if value is not None}
    columns: dict[str, Any] = {w: given[w] for w in _WORDS if w in given}
    columns |= {c: conversions.nearest(given[f]) for f, c in _FIGURES.items() if f in given}
    if "fibre_fraction" in given:
        columns["fibre_fraction_ppm"] = round(given["fibre_fraction"] * 10**6)
    if "active_oxygen_percent" in given:
        columns["active_oxygen_ppm"] = conversions.ppm(given["active_oxygen_percent"])
    if "effects" in given:
        columns["effects"] = " ".join(given["effects"])
    if "consistencies" in given:
        columns["consistencies"] = fillers.as_kept(given["consistencies"])
    for name in ("storage_min", "storage_max"):
        if name in given:
            columns[f"{name}_mk"] = conversions.milli(given[name])
    return columns


def _reorder(facts: Facts, stuff: Stuff) -> dict[str, int]:
    """The column of the stock at which more is bought, in the product's own measure."""
    given = facts.get("reorder_at")
    if given is None:
        return {}
    return {"reorder_at": conversions.in_ledger(given, stuff, "/reorder_at")}


def _share(parts: int | None) -> Decimal | None:
    return None if parts is None else Decimal(parts) / 10**6


def _kelvin(millikelvin: int | None) -> Decimal | None:
    return None if millikelvin is None else conversions.kelvin(millikelvin)
