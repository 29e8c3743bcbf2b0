"""What stands in which bay, of the things that must never stand together."""

from __future__ import annotations

from typing import Any

from peewee import JOIN

from .tables import Bay, Lot, Product


def peroxides() -> list[Lot]:
    """Catalysts with something in them, in the order received."""
    return _stocked(Product.role == "catalyst")


def feared_by_peroxide(roles: frozenset[str], chemistries: frozenset[str]) -> list[Lot]:
    """Lots of some roles or chemistries, or that promote, with something in them."""
    return _stocked(
        Product.role.in_(sorted(roles))
        | Product.chemistry.in_(sorted(chemistries))
        | Product.effects.contains("promotes")
    )


def _stocked(condition: Any) -> list[Lot]:
    rows = Lot.select(Lot, Product, Bay).join(Product).switch(Lot).join(Bay, JOIN.LEFT_OUTER)
    return list(rows.where(Lot.on_hand > 0, condition).order_by(Lot.id))
