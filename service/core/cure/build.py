"""How thick may be laid at once: all plies since the last layer that has cooled count together.

A layer is cool when it is within 5 K of the shop's air again. There is no sum of a part's own heat,
so that rests on what is known, and on the careful side of it: the surface's temperature as somebody
took it, once the layer can have peaked; else the time at which it can be sanded.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

NEAR_K = 5.0
"""As near to the shop's air as a layer is called cool (common practice, no source)."""
ASSUMED_COOL_S = 24 * 3600
"""After so long it is cool where its sheet has no time to sandable (common practice, no source)."""
PEAK_IN_GEL_TIMES = 2
"""Its heat peaks after it gels: by twice the latest gel time it is over (common practice, no
source). Before that a cool face says only that the heat is still to come."""
FILM_UM = 1000
"""A coat no thicker than this gives its heat off as it makes it (common practice, no source)."""


@dataclass(frozen=True)
class Ply:
    """A layer in a build: its thickness in µm, None where nobody said; what it may be built to."""

    thickness: float | None
    greatest: float | None
    film: bool = False


def is_film(kind: str, thickness: float | None) -> bool:
    """Whether it is a coat so thin that it is judged by itself, and adds nothing to what is hot."""
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
        finished: end of its application. peaked: when its heat is over, None where that can't
            be told. sandable: when the clock is sure that it can be sanded, None where it is not.
        found_hard: when a hand found it hard, or had sanded it.
        above_air: K that its surface was found to be above the shop's air at that moment.
    """
    if above_air is not None and above_air > NEAR_K:
        return False
    felt = above_air is not None or (found_hard is not None and found_hard <= at)
    if felt and peaked is not None and at >= peaked:
        return True
    return at >= (finished + ASSUMED_COOL_S if sandable is None else sandable)


def together(own: Ply, hot: Iterable[Ply]) -> tuple[float, float] | None:
    """What is laid with what below it has not cooled, and the greatest that may be built, µm.

    The least of their limits counts. A film is judged by itself. None where either is not known.
    """
    plies = [own] if own.film else [own, *(ply for ply in hot if not ply.film)]
    limits = [ply.greatest for ply in plies if ply.greatest is not None]
    if own.thickness is None or not limits:
        return None
    return sum(ply.thickness or 0.0 for ply in plies), min(limits)
