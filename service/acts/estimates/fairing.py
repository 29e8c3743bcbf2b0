"""Estimate fairing: filler for a hollow, in coats. Nothing is kept."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from ...core.amounts.quantities import MASS
from ...core.amounts.sentences import size
from ...core.amounts.views import Code
from ...core.errors import OutsideLimits
from ...core.estimates import fairing, volumes
from ...core.estimates.fairing import Fairing
from ...core.frozen import frozen
from ...core.products.fillers import Consistency
from ...core.words import Text, say
from . import stuff
from .needed import NeedList, Needs
from .putty import FilledView, recipe


@frozen
class FairingView(Fairing):
    """The coats, and the filler by line."""

    product: Code | None
    mass: Annotated[float, MASS] | None
    filled: FilledView | None
    needs: Needs
    cautions: list[Text]


def fill(
    *, area: float, depth: float, coat_max: float | None = None, proud: float = 0.0,
    waste_percent: float = volumes.USUAL_WASTE, product: str | None = None,
    catalyst: str | None = None, filler: str | None = None,
    consistency: Consistency | None = None,
) -> FairingView:  # fmt: skip
    """The filler for a hollow of `area` mm²; sizes in µm.

    Args:
        product: the fairing filler; or the resin, where `filler` thickens it to a `consistency`.

    Raises:
        UnknownReference: no such product. CureSheetMissing: nobody said how thick a coat may be.
        OutsideLimits: a coat thicker than the product's sheet allows. As `fairing.fair`.
    """
    known = stuff.figures(product)
    thickened = recipe(product, filler, consistency, catalyst, "/product")
    build_max = thickened.build_max if thickened else known.build_max
    thickest = volumes.known(coat_max or build_max, "coat_max", "the thickest coat at once")
    if build_max and thickest > build_max:
        raise OutsideLimits(
            say("The sheet allows {} at once: thicker runs hot.", size(build_max)),
            advice="Leave coat_max out, or give less.",
            pointer="/coat_max",
        )
    faired = fairing.fair(area, depth, thickest, proud=proud, waste=waste_percent)
    needed, made = NeedList(), None
    if thickened is not None:
        made = replace(thickened.made(faired.mix, depth + proud, needed), layers=faired.coats)
    elif known.product is not None:
        needed.by_volume(known.product, faired.mix - faired.waste, faired.waste, catalyst)
    return FairingView(
        **vars(faired),
        product=product,
        mass=volumes.mass(faired.mix, thickened.density if thickened else known.density),
        filled=made,
        needs=needed.needs,
        cautions=[*_cautions(faired), *needed.cautions],
    )


def _cautions(faired: Fairing) -> list[str]:
    found = ["Sand only what is cured, with a mask, sleeves and extraction."]
    if not faired.sanded:
        found.insert(0, "Nothing is reckoned for what is sanded off: say how proud it is laid.")
    return found
