"""A pot that a filler thickens to a consistency: how much filler, and what that makes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Annotated

from ...core.amounts.measuring import gram_step, nearest
from ...core.amounts.quantities import DENSITY, DOSE_MASS, MASS, SIZE, VOLUME, Given
from ...core.amounts.views import Code, OneOf, Says, View
from ...core.errors import CureSheetMissing, Invalid, OutsideLimits
from ...core.frozen import frozen
from ...core.pots import filled
from ...core.pots.filled import Mixed
from ...core.pots.pot import Dose
from ...core.products.fillers import CONSISTENCIES
from ...core.words import Text
from ..products.fillers import filler_of
from .added import Added
from .look_up import Asked

NO_BUILD = (
    "The cure sheet has no greatest build: ask the data sheet how thick a filled mix may be laid."
)


@frozen
class PuttyView(View):
    """The filled mix that a pot is: its filler, its volume with the air in it, its layers."""

    filler: Code
    consistency: Annotated[str, OneOf(CONSISTENCIES)]
    mass: Annotated[int, DOSE_MASS, Says("Of the filler, to weigh.")]
    volume: Annotated[float, VOLUME, Says("Of the filled mix, with 5 % of air.")]
    density: Annotated[float, DENSITY, Says("Of the filled mix.")]
    build_max: Annotated[
        int | None, SIZE, Says("The thickest layer at once, by the sheet; null where it has none.")
    ]


def weigh(pot: Asked, dose: Dose, added: Sequence[Added]) -> tuple[list[Added], PuttyView | None]:
    """The fillers of a pot, the one that is given by its consistency weighed; and what that makes.

    Raises:
        CureSheetMissing: a figure of the filler, or a density, that nobody entered.
        Invalid: two fillers by consistency, or one that is given twice. OutsideLimits: too little
            of it to be weighed.
    """
    by_sheet = [(n, item, item.consistency) for n, item in enumerate(added) if item.consistency]
    if not by_sheet:
        return [*added], None
    if len(by_sheet) > 1:
        raise Invalid(
            "Two fillers are given by their consistency: a sheet's figure is of one filler alone.",
            advice="Give one by its consistency, the others by their quantity.",
            pointer=f"/fillers/{by_sheet[1][0]}/consistency",
        )
    number, item, consistency = by_sheet[0]
    for other, beside in enumerate(added):
        if other != number and beside.product.id == item.product.id:
            raise Invalid(
                f"{item.product.code} is given twice: by its consistency, and by a quantity.",
                advice="The sheet's figure is of all of it: give one of the two.",
                pointer=f"/fillers/{other}",
            )
    resin = _mixed(pot, dose)
    filler = filler_of(item.product)
    try:
        mass = filled.filler_for(filler, consistency, resin)
        weighed = nearest(mass, gram_step(mass))
        whole = filled.fill(filler, weighed, resin)
    except CureSheetMissing as missing:
        missing.pointer = f"/fillers/{number}/product"
        raise
    if not weighed:
        raise OutsideLimits(
            f"The pot is too small: its {item.product.code} is under a tenth of a gram.",
            advice="Mix more, or give the filler's quantity.",
            pointer=f"/fillers/{number}/product",
        )
    given = Given(Decimal(weighed), MASS, f"{weighed / 1000:g} g")
    items = [*added]
    items[number] = replace(item, quantity=given, mass=weighed)
    view = PuttyView(
        item.product.code, consistency, weighed, whole.volume, whole.density,
        pot.sheet.build_max,
    )  # fmt: skip
    return items, view


def words(putty: PuttyView | None) -> list[Text]:
    """A warning where nobody knows how thick a filled mix may be laid."""
    return [NO_BUILD] if putty is not None and putty.build_max is None else []


def _mixed(pot: Asked, dose: Dose) -> Mixed:
    """The mixed resin of a pot; what counts as resin is taken to be as dense as the resin."""
    parts = [(pot.resin.code, float(pot.resin_mg), pot.resin.density_mg_l)]
    if pot.catalyst is not None:
        parts.append((pot.catalyst.code, float(dose.mass), pot.catalyst.density_mg_l))
    return filled.mixed(parts)
