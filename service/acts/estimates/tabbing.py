"""Estimate a tabbing: its strips, and the putty of the fillet under it. Nothing is kept."""

from __future__ import annotations

from typing import Annotated

from ...core.amounts.quantities import AREA, MASS, SIZE, VOLUME
from ...core.amounts.views import View
from ...core.errors import CureSheetMissing
from ...core.estimates import tabbing, volumes
from ...core.estimates.tabbing import Fillet
from ...core.frozen import frozen
from ...core.products import cautions
from ...core.products.fillers import Consistency
from ...core.words import Text
from ...store.products import Product
from ..yard import finding
from .needed import NeedList, Needs
from .putty import FilledView, recipe


@frozen
class TabView(View):
    """One ply to cut, and the number of its pieces."""

    ply: int
    leg: Annotated[float, SIZE]
    length: Annotated[float, SIZE]
    width: Annotated[float, SIZE]
    pieces: int


@frozen
class FilletView(View):
    """The putty of all corners; `touches` is how far up each face it comes."""

    touches: Annotated[float, SIZE]
    volume: Annotated[float, VOLUME]
    waste: Annotated[float, VOLUME]
    mass: Annotated[float, MASS] | None
    filled: FilledView | None


@frozen
class TabbingView(View):
    """The plies to cut, in the order laid, and the putty."""

    plies: list[TabView]
    area: Annotated[float, AREA]
    fillet: FilletView
    needs: Needs
    cautions: list[Text]


def taped(
    *,
    length: float,
    plies: int,
    leg: float,
    step: float = tabbing.USUAL_STEP,
    radius: float = 0,
    angle: float = 90,
    sides: int = 1,
    widest_first: bool = True,
    putty: str | None = None,
    cloth: str | None = None,
    catalyst: str | None = None,
    filler: str | None = None,
    consistency: Consistency | None = None,
) -> TabbingView:
    """The strips of each corner in the order laid, and putty for all corners; sizes in µm.

    Args:
        putty: the putty; or the resin, where `filler` thickens it to a `consistency`.

    Raises:
        Invalid: sizes that can't be. UnknownReference, CureSheetMissing: a putty that the store
        does not have, or has without its density.
    """
    fillet = Fillet(radius, angle)
    strips = tabbing.tabs(length, plies, leg, fillet, step, widest_first)
    volume = tabbing.putty(fillet, length) * sides
    waste = volumes.waste(volume, volumes.USUAL_WASTE)
    thickened = recipe(putty, filler, consistency, catalyst, "/putty")
    mixed = None if putty is None or thickened else _of_known_density(putty)
    needed, made = NeedList(), None
    if cloth is not None:
        bought = finding.product(cloth, "/cloth")
        needed.cloth(bought, [tab.outline for tab in strips] * sides, None)
    if mixed is not None:
        needed.by_volume(mixed, volume, waste, catalyst)
    if thickened is not None and radius:
        made = thickened.made(volume + waste, fillet.deep, needed)
    density = thickened.density if thickened else mixed and mixed.density_mg_l
    mass = volumes.mass(volume, density)
    return TabbingView(
        plies=[
            TabView(tab.ply, tab.leg, tab.outline.length, tab.outline.width, sides)
            for tab in strips
        ],
        area=sum(tab.outline.area for tab in strips) * sides,
        fillet=FilletView(fillet.touches, volume, waste, mass, made),
        needs=needed.needs,
        cautions=[*_bare(fillet), *needed.cautions, cautions.STRUCTURE],
    )


def _of_known_density(code: str) -> Product:
    product = finding.product(code, "/putty")
    if not product.density_mg_l:
        raise CureSheetMissing(
            f"{product.code} has no density, so its mass is not known.",
            advice="Set the product's density, or leave the putty out.",
            pointer="/putty",
        )
    return product


def _bare(fillet: Fillet) -> list[str]:
    if fillet.radius:
        return []
    return ["Without a fillet the tape bridges the corner and holds air: give it a radius."]
