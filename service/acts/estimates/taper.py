"""Estimate a taper: ground width and every ply's outline, over a hole or along a seam."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Any

from ...core.amounts.quantities import AREA, SIZE
from ...core.amounts.views import View
from ...core.errors import Invalid
from ...core.estimates import laminate, outlines, ply_count, volumes
from ...core.estimates import taper as tapers
from ...core.estimates.laminate import Fabric
from ...core.estimates.outlines import Outline, Shape
from ...core.estimates.taper import Cut, Ground, MeaningView, Order, Structural, Verdict
from ...core.frozen import frozen
from ...core.products import cautions
from ...core.words import Text
from ...store.products import Product
from ..yard import finding
from . import stacks
from .needed import NeedList, Needs
from .stacks import Named, Row


@frozen
class CutView(View):
    """One ply to cut: `ply` counts in the order laid, `reach` is past the edge, a side.

    `short_reach` is the same on the long side that is short of room.
    """

    ply: int
    face: int
    name: str
    shape: Shape
    length: Annotated[float, SIZE]
    width: Annotated[float, SIZE]
    corner: Annotated[float, SIZE] | None
    reach: Annotated[float, SIZE]
    short_reach: Annotated[float, SIZE]


@frozen
class ShortSideView(View):
    """The side that has too little room, and the ratio that it gets."""

    room: Annotated[float, SIZE]
    ratio: float


@frozen
class OrdersView(View):
    """Ply numbers in the order laid: ply 1 lies against the old laminate in both."""

    smallest_first: list[int]
    largest_first: list[int]


@frozen
class SizesView(View):
    """Every ply's size in each order."""

    smallest_first: list[CutView]
    largest_first: list[CutView]


@frozen
class TaperView(View):
    """What to grind and what to cut; `ground_width` is one side's, on each face."""

    ground_width: Annotated[float, SIZE]
    ground_depth: Annotated[float, SIZE]
    short_side: ShortSideView | None
    thickness: Annotated[float, SIZE]
    left_over: Annotated[float, SIZE]
    proud: Annotated[float, SIZE]
    order: Order
    orders: OrdersView
    sizes: SizesView
    plies: list[CutView]
    area: Annotated[float, AREA]
    meaning: MeaningView
    verdict: Verdict
    needs: Needs
    cautions: list[Text]
    advice: list[Text]


def taper(
    *,
    shape: str,
    length: float | None = None,
    hole: Mapping[str, Any] | None = None,
    thickness: float | None = None,
    ratio: float = tapers.USUAL_RATIO,
    sides: int = 1,
    plies: int | None = None,
    stack: Sequence[Row] | None = None,
    resin: str | None = None,
    room: float | None = None,
    order: Order = "largest_first",
    structural: Structural = "unknown",
    catalyst: str | None = None,
) -> TaperView:
    """Every ply to cut, in both orders, and whether the ratio will do. Nothing is kept.

    Args:
        hole: `length`, and if wanted `width`, `corner` and `shape`; sizes in µm.

    Raises:
        Invalid: sizes that can't be, or a stack of nothing; otherwise as `stacks.read`.
    """
    opening = _opening(shape, length, hole)
    named = _plies(plies, stack, thickness, resin)
    heights = [each.thickness for each in named]
    skin = sum(heights) if thickness is None else thickness
    ground = Ground(skin, ratio, sides, room)
    cuts = {each: tapers.cuts(opening, heights, ground, each) for each in tapers.ORDERS}
    needed = _needed(cuts[order], named, resin, catalyst)
    sizes = {each: _shown(found, named) for each, found in cuts.items()}
    verdict, words = tapers.judge(ground, structural)
    return TaperView(
        ground_width=ground.width,
        ground_depth=ground.depth,
        short_side=_short_side(ground),
        thickness=skin,
        left_over=max(skin - sum(heights), 0.0),
        proud=max(sum(heights) - skin, 0.0),
        order=order,
        orders=OrdersView(**{each: [cut.ply for cut in found] for each, found in cuts.items()}),
        sizes=SizesView(**sizes),
        plies=sizes[order],
        area=sum(cut.outline.area for cut in cuts[order]),
        meaning=tapers.MEANING,
        verdict=verdict,
        needs=needed.needs,
        cautions=[
            *words,
            *_cautions(ground, heights, opening, structural),
            *_mat(resin, named),
            *stacks.binder_words(named, resin),
            *needed.cautions,
        ],
        advice=[ply_count.words(skin - sum(heights)), *tapers.ADVICE],
    )


