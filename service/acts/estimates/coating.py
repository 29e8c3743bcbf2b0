"""Estimate coats: paint, thinner and loss over an area. Nothing is kept."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ...core.estimates import coating, volumes
from ...core.estimates.coating import Film
from ..yard import finding
from . import stuff
from .needed import Needed
from .stuff import Figures


def coats(
    *, area: Decimal, coats: int = 1, wet_film: Decimal | None = None,
    dry_film: Decimal | None = None, solids_percent: Decimal | None = None,
    thinner_percent: Decimal = Decimal(0), loss_percent: Decimal = Decimal(0),
    waste_percent: Decimal = Decimal(volumes.USUAL_WASTE), product: str | None = None,
    catalyst: str | None = None,
) -> dict[str, Any]:  # fmt: skip
    """What coats take, in µL and, where the product's density is known, mg.

    Raises:
        UnknownReference: no such product. Otherwise as `coating.film` and `coating.coats`.
    """
    known = stuff.figures(product)
    film = coating.film(
        wet=stuff.number(wet_film),
        dry=stuff.number(dry_film),
        solids=stuff.number(solids_percent),
        thinner=float(thinner_percent),
    )
    taken = coating.coats(
        float(area), film, coats, loss=float(loss_percent), waste=float(waste_percent)
    )
    needed = Needed()
    if product is not None:
        held = volumes.mass(taken.paint - taken.waste, known.density)
        over = volumes.mass(taken.waste, known.density) or 0
        needed.mix(finding.product(product, "/product"), held, over, catalyst)
    return {
        "product": product,
        "coats": coats,
        "wet_film": film.wet,
        "dry_film": film.dry,
        "litre_covers": film.coverage,
        "on_part": taken.on_part,
        "loss": taken.loss,
        "waste": taken.waste,
        "paint": taken.paint,
        "thinner": taken.thinner,
        "mass": volumes.mass(taken.paint, known.density),
        "needs": needed.needs,
        "cautions": [*_cautions(film, known), *needed.cautions],
    }


def _cautions(film: Film, known: Figures) -> list[str]:
    found = []
    wet = f"{film.wet:.0f} µm wet"
    if known.build_min and film.wet < known.build_min:
        found.append(f"{wet} is under the sheet's thinnest film, {known.build_min:.0f} µm: "
                     "it may not cure.")  # fmt: skip
    if known.build_max and film.wet > known.build_max:
        found.append(f"{wet} is over the sheet's thickest at once, {known.build_max:.0f} µm: "
                     "more and thinner coats.")  # fmt: skip
    return found
