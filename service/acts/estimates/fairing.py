"""Estimate fairing: filler for a hollow, in coats. Nothing is kept."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ...core.amounts import sentences as worded
from ...core.errors import OutsideLimits
from ...core.estimates import fairing, volumes
from ..yard import finding
from . import stuff
from .needed import Needed


def fill(
    *, area: Decimal, depth: Decimal, coat_max: Decimal | None = None, proud: Decimal = Decimal(0),
    waste_percent: Decimal = Decimal(volumes.USUAL_WASTE), product: str | None = None,
    catalyst: str | None = None,
) -> dict[str, Any]:  # fmt: skip
    """What a hollow takes, in µL and, where the product's density is known, mg.

    Raises:
        UnknownReference: no such product. CureSheetMissing: nobody said how thick a coat may be.
        OutsideLimits: a coat thicker than the product's sheet allows. As `fairing.fair`.
    """
    known = stuff.figures(product)
    thickest = volumes.known(
        stuff.number(coat_max) or known.build_max, "coat_max", "the thickest coat at once"
    )
    if known.build_max and thickest > known.build_max:
        raise OutsideLimits(
            f"The cure sheet allows {worded.size(known.build_max)} at once: a thicker coat runs "
            "hot.",
            advice="Leave coat_max out, or give less.",
            pointer="/coat_max",
        )
    faired = fairing.fair(
        float(area), float(depth), thickest, proud=float(proud), waste=float(waste_percent)
    )
    needed = Needed()
    if product is not None:
        held = volumes.mass(faired.mix - faired.waste, known.density)
        over = volumes.mass(faired.waste, known.density) or 0
        needed.mix(finding.product(product, "/product"), held, over, catalyst)
    return {
        "product": product,
        "coats": faired.coats,
        "coat": faired.coat,
        "fill": faired.fill,
        "sanded": faired.sanded,
        "waste": faired.waste,
        "mix": faired.mix,
        "mix_a_coat": faired.mix / faired.coats,
        "mass": volumes.mass(faired.mix, known.density),
        "needs": needed.needs,
        "cautions": [*_cautions(faired), *needed.cautions],
    }


def _cautions(faired: fairing.Fairing) -> list[str]:
    found = ["Sand only what is cured, with a mask, sleeves and extraction."]
    if not faired.sanded:
        found.insert(0, "Nothing is reckoned for what is sanded off: say how proud it is laid.")
    return found
