"""Fillers that thicken a mix: how much of one gives which consistency, by its own data sheet.

No figure of a filler is guessed: the same measure of two fillers differs tenfold in mass.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, get_args

from ..errors import CureSheetInconsistent, CureSheetMissing
from ..frozen import frozen

Consistency = Literal["pours", "sags", "holds_a_ridge", "stays_put"]
CONSISTENCIES: tuple[Consistency, ...] = get_args(Consistency)
"""How a filled mix stands, from thin to thick (the trade's own words; common practice)."""


@frozen
class Thickening:
    """How much filler gives a consistency: one of two figures, as the filler's sheet has it.

    Attributes:
        loose_parts: by volume, as it lies loose, to one of mixed resin.
        grams_per_kg: g to a kg of mixed resin.
    """

    consistency: Consistency
    loose_parts: float | None = None
    grams_per_kg: float | None = None


@frozen
class Filler:
    """A filler's figures; densities in mg/L, None where nobody entered one.

    Attributes:
        bulk_density: as it lies loose in its bag, with the air between its grains.
        particle_density: of its grains themselves: what they take up in a mix.
    """

    code: str
    thickenings: Sequence[Thickening] = ()
    bulk_density: int | None = None
    particle_density: int | None = None

    def thickening(self, consistency: Consistency) -> Thickening:
        """The sheet's figure for a consistency.

        Raises:
            CureSheetMissing: it has none.
        """
        for each in self.thickenings:
            if each.consistency == consistency:
                return each
        known = ", ".join(said(each.consistency) for each in self.thickenings) or "none"
        raise CureSheetMissing(
            f"{self.code} has no figure for '{said(consistency)}'. It has: {known}.",
            advice="Enter its data sheet's figure in 'consistencies': loose parts, or g per kg.",
        )

    def needed(self, name: Literal["bulk_density", "particle_density"]) -> int:
        """A density that a sum needs, mg/L.

        Raises:
            CureSheetMissing: nobody entered it.
        """
        figure: int | None = getattr(self, name)
        if figure is None:
            raise CureSheetMissing(
                f"{self.code} has no {name.replace('_', ' ')}, which a filled mix needs.",
                advice=f"Enter the filler's '{name}' from its data sheet; it is never guessed.",
            )
        return figure


def said(consistency: str) -> str:
    """A consistency in words."""
    return consistency.replace("_", " ")


def check(filler: Filler) -> None:
    """Refuse figures of a filler that can't all be true.

    Raises:
        CureSheetInconsistent: a consistency twice, or not with just one of its two figures; or
            lying loose it would be denser than its own grains.
    """
    seen = set()
    for number, each in enumerate(filler.thickenings):
        pointer = f"/consistencies/{number}"
        if each.consistency in seen:
            raise CureSheetInconsistent(
                f"'{said(each.consistency)}' is there twice.",
                advice="Keep one figure for each consistency.",
                pointer=pointer,
            )
        seen.add(each.consistency)
        if (each.loose_parts is None) == (each.grams_per_kg is None):
            raise CureSheetInconsistent(
                f"'{said(each.consistency)}' needs loose parts or g per kg, one of the two.",
                advice="Give 'loose_parts' or 'grams_per_kg', as the filler's sheet prints it.",
                pointer=pointer,
            )
    if (filler.bulk_density or 0) > (filler.particle_density or filler.bulk_density or 0):
        raise CureSheetInconsistent(
            f"{filler.code} can't be denser in its bag than its own grains are.",
            advice="Check bulk_density and particle_density: the bag has air between the grains.",
            pointer="/bulk_density",
        )


def lacking(filler: Filler) -> list[str]:
    """The names of the figures that a mix by consistency would still ask for."""
    if not filler.thickenings:
        return []
    loose = any(each.loose_parts is not None for each in filler.thickenings)
    names: list[str] = []
    if loose and filler.bulk_density is None:
        names.append("bulk_density")
    if filler.particle_density is None:
        names.append("particle_density")
    return names
