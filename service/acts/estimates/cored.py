"""Estimate a cored panel: what to open, and what beds the new core. Nothing is kept."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any

from ...core.amounts.quantities import AREA, MASS, SIZE, VOLUME
from ...core.amounts.views import Code, View
from ...core.estimates import cored, outlines, taper, volumes
from ...core.estimates.outlines import Outline, Shape
from ...core.estimates.taper import Ground, Structural, Verdict
from ...core.frozen import frozen
from ...core.products import cautions
from ...core.words import Text
from . import stuff
from .needed import NeedList, Needs


@frozen
class OutlineView(View):
    """An outline on the panel: overall sizes, and a rectangle's corner radius."""

    shape: Shape
    length: Annotated[float, SIZE]
    width: Annotated[float, SIZE]
    corner: Annotated[float, SIZE] | None


@frozen
class CoredView(View):
    """What to open, from the hole outwards, and the mix that beds the core and fills its kerfs.

    `inner_width` and `outer_width` are ground on each side. `kerf_depth` is the resin in the kerfs
    spread over the panel: 1 mm of it is 1 L/m². `bedding` and `kerfs` are volumes under the core.
    """

    inner_ground: OutlineView
    core_opening: OutlineView
    outer_ground: OutlineView
    inner_width: Annotated[float, SIZE]
    outer_width: Annotated[float, SIZE]
    core_area: Annotated[float, AREA]
    kerf_depth: Annotated[float, SIZE]
    kerfs: Annotated[float, VOLUME]
    bedding: Annotated[float, VOLUME]
    waste: Annotated[float, VOLUME]
    mix: Annotated[float, VOLUME]
    product: Code | None
    mass: Annotated[float, MASS] | None
    verdict: Verdict
    needs: Needs
    cautions: list[Text]
    advice: list[Text]


def panel(
    *, hole: Mapping[str, Any], inner: float, outer: float, core: float,
    ratio: float = taper.USUAL_RATIO, landing: float = cored.USUAL_LANDING,
    bedding: float = 0.0, kerf_width: float | None = None, kerf_pitch: float | None = None,
    waste_percent: float = volumes.USUAL_WASTE, structural: Structural = "unknown",
    product: str | None = None, catalyst: str | None = None,
) -> CoredView:  # fmt: skip
    """A hole through a cored panel, from one side.

    Args:
        hole: `length`, and if wanted `width`, `corner` and `shape`; all sizes in µm.
        inner, outer, core: thicknesses. bedding: of the layer under the core.
        product: what beds it.

    Raises:
        UnknownReference: no such product. Invalid: as `cored.opened`, `cored.in_kerfs`.
    """
    known = stuff.figures(product)
    opened = cored.opened(outlines.of(hole), inner, outer, ratio=ratio, landing=landing)
    kerf_depth = cored.in_kerfs(core, kerf_width, kerf_pitch)
    area = opened.core.area
    bed, kerfs = (area * depth / 1000 for depth in (bedding, kerf_depth))
    left = volumes.waste(bed + kerfs, waste_percent)
    mix = volumes.plausible(bed + kerfs + left)
    needed = NeedList()
    if known.product is not None and mix:
        needed.by_volume(known.product, bed + kerfs, left, catalyst)
    verdict, words = taper.judge(Ground(max(inner, outer), ratio), structural)
    chemistry = None if known.product is None else known.product.chemistry
    return CoredView(
        inner_ground=_shown(opened.inner_ground),
        core_opening=_shown(opened.core),
        outer_ground=_shown(opened.outer_ground),
        inner_width=opened.inner_width,
        outer_width=opened.outer_width,
        core_area=area,
        kerf_depth=kerf_depth,
        kerfs=kerfs,
        bedding=bed,
        waste=left,
        mix=mix,
        product=product,
        mass=volumes.mass(mix, known.density),
        verdict=verdict,
        needs=needed.needs,
        cautions=[*words, *_cautions(structural), *needed.cautions],
        advice=[*cored.ORDER, cored.on_bond(chemistry), cored.BACKING],
    )


def _shown(outline: Outline) -> OutlineView:
    corner = outline.corner if outline.shape == "rectangular" else None
    return OutlineView(outline.shape, outline.length, outline.width, corner)


def _cautions(structural: Structural) -> list[Text]:
    words: list[Text] = [cored.OLD_CORE, *cautions.DUST]
    return [*words, cored.STAGGER, cautions.STRUCTURE] if structural != "no" else words
