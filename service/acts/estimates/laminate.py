"""Estimate a laminate: thickness, fibre, resin; and plies for a thickness. Nothing is kept."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from ...core.amounts import sentences as worded
from ...core.errors import Invalid
from ...core.estimates import laminate, ply_count, volumes
from ...core.estimates.laminate import Laminate, Method, Ply, Surface
from ..yard import finding
from . import stacks
from .needed import Needed
from .stacks import Named, Row

FROM_MEMORY = (
    "The formula and the usual fibre fractions are ISO 12215-5:2008's as remembered, not read "
    "again: for a rule scantling, look them up."
)


def stack(
    *, stack: Sequence[Row], resin: str | None = None, area: Decimal | None = None,
    method: Method = "each_ply", surface: Surface = "simple", catalyst: str | None = None,
) -> dict[str, Any]:  # fmt: skip
    """What a stack comes to by the wanted method, and by the other where it can be counted so.

    Raises: as `stacks.read`, `laminate.each_ply` and `laminate.combination`.
    """
    density = stacks.cured_density(resin)
    named = stacks.read(stack, density, surface)
    plies = [_fibre(each) for each in named]
    counted = {"each_ply": laminate.each_ply(plies, density)}
    if method == "combination" or laminate.is_combination(plies):
        counted["combination"] = laminate.combination(plies, surface, density)
    used = counted.pop(method)
    needed = _needed(named, used, resin, area, catalyst)
    return {
        **_shown(used, area),
        "other": next((_shown(other, area) for other in counted.values()), None),
        "resin_density": density * 1e6,
        "plies": [_ply(k, each) for k, each in enumerate(named, 1)],
        "needs": needed.needs,
        "cautions": [
            *_cautions(named),
            *stacks.binder_words(named, resin),
            *needed.cautions,
            FROM_MEMORY,
        ],
    }


def plies(
    *, thickness: Decimal, stack: Sequence[Row], resin: str | None = None,
    surface: Surface = "simple",
) -> dict[str, Any]:  # fmt: skip
    """How many plies of a stack, laid over and over, fill a thickness; and what is left over.

    Raises: as `stacks.read` and `ply_count.fill`.
    """
    named = stacks.read(stack, stacks.cured_density(resin), surface)
    filled = ply_count.fill(float(thickness), [each.thickness for each in named])
    count = len(filled.plies)
    return {
        "count": count,
        "thickness": sum(filled.plies),
        "left_over": filled.left_over,
        "one_more_stands_proud": filled.one_more,
        "plies": [_ply(k + 1, named[k % len(named)]) for k in range(count)],
        "advice": [
            ply_count.words(filled.left_over),
            f"One ply more would stand {worded.size(filled.one_more, 2)} proud, to be faired off.",
        ],
        "cautions": _cautions(named),
    }


def _needed(
    named: Sequence[Named], total: Laminate, resin: str | None, area: Decimal | None,
    catalyst: str | None,
) -> Needed:  # fmt: skip
    """The products of a stack over an area: its cloths by ply, its resin, what hardens it."""
    needed = Needed()
    if area is None:
        return needed
    plies = Counter(each.product for each in named if each.product is not None)
    for product, count in plies.items():
        needed.plies(product, float(area), count)
    if resin is not None:
        mass = total.resin * float(area) / 1e6
        waste = volumes.waste(mass, volumes.USUAL_WASTE)
        needed.mix(finding.product(resin, "/resin"), mass, waste, catalyst)
    return needed


def _fibre(each: Named) -> Ply:
    if each.ply is None:
        raise Invalid(
            "A cured thickness does not say how much fibre is in it.",
            advice="Give each ply's product or areal_weight.",
            pointer="/stack",
        )
    return each.ply


def _shown(total: Laminate, area: Decimal | None) -> dict[str, Any]:
    """One method's answer; masses in mg where there is an area (mm²)."""
    square_metres = None if area is None else float(area) / 1e6
    masses = {
        "fibre": total.fibre,
        "resin": total.resin,
        "waste": total.resin * volumes.USUAL_WASTE / 100,
        "mix": total.resin * (1 + volumes.USUAL_WASTE / 100),
    }
    return {
        "method": total.method,
        "thickness": total.thickness,
        "fibre_fraction": total.fibre_fraction,
        "fibre_weight": total.fibre,
        "resin_weight": total.resin,
        **{
            name: None if square_metres is None else mass * square_metres
            for name, mass in masses.items()
        },
    }


def _ply(number: int, each: Named) -> dict[str, Any]:
    fibre = each.ply
    return {
        "ply": number,
        "name": each.name,
        "thickness": each.thickness,
        "fibre_fraction": None if fibre is None else fibre.fibre_fraction,
    }


def _cautions(named: Sequence[Named]) -> list[str]:
    other = sorted({each.name for each in named if each.chemistry in ("carbon", "aramid")})
    if not other:
        return []
    return [f"Thickness is reckoned with glass of 2.56 kg/L, and {', '.join(other)} is lighter."]
