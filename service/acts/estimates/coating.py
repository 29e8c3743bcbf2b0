"""Estimate coats: paint, thinner and loss over an area. Nothing is kept."""

from __future__ import annotations

from typing import Annotated

from ...core.amounts.quantities import MASS
from ...core.amounts.views import Code
from ...core.estimates import coating, volumes
from ...core.estimates.coating import Coats
from ...core.frozen import frozen
from ...core.words import Text
from . import stuff
from .needed import NeedList, Needs
from .stuff import Figures


@frozen
class CoatingView(Coats):
    """What the coats take: unthinned paint by line, and its thinner."""

    product: Code | None
    mass: Annotated[float, MASS] | None
    needs: Needs
    cautions: list[Text]


def coats(
    *, area: float, coats: int = 1, wet_film: float | None = None, dry_film: float | None = None,
    solids_percent: float | None = None, thinner_percent: float = 0.0, loss_percent: float = 0.0,
    waste_percent: float = volumes.USUAL_WASTE, product: str | None = None,
    catalyst: str | None = None,
) -> CoatingView:  # fmt: skip
    """The paint and thinner for coats over `area` mm²; films in µm.

    Raises:
        UnknownReference: no such product. Otherwise as `coating.film` and `coating.coats`.
    """
    known = stuff.figures(product)
    film = coating.film(wet=wet_film, dry=dry_film, solids=solids_percent, thinner=thinner_percent)
    taken = coating.coats(area, film, coats, loss=loss_percent, waste=waste_percent)
    needed = NeedList()
    if known.product is not None:
        needed.by_volume(known.product, taken.paint - taken.waste, taken.waste, catalyst)
    return CoatingView(
        **vars(taken),
        product=product,
        mass=volumes.mass(taken.paint, known.density),
        needs=needed.needs,
        cautions=[*_cautions(film.wet, known), *needed.cautions],
    )


def _cautions(wet_film: float, known: Figures) -> list[str]:
    found = []
    wet = f"{wet_film:.0f} µm wet"
    if known.build_min and wet_film < known.build_min:
        found.append(f"{wet} is under the sheet's thinnest film, {known.build_min:.0f} µm: "
                     "it may not cure.")  # fmt: skip
    if known.build_max and wet_film > known.build_max:
        found.append(f"{wet} is over the sheet's thickest at once, {known.build_max:.0f} µm: "
                     "more and thinner coats.")  # fmt: skip
    return found
