"""Add a product to the catalogue, change it, and show it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ...core.amounts.quantities import KIND_OF_MEASURE, Kind, Measure
from ...core.errors import AlreadyExists, Invalid
from ...core.products import materials
from ...core.products.cure_sheet import CureSheet
from ...core.products.materials import Stuff
from ...store import products as catalogue
from ...store.engine.database import writing
from ...store.products import Product, find_product
from ...store.yard.hands import Hand
from ..yard import conversions as units
from ..yard import finding
from . import cure_sheets
from .cure_sheets import Kept
from .nature import lacks_shelf_life, life_type_of

_FIGURES = {
    "density": "density_mg_l",
    "cured_density": "cured_density_mg_l",
    "areal_weight": "areal_weight_mg_m2",
    "width": "width_um",
    "length": "length_um",
    "thickness": "thickness_um",
    "shelf_life": "shelf_life_s",
    "open_life": "open_life_s",
}
_CONVERTING = ("density_mg_l", "areal_weight_mg_m2", "width_um")
"""What turns one measure of a product into another, in the order that `Stuff` has it."""

_WORDS = ("name", "chemistry", "life_type", "peroxide_type", "supplier", "promoted", "binder")
"""Facts that are kept as they are given."""


def add_product(
    *, code: str, name: str, role: str, now: int, hand: Hand, **facts: Any
) -> dict[str, Any]:
    """Add a product; `facts` are the other fields of the interface, in base units.

    Raises:
        AlreadyExists: the code is taken. Invalid: no such role.
        CureSheetMissing, CureSheetInconsistent, UnknownReference: of its cure sheets.
        Invalid: life type II of what ends for good.
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
        columns |= _reorder(facts, _stuff(code, role, facts.get("chemistry"), columns))
        columns.setdefault("life_type", "II")
        row = catalogue.add(
            code,
            name=name,
            role=role,
            measure=measure,
            made_at=now,
            **columns,
        )
        _check_life_type(row, facts.get("life_type"))
        sheets = [cure_sheets.read_sheet(body) for body in facts.get("cure") or ()]
        if sheets:
            cure_sheets.keep(row, sheets, now, hand)
        return show_product(row)


def change_product(row: Product, *, now: int, hand: Hand, **facts: Any) -> dict[str, Any]:
    """Change a product. `cure` makes a new revision of its sheets, whole; `cure_change` makes one
    from the last, with those figures changed.

    Raises: as `add_product`; Invalid: both were given.
    """
    with writing():
        columns = _columns(facts)
        figures = {name: columns.get(name, getattr(row, name)) for name in _CONVERTING}
        chemistry = facts.get("chemistry") or row.chemistry
        columns |= _reorder(facts, _stuff(row.code, row.role, chemistry, figures))
        catalogue.change(row.id, **columns)
        _check_life_type(finding.product(row.code), facts.get("life_type"))
        sheets = _next_sheets(row, facts.get("cure"), facts.get("cure_change"))
        if sheets:
            cure_sheets.keep(row, sheets, now, hand)
        return show_product(finding.product(row.code))


def _next_sheets(
    row: Product, whole: list[dict[str, Any]] | None, change: dict[str, Any] | None
) -> list[CureSheet]:
    if whole is not None and change is not None:
        raise Invalid(
            "The request both replaces the cure sheet and changes it.",
            advice="Give cure or cure_change, one of the two.",
            pointer="/cure_change",
        )
    if change is not None:
        return cure_sheets.changed(row, change)
    return [cure_sheets.read_sheet(body) for body in whole or ()]


def differing(row: Product, facts: dict[str, Any]) -> list[str]:
    """Names of the facts, as `add_product` takes them, that are not what a product has."""
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


def show_product(row: Product) -> dict[str, Any]:
    """A product in base units, with its cure sheets of now."""
    return _show(row, cure_sheets.current(row.id))


