"""The products that an estimate needs, in the shape in which a job's needs are posted.

An amount is rounded up, to the gram, the millimetre or the cut list's tenth of one. A product that
lacks a figure is left out, and a caution says so: an estimate is never refused for what it would
reserve.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Annotated

from ...core.amounts.quantities import COUNT, LENGTH, MASS, Kind
from ...core.amounts.views import Again, Code, View
from ...core.errors import CureSheetMissing, PartnerMissing
from ...core.estimates import nesting, volumes
from ...core.estimates.laminate import TURNING, Fabric
from ...core.estimates.nesting import TENTH
from ...core.estimates.outlines import Outline
from ...core.frozen import frozen
from ...core.pots import mix_parts
from ...core.words import Text, say
from ...store.products import Product
from ..products import cure_sheets

GRAM = MILLIMETRE = 1000


@frozen
class CutNeeded(View):
    """Cuts of one length."""

    length: Annotated[tuple[int, Kind], Again((LENGTH,))]
    count: int


@frozen
class Needed(View):
    """One product that is needed: a quantity, or pieces of a roll."""

    product: Code


@frozen
class AmountNeeded(Needed):
    """A quantity of a product."""

    quantity: Annotated[tuple[int, Kind], Again((MASS, LENGTH, COUNT))]


@frozen
class PiecesNeeded(Needed):
    """Pieces of a roll."""

    pieces: list[CutNeeded]


Needs = list[AmountNeeded | PiecesNeeded]
"""What an estimate needs; `{"needs": …}` may be posted to a job's needs unchanged."""


def pieces_needed(product: Product, lengths: Iterable[int]) -> PiecesNeeded:
    """Pieces of a roll, the longest first; lengths in µm."""
    cuts = sorted(Counter(lengths).items(), reverse=True)
    return PiecesNeeded(product.code, [CutNeeded((cut, LENGTH), n) for cut, n in cuts])


@dataclass
class NeedList:
    """What an estimate needs of the store's products, and cautions on what it could not add."""

    needs: Needs = field(default_factory=list)
    cautions: list[Text] = field(default_factory=list)

    def mix(
        self, product: Product, mass: float | None, waste: float = 0,
        catalyst: str | None = None,
    ) -> None:  # fmt: skip
        """Add a mix, in mg: its resin, the waste as a line of its own, and its hardener.

        Args:
            catalyst: code of the catalyst or hardener, where several fit.

        Raises: UnknownReference: there is no such catalyst.
        """
        if mass is None:
            self._short_of(product, "density")
            return
        if product.measure != "mass":
            self.cautions.append(f"{product.code} is not kept by mass: no need of it is listed.")
            return
        share, partner = self._parts(product, catalyst)
        self._weigh(product.code, mass * share.resin)
        self._weigh(product.code, waste * share.resin)
        if partner is not None:
            self._weigh(partner.code, (mass + waste) * share.partner)

    def by_volume(
        self, product: Product, volume: float, waste: float, catalyst: str | None = None
    ) -> None:
        """As `mix`, of volumes in µL that weigh what the product's density says."""
        mass = volumes.mass(volume, product.density_mg_l)
        self.mix(product, mass, volumes.mass(waste, product.density_mg_l) or 0, catalyst)

    def weigh(self, product: Product, mass: float) -> None:
        """Add so much of a product, in mg."""
        if product.measure != "mass":
            self.cautions.append(f"{product.code} is not kept by mass: no need of it is listed.")
        else:
            self._weigh(product.code, mass)

    def cloth(self, product: Product, plies: Iterable[Outline], fabric: Fabric | None) -> None:
        """Add plies, laid on a roll as a cut list lays them: the fibre's direction is kept.

        Args:
            fabric: mat and balanced cloth may be turned; without a fabric plies are not.
        """
        turns, width = fabric in TURNING, product.width_um
        sizes = [(ply.length, ply.width) for ply in plies]
        if width is None:
            self._cut(product, [nesting.tenths(length) * TENTH for length, _ in sizes])
            return
        if wide := sum(nesting.is_too_wide(size, width, turns=turns) for size in sizes):
            self.cautions.append(
                f"{product.code}: {wide} of its plies {'is' if wide == 1 else 'are'} wider than "
                "the roll, and not among the needs: join each from two, or take a wider roll. Mat "
                "and balanced cloth may be turned: say the fabric."
            )
        cuts = nesting.roll_cuts(sizes, width, turns=turns)
        self._cut(product, [band * TENTH for band in cuts])

    def plies(self, product: Product, area: float, count: int) -> None:
        """Add `count` plies of `area` mm² each, cut over the roll's whole width."""
        if product.measure == "length" and not product.width_um:
            self._short_of(product, "width")
        else:
            length = _up(area * 1e6 / (product.width_um or 1), MILLIMETRE)
            self._cut(product, [length] * count)
            self.cautions.append(
                f"{product.code} is reckoned by its area, over the roll's whole width: a cut list "
                "of the plies, with the fibre's direction kept, may want more."
            )

    def run(self, product: Product, length: float) -> None:
        """Add a length, µm, that may be of several pieces, such as tape."""
        if product.measure != "length":
            self._not_by_length(product)
        else:
            self.needs.append(AmountNeeded(product.code, (_up(length, MILLIMETRE), LENGTH)))

    def _cut(self, product: Product, lengths: Iterable[int]) -> None:
        if product.measure != "length":
            self._not_by_length(product)
            return
        needed = pieces_needed(product, lengths)
        if needed.pieces:
            self.needs.append(needed)

    def _not_by_length(self, product: Product) -> None:
        self.cautions.append(f"{product.code} is not kept by length: no need of it is listed.")

    def _parts(
        self, product: Product, catalyst: str | None
    ) -> tuple[mix_parts.Parts, Product | None]:
        alone = mix_parts.Parts(1, 0), None
        if not cure_sheets.current(product.id):
            return alone
        try:
            kept, partner = cure_sheets.pair(product, catalyst)
        except (CureSheetMissing, PartnerMissing) as missing:
            self.cautions.append(
                say(
                    "{} stands among the needs without what hardens it: {}",
                    product.code,
                    missing.advice,
                )
            )
            return alone
        if partner is None:
            return alone
        share = mix_parts.parts(kept.sheet, product.density_mg_l, partner.density_mg_l)
        if share is None:
            self._short_of(product if not product.density_mg_l else partner, "density")
            return alone
        return share, partner

    def _weigh(self, code: str, mass: float) -> None:
        if mass > 0:
            self.needs.append(AmountNeeded(code, (_up(mass, GRAM), MASS)))

    def _short_of(self, product: Product, figure: str) -> None:
        self.cautions.append(
            f"{product.code} has no {figure}, so it is not reckoned among the needs: "
            f"set the product's {figure}."
        )


def _up(amount: float, step: int) -> int:
    """The next multiple of `step`; a millionth over one is still that one."""
    return math.ceil(round(amount / step, 6)) * step
