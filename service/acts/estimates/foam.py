"""Estimate pour foam: the kit for a cavity, in lifts. Nothing is kept."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ...core.amounts import sentences as worded
from ...core.amounts.quantities import MASS, Given
from ...core.errors import Invalid, OutsideLimits
from ...core.estimates import foam, volumes
from ..yard import finding
from . import stuff
from .needed import Needed
from .stuff import Figures

NOT_COMPLIANCE = "Not a compliance figure: flotation rules have exceptions, and tests in water."
_SIZES = {"box": ("length", "width"), "prism": ("section", "length"), "water": ("water",)}


def pour(
    *, cavity: str, depth: Decimal, lift: Decimal, vents: int,
    foam_density: Decimal | None = None, product: str | None = None, catalyst: str | None = None,
    waste_percent: Decimal = Decimal(volumes.USUAL_WASTE), **sizes: Any,
) -> dict[str, Any]:  # fmt: skip
    """What a cavity takes, in mg of both parts together.

    Args:
        cavity: `box` (length, width), `prism` (section, length) or `water` (what filled it).

    Raises:
        UnknownReference: no such product. CureSheetMissing: no density. OutsideLimits: a lift
            thicker than the product's sheet allows. Invalid: as `foam.pour`, or other sizes.
    """
    known = stuff.figures(product)
    density = volumes.known(
        stuff.number(foam_density) or known.cured_density, "foam_density", "the foam's in place"
    )
    _check_lift(float(lift), known)
    poured = foam.pour(
        _volume(cavity, float(depth), sizes), float(depth), float(lift), vents, density,
        waste=float(waste_percent),
    )  # fmt: skip
    needed = Needed()
    if product is not None:
        needed.mix(finding.product(product, "/product"), poured.kit, poured.waste, catalyst)
    return {
        "product": product,
        "volume": poured.volume,
        "foam_density": density,
        "vents": vents,
        "lifts": poured.lifts,
        "lift": poured.lift,
        "kit": poured.kit,
        "waste": poured.waste,
        "mix": poured.mix,
        "mix_a_lift": poured.mix / poured.lifts,
        "needs": needed.needs,
        "cautions": [NOT_COMPLIANCE, *_cautions(cavity, poured), *needed.cautions],
    }


def _volume(cavity: str, depth: float, sizes: dict[str, Any]) -> float:
    """Volume in µL, of the sizes that its shape has and no others."""
    wanted = _SIZES[cavity]
    for name in wanted:
        if name not in sizes:
            raise Invalid(f"A cavity of the kind {cavity} needs {' and '.join(wanted)}.",
                          advice=f"Give '{name}'.", pointer=f"/{name}")  # fmt: skip
    for name in sizes:
        if name not in wanted:
            raise Invalid(f"A cavity of the kind {cavity} takes no {name}.",
                          advice=f"Give {' and '.join(wanted)}.", pointer=f"/{name}")  # fmt: skip
    if cavity == "box":
        return foam.box(float(sizes["length"]), float(sizes["width"]), depth)
    if cavity == "prism":
        return foam.prism(float(sizes["section"]), float(sizes["length"]))
    return _watered(sizes["water"])


def _watered(water: Given) -> float:
    return foam.by_water(float(water.value)) if water.kind is MASS else float(water.value)


def _check_lift(lift: float, known: Figures) -> None:
    if known.build_max and lift > known.build_max:
        raise OutsideLimits(
            f"The cure sheet allows lifts of {worded.size(known.build_max)}: a thicker lift chars "
            "inside.",
            advice="Give a lift of that or less.",
            pointer="/lift",
        )


def _cautions(cavity: str, poured: foam.Pour) -> list[str]:
    found = []
    if cavity != "box" and poured.lifts > 1:
        found.append(
            "The lifts are equal shares of the mass: where the cavity is narrow a share rises "
            "higher than the lift. Mark the lift inside and pour less there."
        )
    if poured.lifts > 1:
        found.append("Let each lift rise and cool before the next.")
    return [*found, "Isocyanate: the right mask, and air through the shop."]