def _show(row: Product, sheets: list[Kept]) -> dict[str, Any]:
    """A product with these sheets; `warnings` ask for what it should not be without."""
    cure = None
    if sheets:
        cure = {
            "revision": sheets[0].revision,
            "sheets": [cure_sheets.show_sheet(sheet) for sheet in sheets],
        }
    return {
        "id": row.id,
        "code": row.code,
        "role": row.role,
        "measure": row.measure,
        **{word: getattr(row, word) for word in _WORDS},
        "life_type": life_type_of(row),
        **{name: getattr(row, column) for name, column in _FIGURES.items()},
        "fibre_fraction": _share(row.fibre_fraction_ppm),
        "active_oxygen_percent": units.percent(row.active_oxygen_ppm),
        "effects": row.effects.split(),
        "storage_min": _kelvin(row.storage_min_mk),
        "storage_max": _kelvin(row.storage_max_mk),
        "reorder_at": None if row.reorder_at is None else (row.reorder_at, kind_of(row)),
        "version": row.version,
        "cure": cure,
        "warnings": _asking(row, cures=bool(sheets)),
    }


def _asking(row: Product, *, cures: bool) -> list[str]:
    if not lacks_shelf_life(row, cures=cures):
        return []
    return [
        f"No shelf life is known: without it no lot of {row.code} goes out of date. Enter the data "
        "sheet's 'shelf_life'."
    ]


def list_products(after: int | None, limit: int, role: str | None = None) -> list[dict[str, Any]]:
    """Products by age, after the one with that id; of one role if it is named."""
    found = catalogue.page(after, limit, role)
    sheets = cure_sheets.current_of([row.id for row in found])
    return [_show(row, sheets[row.id]) for row in found]


def measure_of(row: Product) -> Measure:
    """What the product's stock is counted in."""
    return materials.MEASURE_OF_ROLE[row.role]


def stuff_of(row: Product) -> Stuff:
    """What turns one measure of the product into another."""
    return _stuff(row.code, row.role, row.chemistry, {c: getattr(row, c) for c in _CONVERTING})


def _stuff(code: str, role: str, chemistry: str | None, figures: dict[str, Any]) -> Stuff:
    density, areal_weight, width = map(figures.get, _CONVERTING)
    return Stuff(
        code, materials.MEASURE_OF_ROLE[role], density, areal_weight, width,
        poured=materials.is_poured(role, chemistry, density),
    )  # fmt: skip


def kind_of(row: Product) -> Kind:
    """The kind of quantity that its stock is shown in."""
    return KIND_OF_MEASURE[measure_of(row)]


def _check_life_type(row: Product, asked: str | None) -> None:
    if asked == "II" and life_type_of(row) == "I":
        raise Invalid(
            f"{row.code} is a peroxide or an isocyanate: its life ends for good, type I.",
            advice="Leave the life type out; where it is neither, correct its chemistry.",
            pointer="/life_type",
        )


def _columns(facts: dict[str, Any]) -> dict[str, Any]:
    """The columns that a request's fields set; a field that is absent or null sets none."""
    given = {name: value for name, value in facts.items() if value is not None}
    columns: dict[str, Any] = {w: given[w] for w in _WORDS if w in given}
    columns |= {c: units.nearest(given[f]) for f, c in _FIGURES.items() if f in given}
    if "fibre_fraction" in given:
        columns["fibre_fraction_ppm"] = round(given["fibre_fraction"] * 10**6)
    if "active_oxygen_percent" in given:
        columns["active_oxygen_ppm"] = units.ppm(given["active_oxygen_percent"])
    if "effects" in given:
        columns["effects"] = " ".join(given["effects"])
    for name in ("storage_min", "storage_max"):
        if name in given:
            columns[f"{name}_mk"] = units.milli(given[name])
    return columns


def _reorder(facts: dict[str, Any], stuff: Stuff) -> dict[str, int]:
    """The stock at which more is bought, in the product's own measure."""
    given = facts.get("reorder_at")
    if given is None:
        return {}
    return {"reorder_at": units.in_ledger(given, stuff, "/reorder_at")}


def _share(parts: int | None) -> Decimal | None:
    return None if parts is None else Decimal(parts) / 10**6


def _kelvin(millikelvin: int | None) -> Decimal | None:
    return None if millikelvin is None else units.kelvin(millikelvin)
