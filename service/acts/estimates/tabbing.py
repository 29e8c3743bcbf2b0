"""Estimate a tabbing: its strips, and the putty of the fillet under it. Nothing is kept."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ...core.errors import CureSheetMissing
from ...core.estimates import tabbing, volumes
from ...core.estimates.tabbing import Fillet
from ...core.products import cautions as said_with_work
from ..yard import finding
from .needed import Needed


def taped(
    *,
    length: Decimal,
    plies: int,
    leg: Decimal,
    step: Decimal | float = tabbing.USUAL_STEP,
    radius: Decimal | float = 0,
    angle: Decimal | float = 90,
    sides: int = 1,
    widest_first: bool = True,
    putty: str | None = None,
    cloth: str | None = None,
    catalyst: str | None = None,
) -> dict[str, Any]:
    """The strips of each corner in the order laid, and putty for all of them.

    Raises:
        Invalid: sizes that can't be. UnknownReference, CureSheetMissing: a putty that the store
        does not have, or has without its density.
    """
    fillet = Fillet(float(radius), float(angle))
    strips = tabbing.tabs(float(length), plies, float(leg), fillet, float(step), widest_first)
    volume = tabbing.putty(fillet, float(length)) * sides
    density = None if putty is None else _density(putty)
    needed = Needed()
    if cloth is not None:
        bought = finding.product(cloth, "/cloth")
        needed.cloth(bought, [tab.outline for tab in strips] * sides, None)
    waste = volumes.waste(volume, volumes.USUAL_WASTE)
    if putty is not None:
        held, over = (volumes.mass(amount, density) for amount in (volume, waste))
        needed.mix(finding.product(putty, "/putty"), held, over or 0, catalyst)
    return {
        "plies": [
            {
                "ply": tab.ply,
                "leg": tab.leg,
                "length": tab.outline.length,
                "width": tab.outline.width,
                "pieces": sides,
            }
            for tab in strips
        ],
        "area": sum(tab.outline.area for tab in strips) * sides,
        "fillet": {
            "touches": fillet.touches,
            "volume": volume,
            "waste": waste,
            "mass": volumes.mass(volume, density),
        },
        "needs": needed.needs,
        "cautions": [*_bare(fillet), *needed.cautions, said_with_work.STRUCTURE],
    }


def _density(code: str) -> int:
    product = finding.product(code, "/putty")
    if not product.density_mg_l:
        raise CureSheetMissing(
            f"{product.code} has no density, so its mass is not known.",
            advice="Set the product's density, or leave the putty out.",
            pointer="/putty",
        )
    return product.density_mg_l


def _bare(fillet: Fillet) -> list[str]:
    if fillet.radius:
        return []
    return ["Without a fillet the tape bridges the corner and holds air: give it a radius."]
