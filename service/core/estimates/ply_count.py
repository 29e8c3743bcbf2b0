"""Ply count: how many plies of a repeating stack fill a thickness, and the rest."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import cycle

from ..amounts.sentences import size
from ..errors import Invalid
from ..frozen import frozen
from ..words import Text, say

MOST_PLIES = 200
"""More plies than any repair has."""
THINNEST, THICKEST = 100, 500_000
"""The thinnest and the thickest skin, µm: 0.1 mm and 500 mm."""
THICKEST_PLY = 50_000
"""The thickest cured ply, µm."""

_SLACK = 1e-9
"""Relative rounding error of the thickness at which a ply still fits."""


@frozen
class Filled:
    """A thickness filled with plies.

    Attributes:
        plies: thickness of each ply in the order laid, µm.
        left_over: thickness that they do not fill, µm.
        one_more: height by which one more ply would stand proud, µm.
    """

    plies: tuple[float, ...]
    left_over: float
    one_more: float


def fill(depth: float, stack: Sequence[float]) -> Filled:
    """Lay a stack (cured ply thicknesses, µm) over and over until no next ply fits `depth` µm.

    Raises:
        Invalid: no depth, no stack, the first ply does not fit, or over `MOST_PLIES`.
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
            "The first ply alone is thicker than the skin.",
            advice="Use a lighter ply, or check the thickness and its unit.",
        )
    left = max(depth - total, 0.0)
    return Filled(tuple(laid), left, ply - left)


def check_skin(depth: float) -> None:
    """Refuse a thickness (µm) that no skin has.

    Raises:
        Invalid.
    """
    if not THINNEST <= depth <= THICKEST:
        raise Invalid(
            "A skin must be from 0.1 mm to 500 mm thick.",
            advice="Give the skin's own thickness, without a core, and check its unit.",
        )


def check_ply(cured: float) -> None:
    """Refuse a thickness (µm) that no ply has.

    Raises:
        Invalid.
    """
    if not 0 < cured <= THICKEST_PLY:
        raise Invalid(
            "A ply's thickness must be over zero and at most 50 mm.",
            advice="Give its cured thickness, and check the unit.",
        )


def words(left_over: float) -> Text:
    """How a stack fills a thickness, in words.

    Args:
        left_over: thickness that is not filled, µm; below zero the stack stands proud.
    """
    if abs(left_over) < 0.005 * 1000:
        return "The plies fill the thickness."
    if left_over > 0:
        return say("{} is left over: the plies end that far below flush.", size(left_over, 2))
    return say("The plies stand {} proud of the old surface.", size(-left_over, 2))
