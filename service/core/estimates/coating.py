"""Coats: wet film, dry film, and the paint, thinner and loss of some coats.

    coverage (m²/L) = 1000 VS / DFT (µm);  WFT = DFT (1 + thinner) / VS

VS is the paint's volume solids before it is thinned (a coating bulletin, maker not named; its US
form is 1604 VS / DFT (mil), in ft²/gal). Gel coat is computed from its wet film alone.
"""

from __future__ import annotations

from typing import Annotated

from ..amounts.quantities import AREA, SIZE, VOLUME
from ..amounts.views import View
from ..errors import Invalid
from ..frozen import frozen
from . import volumes


@frozen
class Film:
    """One coat's film.

    Attributes:
        wet: µm, with the thinner. dry: µm, or None if the solids are not known.
        thinner: its volume over that of the paint.
    """

    wet: float
    dry: float | None
    thinner: float = 0.0

    @property
    def paint(self) -> float:
        """Thickness in µm of the unthinned paint in the wet film."""
        return self.wet / (1 + self.thinner)

    @property
    def coverage(self) -> float:
        """Area in mm² that 1 L of unthinned paint covers in one coat, without loss."""
        return 1e9 / self.paint


@frozen
class Coats(View):
    """The unthinned paint for some coats of a film, and its thinner.

    Attributes:
        litre_covers: in one coat, nothing lost. on_part: the paint that stays there. loss:
            overspray and the like. waste: left in pot and roller. paint: all three. thinner: for
            all of the paint.
    """

    coats: int
    wet_film: Annotated[float, SIZE]
    dry_film: Annotated[float, SIZE] | None
    litre_covers: Annotated[float, AREA]
    on_part: Annotated[float, VOLUME]
    loss: Annotated[float, VOLUME]
    waste: Annotated[float, VOLUME]
    paint: Annotated[float, VOLUME]
    thinner: Annotated[float, VOLUME]


def film(
    *,
    wet: float | None = None,
    dry: float | None = None,
    solids: float | None = None,
    thinner: float = 0.0,
) -> Film:
    """A film, given by its wet or its dry thickness (µm).

    Args:
        solids: by volume, percent of the unthinned paint. thinner: percent of the paint's volume.

    Raises:
        Invalid: not exactly one of wet and dry; dry without solids; no thickness; solids not
            over 0 and up to 100; thinner not 0 to 100.
    """
    if (wet is None) == (dry is None):
        raise Invalid("Give either the wet film or the dry film.",
                      advice="Leave the other out.")  # fmt: skip
    if solids is not None and not 0 < solids <= 100:
        raise Invalid(
            f"Solids of {solids:g} % are not possible.", advice="Give over 0 and up to 100."
        )
    if not 0 <= thinner <= 100:
        raise Invalid(f"Thinner can't be {thinner:g} %.", advice="Give 0 to 100.")
    share = None if solids is None else solids / 100 / (1 + thinner / 100)
    if (wet or dry or 0) <= 0:
        raise Invalid(
            "The film's thickness must be over zero.", advice="Check the number, and its unit."
        )
    if wet is not None:
        return Film(wet, None if share is None else wet * share, thinner / 100)
    if share is None or dry is None:
        raise Invalid(
            "A dry film needs the volume solids.", advice="Give solids_percent from the data sheet."
        )
    return Film(dry / share, dry, thinner / 100)


def coats(
    area: float,
    each: Film,
    count: int = 1,
    *,
    loss: float = 0.0,
    waste: float = volumes.USUAL_WASTE,
) -> Coats:
    """The material of `count` coats of a film over `area` mm².

    Args:
        loss: percent of the sprayed paint that does not stay on the part; practical coverage is
            (1 - loss) of the theoretical. waste: percent that is mixed on top of both.

    Raises:
        Invalid: no area; not 1 to 50 coats; a loss not 0 to 95; a waste not 0 to 100.
    """
    if not 1 <= count <= 50:
        raise Invalid(f"{count} coats are not possible.", advice="Give 1 to 50.")
    if not 0 <= loss <= 95:
        raise Invalid(f"A loss of {loss:g} % is not possible.", advice="Give 0 to 95.")
    on_part = volumes.layer(area, each.paint * count)
    lost = on_part * loss / (100 - loss)
    left = volumes.waste(on_part + lost, waste)
    paint = volumes.plausible(on_part + lost + left)
    return Coats(
        coats=count,
        wet_film=each.wet,
        dry_film=each.dry,
        litre_covers=each.coverage,
        on_part=on_part,
        loss=lost,
        waste=left,
        paint=paint,
        thinner=paint * each.thinner,
    )
