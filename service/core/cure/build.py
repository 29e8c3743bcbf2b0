"""Build: how thick a laminate may be laid at once.

All plies since the last layer that has cooled count together. A layer is cool when it is within
5 K of the shop's air again. A part's own heat is not computed; a layer counts as cool if somebody
measured its surface after its heat must have peaked, and else from the time that it can be sanded.
"""

from __future__ import annotations

from collections.abc import Iterable

from ..frozen import frozen

NEAR_K = 5.0
"""A layer this near to the shop's air is cool (common practice, no source)."""
ASSUMED_COOL_S = 24 * 3600
"""Time until it is cool where the sheet has no sandable time (common practice, no source)."""
PEAK_IN_GEL_TIMES = 2
"""A layer's heat peaks after gel, and the peak is over by twice the latest gel time (common
practice, no source). A face that is cool before that only has its heat still to come."""
FILM_UM = 1000
"""A coat up to this thick loses its heat as fast as it makes it (common practice, no source)."""


@frozen
class Ply:
    """A layer in a build.

    Attributes:
        thickness: µm, or None if nobody gave it. greatest: the thickest build that its product
            allows, µm, or None. film: whether it is a thin coat, see `is_film`.
    """

    thickness: float | None
    greatest: float | None
    film: bool = False


def is_film(kind: str, thickness: float | None) -> bool:
    """Whether a layer is a coat so thin that it is judged by itself and adds no heat.

    Args:
        kind: of the layup. thickness: µm, or None.
    """
    return kind == "coat" and thickness is not None and thickness <= FILM_UM


def cooled(
    at: float,
    *,
    finished: float,
    peaked: float | None,
    sandable: float | None,
    found_hard: float | None = None,
    above_air: float | None = None,
) -> bool:
    """Whether a layer has cooled by a moment; all moments in epoch s.

    Args:
        at: the moment. finished: end of its application. peaked: when its heat has surely peaked,
            or None if that is not known. sandable: when it can surely be sanded, or None.
        found_hard: when a hand found it hard, or had sanded it.
        above_air: K by which its surface was measured above the shop's air at that moment.
    """
    if above_air is not None and above_air > NEAR_K:
        return False
    felt = above_air is not None or (found_hard is not None and found_hard <= at)
    if felt and peaked is not None and at >= peaked:
        return True
    return at >= (finished + ASSUMED_COOL_S if sandable is None else sandable)


def together(own: Ply, hot: Iterable[Ply]) -> tuple[float, float] | None:
    """(thickness of all plies that are hot together, greatest that may be built), both in µm.

    The lowest limit of them counts. A film is judged by itself. None where the own thickness or
    every limit is unknown.

    Args:
        own: the layer that is to be laid. hot: the layers below it that have not cooled.
    """
    plies = [own] if own.film else [own, *(ply for ply in hot if not ply.film)]
    limits = [ply.greatest for ply in plies if ply.greatest is not None]
    if own.thickness is None or not limits:
        return None
    return sum(ply.thickness or 0.0 for ply in plies), min(limits)
