"""Outlines: of a hole, a seam, and the plies that are cut to cover them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, Literal

from ..errors import Invalid
from ..frozen import frozen

Shape = Literal["round", "oval", "rectangular", "seam"]
HOLES: tuple[Shape, ...] = ("round", "oval", "rectangular")
SHAPES: tuple[Shape, ...] = (*HOLES, "seam")

LONGEST = 100_000_000
"""The longest ply or hole, µm: a hundred metres, longer than any part in a yard."""


@frozen
class Outline:
    """A shape on the part or on the cloth.

    Attributes:
        shape: `round` and `oval` have two axes; a `seam` is a strip of `width` along `length`.
        length, width: overall, µm.
        corner: radius of a rectangle's corners, µm.
    """

    shape: Shape
    length: float
    width: float
    corner: float = 0

    @property
    def area(self) -> float:
        """Area in mm²: πLW/4 for an oval, LW - (4 - π)c² for a rectangle of corner radius c."""
        box = self.length * self.width / 1e6
        if self.shape in ("round", "oval"):
            return math.pi / 4 * box
        return box - (4 - math.pi) * self.corner**2 / 1e6

    def grown(self, add: float, beside: float) -> Outline:
        """The outline, larger by `add` µm all round, but only by `beside` µm on one long side.

        A seam grows only in width. A round outline becomes an oval if the two differ. The corners
        of a rectangle grow by the smaller of the two.
        """
        if self.shape == "seam":
            return Outline("seam", self.length, self.width + add + beside)
        shape: Shape = "oval" if self.shape == "round" and add != beside else self.shape
        corner = self.corner + min(add, beside) if shape == "rectangular" else 0
        return Outline(shape, self.length + 2 * add, self.width + add + beside, corner)


def hole(shape: Shape, length: float, width: float | None, corner: float = 0) -> Outline:
    """A hole; sizes in µm. A round one needs only a length.

    Raises:
        Invalid: an impossible size, a round hole of two different sizes, or too large a corner.
    """
    width = length if width is None and shape == "round" else width
    if width is None:
        raise Invalid(f"A hole that is {shape} needs a width.", advice="Give it beside the length.")
    _check_size(length)
    _check_size(width)
    if shape == "round" and length != width:
        raise Invalid("A round hole must be as wide as it is long.", advice="Call it oval.")
    if corner and shape != "rectangular":
        raise Invalid("Only a rectangular hole has corners.", advice="Leave the corner out.")
    if not 0 <= corner <= min(length, width) / 2:
        raise Invalid(
            "The radius of the corners is over half the hole.",
            advice="Give at most half the shorter side.",
        )
    return Outline(shape, length, width, corner)


def of(body: Mapping[str, Any]) -> Outline:
    """The hole of a body: `length`, and if wanted `width`, `corner` and `shape`; sizes in µm.

    Without a shape it is round, or rectangular if it has a width.

    Raises: as `hole`.
    """
    width: float | None = body.get("width")
    shape: Shape = body.get("shape") or ("round" if width is None else "rectangular")
    return hole(shape, body["length"], width, body.get("corner", 0))


def seam(length: float) -> Outline:
    """A seam of a length in µm: two edges that meet without a gap.

    Raises:
        Invalid: an impossible length.
    """
    _check_size(length)
    return Outline("seam", length, 0)


def _check_size(size: float) -> None:
    if not 0 < size <= LONGEST:
        raise Invalid(
            "A size must be over zero and at most 100 m.",
            advice="Check the number, and its unit.",
        )
