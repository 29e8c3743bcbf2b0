"""The catalogue: what a product is."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from . import tables
from .engine.rows import Reader, insert, matching, scalar
from .lookup import key_of


class Product(NamedTuple):
    """Something bought again and again."""

    id: int
    code: str
    code_key: str
    name: str
    role: str
    chemistry: str | None
    measure: str
    density_mg_l: int | None
    cured_density_mg_l: int | None
    fibre_fraction_ppm: int | None
    areal_weight_mg_m2: int | None
    width_um: int | None
    length_um: int | None
    thickness_um: int | None
    shelf_life_s: int | None
    open_life_s: int | None
    life_type: str
    active_oxygen_ppm: int | None
    peroxide_type: str | None
    effects: str
    storage_min_mk: int | None
    storage_max_mk: int | None
    supplier: str | None
    reorder_at: int | None
    made_at: int
    version: int
    promoted: bool | None
    binder: str | None
    bulk_density_mg_l: int | None
    particle_density_mg_l: int | None
    consistencies: str


_PRODUCTS = Reader(Product, tables.Product)

find_products = _PRODUCTS.by_ids


def find_product(code: str) -> Product | None:
    """The product with a code, whatever its case, or None."""
    return _PRODUCTS.first("WHERE product.code_key = ?", key_of(code))


def product(product_id: int) -> Product:
    """The product with an id that another row names."""
    return _PRODUCTS.of_id(product_id)


def page(after: int | None, limit: int, role: str | None = None) -> list[Product]:
    """Products by age, after the one with that id; of one role if it is named."""
    where, values = matching({"product.id > ?": after or 0, "product.role = ?": role})
    return _PRODUCTS.all(f"{where} ORDER BY product.id LIMIT ?", *values, limit)


def any_known() -> bool:
    """Whether the catalogue has a product."""
    return bool(scalar("SELECT 1 FROM product LIMIT 1"))


def add(code: str, **columns: Any) -> Product:
    """Add a product; `columns` by their names."""
    return product(insert(tables.Product, code=code, code_key=key_of(code), **columns))


def change(product_id: int, **columns: Any) -> None:
    """Set columns of a product and raise its version."""
    changes = tables.Product.update(version=tables.Product.version + 1, **columns)
    changes.where(tables.Product.id == product_id).execute()


def bound_products(job_id: int, binders: Iterable[str], needed: Iterable[int]) -> list[Product]:
    """Products with one of these binders that a job drew, or needs, by id."""
    drawn = """
        SELECT lot.product_id FROM lot JOIN movement ON movement.lot_id = lot.id
        WHERE movement.job_id = ? AND movement.kind = 'draw'
    """
    named = ", ".join("?" * len(binders := tuple(binders)))
    rest = f"""
        WHERE product.binder IN ({named})
        AND (product.id IN (?*) OR product.id IN ({drawn})) ORDER BY product.id
    """
    return _PRODUCTS.all(rest, *binders, list(needed), job_id)


def wanted_or_reordered(wanted: Iterable[int]) -> list[Product]:
    """The products with one of these ids, or with a reorder point, by id."""
    rest = "WHERE product.id IN (?*) OR product.reorder_at IS NOT NULL ORDER BY product.id"
    return _PRODUCTS.all(rest, list(wanted))
