"""What stands in which bay, of the things that must never stand together."""

from __future__ import annotations

from peewee import JOIN

from ...core.products import hazards
from ..tables import Bay, Lot, Product

_ROLES = sorted(hazards.PEROXIDE_ROLES | hazards.PROMOTER_ROLES)
_CHEMISTRIES = sorted(hazards.PEROXIDE_CHEMISTRIES | hazards.PROMOTER_CHEMISTRIES | {"acetone"})


def hazardous(bay_id: int | None = None) -> list[Lot]:
    """Lots that may be a peroxide's or feared by one, with something in them; oldest first.

    More than are: `hazards.natures` tells which is what.

    Args:
        bay_id: only what stands there.
    """
    rows = Lot.select(Lot, Product, Bay).join(Product).switch(Lot).join(Bay, JOIN.LEFT_OUTER)
    rows = rows.where(
        Lot.on_hand > 0,
        Product.role.in_(_ROLES)
        | Product.chemistry.in_(_CHEMISTRIES)
        | Product.effects.contains("promotes")
        | Product.active_oxygen_ppm.is_null(False)
        | Product.peroxide_type.is_null(False),
    )
    if bay_id is not None:
        rows = rows.where(Lot.bay == bay_id)
    return list(rows.order_by(Lot.id))
