"""Estimate a laminate: thickness, fibre, resin; and plies for a thickness. Nothing is kept."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Annotated

from ...core.amounts.quantities import AREAL_WEIGHT, DENSITY, MASS, SIZE
from ...core.amounts.sentences import size
from ...core.amounts.views import View
from ...core.errors import Invalid
from ...core.estimates import laminate, ply_count, volumes
from ...core.estimates.laminate import Laminate, Method, Ply, Surface
from ...core.frozen import frozen
from ...core.words import Text, say
from ..yard import finding
from . import stacks
from .needed import NeedList, Needs
from .stacks import Named, PlyView, Row

FROM_MEMORY = (
    "The formula and the usual fibre fractions are ISO 12215-5:2008's as remembered, not read "
    "again: for a rule scantling, look them up."
)


@frozen
class CountedView(View):
    """A stack counted one way."""

    method: Method
    thickness: Annotated[float, SIZE]
    fibre_fraction: float
    fibre_weight: Annotated[float, AREAL_WEIGHT]
    resin_weight: Annotated[float, AREAL_WEIGHT]
    fibre: Annotated[float, MASS] | None
    resin: Annotated[float, MASS] | None
    waste: Annotated[float, MASS] | None
    mix: Annotated[float, MASS] | None


@frozen
class LaminateView(CountedView):
    """A stack counted as asked for; `other` is the other way, where there is one."""

    other: CountedView | None
    resin_density: Annotated[float, DENSITY]
    plies: list[PlyView]
    needs: Needs
    cautions: list[Text]


@frozen
class PliesView(View):
    """The number of plies, and the thickness that is left over."""

    count: int
    thickness: Annotated[float, SIZE]
    left_over: Annotated[float, SIZE]
    one_more_stands_proud: Annotated[float, SIZE]
    plies: list[PlyView]
    advice: list[Text]
    cautions: list[Text]


def stack(
    *, stack: Sequence[Row], resin: str | None = None, area: float | None = None,
    method: Method = "each_ply", surface: Surface = "simple", catalyst: str | None = None,
) -> LaminateView:  # fmt: skip
    """A stack counted by the wanted method, and by the other where that is possible.

    Args:
        area: that it covers, mm².

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
    return LaminateView(
        **vars(_counted(used, area)),
        other=next((_counted(other, area) for other in counted.values()), None),
        resin_density=density * 1e6,
        plies=[stacks.show(number, each) for number, each in enumerate(named, 1)],
        needs=needed.needs,
        cautions=[
            *_cautions(named),
            *stacks.binder_words(named, resin),
            *needed.cautions,
            FROM_MEMORY,
        ],
    )


def plies(
    *, thickness: float, stack: Sequence[Row], resin: str | None = None,
    surface: Surface = "simple",
) -> PliesView:  # fmt: skip
    """The plies of a stack, laid over and over, that fill a thickness in µm, and the rest.

    Raises: as `stacks.read` and `ply_count.fill`.
    """
    named = stacks.read(stack, stacks.cured_density(resin), surface)
    filled = ply_count.fill(thickness, [each.thickness for each in named])
    count = len(filled.plies)
    return PliesView(
        count=count,
        thickness=sum(filled.plies),
        left_over=filled.left_over,
        one_more_stands_proud=filled.one_more,
        plies=[stacks.show(k + 1, named[k % len(named)]) for k in range(count)],
        advice=[
            ply_count.words(filled.left_over),
            say("One ply more would stand {} proud, to be faired off.", size(filled.one_more, 2)),
        ],
        cautions=_cautions(named),
    )


def _needed(
    named: Sequence[Named], total: Laminate, resin: str | None, area: float | None,
    catalyst: str | None,
) -> NeedList:  # fmt: skip
    """The products of a stack over an area: its cloths by ply, its resin, and its hardener."""
    needed = NeedList()
    if area is None:
        return needed
    plies = Counter(each.product for each in named if each.product is not None)
    for product, count in plies.items():
        needed.plies(product, area, count)
    if resin is not None:
        mass = total.resin * area / 1e6
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


def _counted(total: Laminate, area: float | None) -> CountedView:
    """One method's answer; masses where there is an area (mm²)."""

    def over(weight: float) -> float | None:
        return None if area is None else weight * area / 1e6

    return CountedView(
        method=total.method,
        thickness=total.thickness,
        fibre_fraction=total.fibre_fraction,
        fibre_weight=total.fibre,
        resin_weight=total.resin,
        fibre=over(total.fibre),
        resin=over(total.resin),
        waste=over(total.resin * volumes.USUAL_WASTE / 100),
        mix=over(total.resin * (1 + volumes.USUAL_WASTE / 100)),
    )


def _cautions(named: Sequence[Named]) -> list[Text]:
    other = sorted({each.name for each in named if each.chemistry in ("carbon", "aramid")})
    if not other:
        return []
    return [f"Thickness is reckoned with glass of 2.56 kg/L, and {', '.join(other)} is lighter."]
