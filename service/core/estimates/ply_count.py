"""Ply count: how many plies of a repeating stack fill a thickness, and what is left over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import cycle

from ..amounts import sentences as worded
from ..errors import Invalid

MOST_PLIES = 200
"""More plies than any repair has."""
THINNEST, THICKEST = 100, 500_000
"""Of a skin, µm: a tenth of a millimetre, half a metre."""
THICKEST_PLY = 50_000
"""Of one ply, cured, µm."""

_SLACK = 1e-9
"""Of the thickness: a ply that fits but for a rounded number fits."""


@dataclass(frozen=True)
class Filled:
    """A thickness filled with plies.

    Attributes:
        plies: thickness of each ply in the order laid, µm.
        left_over: what they lack of the thickness, µm.
        one_more: how far one ply more would stand proud, µm.
    """

    plies: tuple[float, ...]
    left_over: float
    one_more: float


def fill(depth: float, stack: Sequence[float]) -> Filled:
    """Lay a stack (cured ply thicknesses, µm) over and over until no next ply fits `depth` µm.

    Raises:
        Invalid: nothing to fill or to fill with, the first ply does not fit, or over 200 plies.
    """
    check_skin(depth)
    if not stack:
        raise Invalid("The stack has no plies.", advice="Name at least one ply.")
    for ply in stack:
        check_ply(ply)
    laid: list[float] = []
    total = 0.0
    for ply in cycle(stack):
        if total + ply > depth * (1 + _SLACK):
            break
        laid.append(ply)
        total += ply
        if len(laid) > MOST_PLIES:
            raise Invalid(
                f"That takes more than {MOST_PLIES} plies.",
                advice="Check the thickness and its unit, or use heavier plies.",
            )
    if not laid:
        raise Invalid(
            "The first ply alone is thicker than that.",
            advice="Use a lighter ply, or check the thickness and its unit.",
        )
    left = max(depth - total, 0.0)
    return Filled(tuple(laid), left, ply - left)


def check_skin(depth: float) -> None:
    """Refuse a thickness in µm that no skin has."""
    if not THINNEST <= depth <= THICKEST:
        raise Invalid(
            "A skin must be from 0.1 mm to 500 mm thick.",
            advice="Give the skin's own thickness, without a core, and check its unit.",
        )


def check_ply(cured: float) -> None:
    """Refuse a thickness in µm that no ply has."""
    if not 0 < cured <= THICKEST_PLY:
        raise Invalid(
            "A ply's thickness must be over zero and at most 50 mm.",
            advice="Give its cured thickness, and check the unit.",
        )


def said(left_over: float) -> str:
    """Words for what a stack leaves of a thickness (µm); below nothing it stands proud."""
    if abs(left_over) < 0.005 * 1000:
        return "The plies fill the thickness."
    if left_over > 0:
        return f"{worded.size(left_over, 2)} is left over: the plies end that far below flush."
    return f"The plies stand {worded.size(-left_over, 2)} proud of the old surface."
