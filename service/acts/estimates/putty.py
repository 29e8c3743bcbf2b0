"""The filled mix of an estimate: its resin, hardener and filler by mass, and its layers."""

from __future__ import annotations

from typing import Annotated

from ...core.amounts.quantities import DENSITY, MASS, SIZE, VOLUME
from ...core.amounts.views import Code, OneOf, Says, View
from ...core.errors import CureSheetMissing, Invalid
from ...core.frozen import frozen
from ...core.pots import filled, mix_parts
from ...core.products import cautions
from ...core.products.fillers import CONSISTENCIES, Consistency
from ...core.words import Text
from ...store.products import Product
from ..pots.putty import NO_BUILD
from ..products import cure_sheets
from ..products.fillers import filler_of
from ..yard import finding
from .needed import NeedList


@frozen
class FilledView(View):
    """A filled mix by mass, the waste included."""

    resin: Code
    resin_mass: Annotated[float, MASS]
    hardener: Annotated[Code | None, Says("The hardener or catalyst; null for one part.")]
    hardener_mass: Annotated[float, MASS]
    catalyst_percent_max: Annotated[float | None, Says("As reckoned; null for a hardener.")]
    filler: Code
    filler_mass: Annotated[float, MASS]
    consistency: Annotated[str, OneOf(CONSISTENCIES)]
    volume: Annotated[float, VOLUME]
    density: Annotated[float, DENSITY]
    build_max: Annotated[float | None, SIZE]
    layers: Annotated[int | None, Says("None thicker than build_max; null where no sheet has it.")]


@frozen
class Recipe:
    """A resin thickened to a consistency: the share of each part, for a volume that is 1 kg."""

    resin: Product
    partner: Product | None
    filler: Product
    consistency: Consistency
    parts: mix_parts.Parts
    one: filled.Mixed
    thickened: filled.Filled
    build_max: int | None
    catalyst_percent_max: float | None

    @property
    def density(self) -> float:
        """Of the filled mix, mg/L."""
        return self.thickened.density

    def made(self, volume: float, thickness: float, needed: NeedList) -> FilledView:
        """The masses of a volume (µL, waste included) laid to a thickness (µm).

        Adds them to what is needed, and the cautions of filler.
        """
        times = volume / self.thickened.volume
        whole = times * self.one.mass
        resin, partner = whole * self.parts.resin, whole * self.parts.partner
        powder = times * self.thickened.filler
        needed.weigh(self.resin, resin)
        if self.partner is not None:
            needed.weigh(self.partner, partner)
        needed.weigh(self.filler, powder)
        needed.cautions += self._cautions()
        return FilledView(
            resin=self.resin.code,
            resin_mass=resin,
            hardener=self.partner and self.partner.code,
            hardener_mass=partner,
            catalyst_percent_max=self.catalyst_percent_max,
            filler=self.filler.code,
            filler_mass=powder,
            consistency=self.consistency,
            volume=volume,
            density=self.density,
            build_max=self.build_max,
            layers=filled.layers(thickness, self.build_max),
        )

    def _cautions(self) -> list[Text]:
        epoxy = [cautions.EPOXY_FILLED] if self.resin.chemistry == "epoxy" else []
        unknown = [NO_BUILD] if self.build_max is None else []
        return [*unknown, *epoxy, *cautions.FILLER]


def recipe(
    resin: str | None,
    filler: str | None,
    consistency: Consistency | None,
    catalyst: str | None,
    pointer: str,
) -> Recipe | None:
    """The recipe of an estimate; None where it names no filler.

    Args:
        resin, filler, catalyst: codes. pointer: to the resin.

    Raises:
        Invalid: a filler without its consistency or its resin, or the other way.
        UnknownReference, PartnerMissing. CureSheetMissing: a figure that nobody entered.
    """
    if filler is None and consistency is None:
        return None
    if filler is None or consistency is None or resin is None:
        raise Invalid(
            "A filled mix needs its resin, its filler and its consistency.",
            advice="Give all three, or leave filler and consistency out.",
            pointer=pointer if resin is None else "/filler" if filler is None else "/consistency",
        )
    liquid, powder = finding.product(resin, pointer), finding.product(filler, "/filler")
    kept, partner = cure_sheets.pair(liquid, catalyst)
    named = partner or liquid
    share = mix_parts.parts(kept.sheet, liquid.density_mg_l, partner and partner.density_mg_l)
    if share is None:
        lacks = liquid if not liquid.density_mg_l else named
        raise CureSheetMissing(
            f"{lacks.code} has no density, which a ratio by volume needs.",
            advice=f"Set the 'density' of {lacks.code} from its data sheet.",
            pointer=pointer,
        )
    figures = filler_of(powder)
    parts = ((liquid, share.resin), (named, share.partner))
    try:
        one = filled.mixed([(of.code, each * 1e6, of.density_mg_l) for of, each in parts])
        mass = filled.filler_for(figures, consistency, one)
        thickened = filled.fill(figures, mass, one)
    except CureSheetMissing as missing:
        missing.pointer = "/filler"
        raise
    sheet = kept.sheet
    percent = sheet.percent_limits[1] if sheet.mix.kind == "catalysed" else None
    return Recipe(
        liquid, partner, powder, consistency, share, one, thickened, sheet.build_max, percent
    )
