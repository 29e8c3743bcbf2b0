"""Estimate bedding: the putty under a part or a core. Nothing is kept."""

from __future__ import annotations

from typing import Annotated

from ...core.amounts.quantities import MASS
from ...core.amounts.sentences import size
from ...core.amounts.views import Code
from ...core.errors import OutsideLimits
from ...core.estimates import bedding, volumes
from ...core.estimates.bedding import Bedding
from ...core.frozen import frozen
from ...core.products import cautions
from ...core.products.fillers import Consistency
from ...core.words import Text, say
from . import stuff
from .needed import NeedList, Needs
from .putty import FilledView, recipe


@frozen
class BeddingView(Bedding):
    """The putty of a bed, by volume and by mass."""

    product: Code | None
    mass: Annotated[float, MASS] | None
    filled: FilledView | None
    needs: Needs
    cautions: list[Text]


def bed(
    *, area: float, thickness: float, waste_percent: float = volumes.USUAL_WASTE,
    product: str | None = None, catalyst: str | None = None, filler: str | None = None,
    consistency: Consistency | None = None,
) -> BeddingView:  # fmt: skip
    """The putty under `area` mm², `thickness` µm thick.

    Args:
        product: the putty; or the resin, where `filler` thickens it to a `consistency`.

    Raises:
        UnknownReference, PartnerMissing, CureSheetMissing. Invalid: as `bedding.bed`.
        OutsideLimits: a bed, which is laid at once, is thicker than the sheet allows.
    """
    known = stuff.figures(product)
    thickened = recipe(product, filler, consistency, catalyst, "/product")
    build_max = thickened.build_max if thickened else known.build_max
    if build_max and thickness > build_max:
        raise OutsideLimits(
            say("The sheet allows {} at once: thicker runs hot.", size(build_max)),
            advice="Fill the gap in layers first, or pack it with cured laminate.",
            pointer="/thickness",
        )
    laid = bedding.bed(area, thickness, waste=waste_percent)
    needed, made = NeedList(), None
    if thickened is not None:
        made = thickened.made(laid.mix, thickness, needed)
    elif known.product is not None:
        needed.by_volume(known.product, laid.bed, laid.waste, catalyst)
    return BeddingView(
        **vars(laid),
        product=product,
        mass=volumes.mass(laid.mix, thickened.density if thickened else known.density),
        filled=made,
        needs=needed.needs,
        cautions=[*needed.cautions, cautions.STRUCTURE],
    )
