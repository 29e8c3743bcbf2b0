"""Taper: how far a laminate is ground back, and how large each ply of the repair is.

A taper of ratio r over a thickness T is ground r T wide. With plies t₁, t₂ … in the order in which
they are laid (the first against the old laminate), ply k reaches past the hole's edge by

    smallest first   r (t₁ + … + t_k)
    largest first    r (T - (t₁ + … + t_{k-1}))

so that each ends where the taper reaches its height. A stack thicker than the skin runs past the
ground; there T is the stack's own thickness. Ratios: 12:1 is usual, 8:1 the least, 20:1 for high
stress (marine repair handbooks, from memory). 12 mm a ply: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import Literal

from ..amounts.sentences import size
from ..amounts.views import View
from ..errors import Invalid
from ..frozen import frozen
from ..words import Text, say
from .outlines import Outline
from .ply_count import MOST_PLIES, check_skin

Order = Literal["smallest_first", "largest_first"]
Structural = Literal["yes", "no", "unknown"]
Verdict = Literal["pass", "caution", "stop"]
ORDERS: tuple[Order, ...] = ("smallest_first", "largest_first")

USUAL_RATIO, LEAST_RATIO = 12.0, 8.0
LEAST_STEP = 12_000
"""The least that each ply should reach past the one before, on each side, µm."""

ADVICE = (
    "Usual on boats: largest first, and with polyester a mat first, against the old laminate. "
    "To match the old laminate ply for ply: smallest first.",
    "Count the skin's thickness, never a cored panel's. Round every corner.",
)


@frozen
class MeaningView(View):
    """What each order means when the repair is ground flush."""

    smallest_first: str
    largest_first: str


MEANING = MeaningView(
    smallest_first="Each ply lies on the old ply that it replaces. Ground flush, the rim of the "
    "last and largest ply is thinned or sanded through: leave it proud, or add a ply.",
    largest_first="The first ply bonds to the whole taper and is never sanded. Ground flush, only "
    "each ply's edge is feathered.",
)


@frozen
class Ground:
    """The ground taper.

    Attributes:
        thickness: of the skin, µm.
        ratio: length over thickness.
        sides: number of faces that it is ground from; with two, each takes half the thickness.
        room: space on one long side, µm; None if there is enough.

    Raises:
        Invalid: an impossible thickness, ratio, number of sides or room.
    """

    thickness: float
    ratio: float = USUAL_RATIO
    sides: int = 1
    room: float | None = None

    def __post_init__(self) -> None:
        """Check the figures."""
        check_skin(self.thickness)
        if not 1 <= self.ratio <= 100:
            raise Invalid(
                f"A taper of {self.ratio:g}:1 is not possible.",
                advice="Give length to thickness, from 1 to 100; 12 is usual.",
            )
        if self.sides not in (1, 2) or (self.room is not None and self.room <= 0):
            raise Invalid(
                "A skin has one or two sides to grind, and the room there must be over zero.",
                advice="Give one or two sides, and the width that can be ground.",
            )

    @property
    def depth(self) -> float:
        """Depth ground into each face, µm."""
        return self.thickness / self.sides

    @property
    def width(self) -> float:
        """Width ground on each side of the hole or seam, on each face, µm."""
        return self.ratio * self.thickness / self.sides

    @property
    def short_ratio(self) -> float | None:
        """The ratio on the side with less room than the ground width; None if there is none."""
        if self.room is None or self.room >= self.width:
            return None
        return self.room / self.depth


@frozen
class Cut:
    """One ply to cut.

    Attributes:
        ply: its number in the order laid, from 1.
        face: the face that it is laid on, 1 or 2.
        reach: past the hole's edge or the seam, on each side, µm.
        short_reach: the same on the long side with too little room, µm.
        outline: of the cloth.
    """

    ply: int
    face: int
    reach: float
    short_reach: float
    outline: Outline


def reaches(plies: Sequence[float], depth: float, ratio: float, order: Order) -> list[float]:
    """The reach of each ply past the edge, µm.

    Args:
        plies: cured thicknesses in the order laid, µm.
        depth: of the taper, µm.
    """
    reached = list(accumulate(plies))
    if order == "largest_first":
        full = max(depth, reached[-1])
        reached = [full - before for before in [0.0, *reached[:-1]]]
    return [ratio * height for height in reached]


def faces(plies: Sequence[float], sides: int) -> list[Sequence[float]]:
    """The plies of each face; with two faces the stack is split as near to the middle as possible.

    Raises:
        Invalid: too few or too many plies, or a ply without thickness.
    """
    if not sides <= len(plies) <= MOST_PLIES or min(plies) <= 0:
        raise Invalid(
            f"{len(plies)} plies can't fill a taper from {sides} side(s).",
            advice=f"Give at least one ply for each side, and at most {MOST_PLIES}.",
        )
    if sides == 1:
        return [plies]
    total = sum(plies)
    at = min(range(1, len(plies)), key=lambda k: abs(2 * sum(plies[:k]) - total))
    return [plies[:at], plies[at:]]


def cuts(opening: Outline, plies: Sequence[float], ground: Ground, order: Order) -> list[Cut]:
    """Every ply's outline, in the order laid.

    Args:
        opening: the hole or seam.
        plies: cured thicknesses in the order laid, µm.

    Raises:
        As `faces`.
    """
    short = ground.short_ratio
    share = 1.0 if short is None else short / ground.ratio
    found: list[Cut] = []
    for face, stack in enumerate(faces(plies, ground.sides), 1):
        for reach in reaches(stack, ground.depth, ground.ratio, order):
            outline = opening.grown(reach, reach * share)
            found.append(Cut(len(found) + 1, face, reach, reach * share, outline))
    return found


def judge(ground: Ground, structural: Structural) -> tuple[Verdict, list[str]]:
    """Whether the ratio is safe: the verdict and its reasons in words.

    Under 8:1 is a stop unless the work is known not to be structural.
    """
    words = []
    least = ground.ratio if ground.short_ratio is None else ground.short_ratio
    if ground.short_ratio is not None:
        words.append(f"The short side gets {ground.short_ratio:.1f}:1.")
    if least < LEAST_RATIO and structural != "no":
        words.append(
            f"Stop: {least:.1f}:1 is under {LEAST_RATIO:g}:1, too steep for structural work. "
            "Grind further, taper from both sides, or ask the builder or a surveyor."
        )
        return "stop", words
    if least < USUAL_RATIO:
        words.append(f"{least:.1f}:1 is steeper than the usual {USUAL_RATIO:g}:1.")
        return "caution", words
    return "pass", words


def step_caution(plies: Sequence[float], ratio: float) -> Text | None:
    """The caution for plies that reach less than `LEAST_STEP` past each other, or None."""
    steps = {k: ratio * ply for k, ply in enumerate(plies, 1) if ratio * ply < LEAST_STEP * 0.9999}
    if not steps:
        return None
    if len(steps) == len(plies):
        which = "Every ply steps"
    elif len(steps) > 1:
        which = f"Plies {', '.join(map(str, steps))} step"
    else:
        which = f"Ply {min(steps)} steps"
    least = size(min(steps.values()), 1)
    return say("{} as little as {} a side, under {}.", which, least, size(12_000))