def _needed(
    cuts: Sequence[Cut], named: Sequence[Named], resin: str | None, catalyst: str | None
) -> NeedList:
    """The products of the plies: each cut from its roll, and the resin that wets them."""
    needed = NeedList()
    cloths: dict[tuple[Product, Fabric | None], list[Outline]] = {}
    mass = 0.0
    for cut, each in zip(cuts, named, strict=True):
        if each.product is not None:
            fabric = None if each.ply is None else each.ply.fabric
            cloths.setdefault((each.product, fabric), []).append(cut.outline)
        if each.ply is not None:
            mass += laminate.each_ply([each.ply]).resin * cut.outline.area / 1e6
    for (product, fabric), plies in cloths.items():
        needed.cloth(product, plies, fabric)
    if resin is not None and mass:
        waste = volumes.waste(mass, volumes.USUAL_WASTE)
        needed.mix(finding.product(resin, "/resin"), mass, waste, catalyst)
    return needed


def _opening(shape: str, length: float | None, hole: Mapping[str, Any] | None) -> Outline:
    if shape == "seam":
        if length is None or hole is not None:
            raise Invalid("A seam needs a length, and takes no hole.", advice="Give its length.")
        return outlines.seam(length)
    if hole is None or length is not None:
        raise Invalid(
            "A patch needs the hole that it covers.",
            advice="Give the hole, with its length and width.",
        )
    return outlines.of(hole)


def _plies(
    plies: int | None, stack: Sequence[Row] | None, thickness: float | None, resin: str | None
) -> list[Named]:
    if (plies is None) == (stack is None):
        raise Invalid(
            "Give either a number of equal plies or a stack.", advice="Give 'plies' or 'stack'."
        )
    if stack is not None:
        return stacks.read(stack, stacks.cured_density(resin))
    if thickness is None or plies is None:
        raise Invalid(
            "Equal plies need the skin's thickness.",
            advice="Give the thickness.",
            pointer="/thickness",
        )
    return [Named("", thickness / plies, None)] * plies


def _short_side(ground: Ground) -> ShortSideView | None:
    if ground.room is None or ground.short_ratio is None:
        return None
    return ShortSideView(ground.room, round(ground.short_ratio, 3))


def _shown(cuts: Sequence[Cut], named: Sequence[Named]) -> list[CutView]:
    return [
        CutView(
            ply=cut.ply,
            face=cut.face,
            name=each.name,
            shape=cut.outline.shape,
            length=cut.outline.length,
            width=cut.outline.width,
            corner=cut.outline.corner if cut.outline.shape == "rectangular" else None,
            reach=cut.reach,
            short_reach=cut.short_reach,
        )
        for cut, each in zip(cuts, named, strict=True)
    ]


def _cautions(
    ground: Ground, heights: Sequence[float], opening: Outline, structural: Structural
) -> list[Text]:
    words: list[Text] = []
    if step := tapers.step_caution(heights, ground.ratio):
        words.append(step)
    if opening.shape == "rectangular" and not opening.corner:
        words.append("Round the hole's corners first: a sharp one cracks again.")
    if sum(heights) > ground.thickness * 1.001:
        words.append("The plies are thicker than the skin: the largest overruns the ground.")
    if ground.sides == 2 and _uneven(heights, ground.sides):
        words.append("The plies don't part evenly: one face gets more than the other.")
    if structural != "no":
        words.append(cautions.STRUCTURE)
    return words


def _mat(resin: str | None, named: Sequence[Named]) -> list[str]:
    """With polyester a mat goes against the old laminate (common practice, no source)."""
    first = named[0].ply
    if resin is None or first is None or first.fabric in (None, "mat"):
        return []
    if finding.product(resin, "/resin").chemistry != "polyester":
        return []
    return ["With polyester the first ply should be a mat: cloth alone bonds poorly."]


def _uneven(heights: Sequence[float], sides: int) -> bool:
    first, second = (sum(face) for face in tapers.faces(heights, sides))
    return abs(first - second) > 0.001 * sum(heights)
