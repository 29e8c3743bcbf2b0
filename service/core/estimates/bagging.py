"""What a vacuum bag takes over a part: peel ply, breather and film by area, tape by perimeter.

Each sheet reaches past the one below it by a margin m (geometry; the margin and the pleats are
common practice, no source), over a part of length l and width w:

    peel ply, breather    (l + 2m)(w + 2m)
    the line of tape      2(l + w) + 16m              a margin outside them
    film                  (l + 6m)(w + 6m)            a margin outside the tape

Film and tape follow pleats, so that the film reaches into every corner: of both so much more.
"""

from __future__ import annotations

from ..errors import Invalid
from ..frozen import frozen

USUAL_MARGIN = 50_000.0
"""A margin, µm (common practice, no source)."""
USUAL_PLEATS = 20.0
"""Film and tape for pleats, percent of those of a flat bag (common practice, no source)."""
WIDEST_MARGIN = 500_000
LONGEST = 100_000_000
"""A side of a part, µm: 100 m."""
FILM_BRIDGES = (
    "Film that is too tight bridges a corner, and the vacuum lifts the plies there: lay a pleat at "
    "each."
)
TEST_FIRST = "Test the bag for leaks while it is dry, before resin is mixed."
ORDER = "From the laminate outwards: peel ply, breather, film on the tape."


@frozen
class Bagging:
    """Areas in mm², the tape in µm; film and tape with their pleats."""

    peel_ply: float
    breather: float
    film: float
    tape: float


def bagging(
    length: float,
    width: float,
    *,
    margin: float = USUAL_MARGIN,
    pleats_percent: float = USUAL_PLEATS,
) -> Bagging:
    """What a bag over a part takes; sizes in µm.

    Raises: Invalid: a size or a share that no bag has.
    """
    for side, name in ((length, "length"), (width, "width")):
        if not 0 < side <= LONGEST:
            raise Invalid(
                f"The {name} of the part is out of range.",
                advice="Give it over zero, and up to 100 m.",
                pointer=f"/{name}",
            )
    if not 0 <= margin <= WIDEST_MARGIN:
        raise Invalid("The margin is out of range.", advice="Give up to 500 mm.", pointer="/margin")
    if not 0 <= pleats_percent <= 100:
        raise Invalid(
            "The share for pleats is out of range.",
            advice="Give 0 to 100 percent.",
            pointer="/pleats_percent",
        )
    more = 1 + pleats_percent / 100
    inside = _area(length, width, 2 * margin)
    return Bagging(
        peel_ply=inside,
        breather=inside,
        film=_area(length, width, 6 * margin) * more,
        tape=(2 * (length + width) + 16 * margin) * more,
    )


def _area(length: float, width: float, added: float) -> float:
    """Area in mm² of sides in µm, each longer by `added`."""
    return (length + added) * (width + added) / 1e6
