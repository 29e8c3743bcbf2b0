"""A pot and its dose: what is asked, what is answered, and the times of the pot."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import exp

from ..frozen import frozen
from ..products.cure_sheet import CureSheet
from ..products.evidence import Belief
from ..products.gel_law import SURE, GelLaw, Span, coldest_told, gel_span
from ..words import Text

MIXING_S = 120
"""Time to stir a pot, taken off its working time (common practice, no source)."""
WORKING_SHARE = 0.6
"""Share of its gel time in which it can be spread (common practice, no source)."""


@frozen
class Pot:
    """A pot to be dosed.

    Attributes:
        resin: mg, the mass that the percent is of. temperature: of the resin, K.
        uncertainty: of that temperature, K.
        target_gel: wanted gel time, s. percent: of resin mass. A catalysed product takes one of
            the two, a two-part product neither.
        belief: of how its lot gels; None for a lot that nobody tested.
        filled: whether a filler thickens it, which makes the gel time less sure.
        strength: active oxygen of the catalyst over that of the sheet's.
        resin_density, catalyst_density: mg/L, where known. mixing: s of stirring.
        chemistry: of the resin; None where the catalogue does not say.
        sure: the chance on the other side of each edge of a band.
    """

    resin: float
    temperature: float
    uncertainty: float = 1.0
    target_gel: float | None = None
    percent: float | None = None
    belief: Belief | None = None
    filled: bool = False
    strength: float = 1.0
    resin_density: int | None = None
    catalyst_density: int | None = None
    mixing: float = MIXING_S
    chemistry: str | None = None
    sure: float = SURE

    def factor(self, law: GelLaw) -> float:
        """Its lot's gel time over the sheet's, as expected."""
        return exp((self.belief or law.belief()).mean)

    def span(self, sheet: CureSheet, law: GelLaw, percent: float | None) -> Span:
        """How long it takes to gel in a cup at a percent of the sheet's own peroxide."""
        belief = self.belief or law.belief()
        return gel_span(
            law,
            belief.wider(law.parts.filled) if self.filled else belief,
            self.temperature,
            percent,
            uncertainty=self.uncertainty,
            coldest=coldest_told(sheet, law),
            sure=self.sure,
        )


@frozen
class Other:
    """Another catalyst or hardener of the resin: its code, its sheet, and as `Pot.strength`."""

    code: str
    sheet: CureSheet
    strength: float = 1.0


Others = Callable[[], Sequence[Other]]
"""Gives the other partners of a resin; called only where a message names them."""


@frozen
class Dose:
    """The dose of a pot, and when the pot gels.

    Attributes:
        percent: before rounding. percent_as_measured: of what is weighed.
        mass: mg, rounded to what a scale shows. volume: µL, rounded to what a measure shows; None
            without a density.
        gel: in a cup. pot_at_most, working_time, working_likely: s; a pot gels sooner than a cup.
            The working time is that at worst.
        film: s, or None where the sheet has none.
        limited_by: the limit that the wanted gel time ran into, or None.
        extrapolated: whether it lies beyond the sheet's gel times.
    """

    percent: float
    percent_as_measured: float
    mass: int
    volume: int | None
    gel: Span
    pot_at_most: float
    working_time: float
    working_likely: float
    film: float | None
    limited_by: str | None
    extrapolated: bool
    warnings: tuple[Text, ...]
    advice: tuple[Text, ...]


def timed(pot: Pot, sheet: CureSheet, law: GelLaw, c: float | None) -> Dose:
    """The times of a pot at c effective percent; the caller fills in what to weigh."""
    T = pot.temperature
    gel = pot.span(sheet, law, c)
    film = None
    if sheet.film_gel is not None:
        usual = None if c is None else sheet.reference_percent or law.percent
        film = sheet.film_gel * gel.time / law.gel_time(sheet.reference_temperature, usual)
    return Dose(
        percent=0.0,
        percent_as_measured=0.0,
        mass=0,
        volume=None,
        gel=gel,
        pot_at_most=gel.time,
        working_time=max(WORKING_SHARE * gel.earliest - pot.mixing, 0.0),
        working_likely=max(WORKING_SHARE * gel.time - pot.mixing, 0.0),
        film=film,
        limited_by=None,
        extrapolated=law.extrapolated(T, c),
        warnings=(),
        advice=(),
    )
