"""Estimate pour foam: the kit for a cavity, in lifts. Nothing is kept."""

from __future__ import annotations

from typing import Annotated, Any

from ...core.amounts.quantities import DENSITY
from ...core.amounts.sentences import size
from ...core.amounts.views import Code
from ...core.errors import OutsideLimits
from ...core.estimates import foam, volumes
from ...core.estimates.foam import Pour
from ...core.frozen import frozen
from ...core.words import Text, say
from . import stuff
from .needed import NeedList, Needs


@frozen
class FoamView(Pour):
    """The kit, both parts together, and its lifts. Not a compliance figure."""

    product: Code | None
    foam_density: Annotated[float, DENSITY]
    vents: int
    needs: Needs
    cautions: list[Text]


def pour(
    *, cavity: str, depth: float, lift: float, vents: int, foam_density: float | None = None,
    product: str | None = None, catalyst: str | None = None,
    waste_percent: float = volumes.USUAL_WASTE, **sizes: Any,
) -> FoamView:  # fmt: skip
    """The foam for a cavity, `depth` µm deep; `sizes` as `foam.volume` takes them.

    Raises:
        UnknownReference: no such product. CureSheetMissing: no density. OutsideLimits: a lift
            thicker than the product's sheet allows. Invalid: as `foam.pour` and `foam.volume`.
    """
    known = stuff.figures(product)
    density = volumes.known(
        foam_density or known.cured_density, "foam_density", "the foam's in place"
    )
    if known.build_max and lift > known.build_max:
        raise OutsideLimits(
            say("The sheet allows lifts of {}: thicker chars inside.", size(known.build_max)),
            advice="Give a lift of that or less.",
            pointer="/lift",
        )
    volume = foam.volume(cavity, depth, sizes)
    poured = foam.pour(volume, depth, lift, vents, density, waste=waste_percent)
    needed = NeedList()
    if known.product is not None:
        needed.mix(known.product, poured.kit, poured.waste, catalyst)
    return FoamView(
        **vars(poured),
        product=product,
        foam_density=density,
        vents=vents,
        needs=needed.needs,
        cautions=[*foam.cautions(cavity, poured), *needed.cautions],
    )
