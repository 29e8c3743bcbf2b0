"""Hardness of a cured part: ten to thirty readings on one scale make one figure and its u.

The highest and the lowest reading are dropped and the rest averaged (a shop guide of resin
fabrication tips, for the Barcol impressor 934-1, at about 25 °C; sand 1 to 2 mil off a waxed face
first). A figure of one scale says nothing on another: no sum turns one into the other.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import sqrt
from typing import Literal, NamedTuple, get_args

from ..errors import Invalid

Scale = Literal["barcol_934_1", "barcol_935", "shore_d"]
SCALES: tuple[Scale, ...] = get_args(Scale)
USUAL: Scale = "barcol_934_1"
"""The scale of a figure that was noted before there was a choice."""
WORDS: dict[str, str] = {
    "barcol_934_1": "Barcol 934-1",
    "barcol_935": "Barcol 935",
    "shore_d": "Shore D",
}

FEWEST, MOST = 10, 30

Face = Literal["laminate", "gel_coat"]
FACES: tuple[Face, ...] = get_args(Face)

Condition = Literal["thick_enough", "off_edges", "instrument_checked", "wax_off"]
CONDITIONS: tuple[Condition, ...] = get_args(Condition)
_SAID: dict[str, str] = {
    "thick_enough": "that the part is over 1.5 mm thick",
    "off_edges": "that each reading was 3 mm or more from an edge",
    "instrument_checked": "that the instrument was checked that day",
    "wax_off": "that the wax was sanded off, or that there was none",
}
"""What must hold for a reading to count in full. Thickness and edges: ASTM D2583, 7.2; the check
and the wax: common practice, no source."""

MORE = (
    f"Take more readings, up to {MOST}: ASTM D2583 Table 1 wants about 22 on a laminate of Barcol "
    "40 (from memory)."
)


ONE_VALUE = (
    "One value proves no structural work (ASTM D2583 asks for several readings): note "
    f"{FEWEST} to {MOST} as a 'hardness'."
)


class Figure(NamedTuple):
    """A hardness.

    Attributes:
        mean: without the highest and the lowest reading. u: s/√n of all readings; None where only
            one figure is known.
        scale: that it is on. unsaid: the conditions that nobody said were met.
        on_gel_coat: whether it was read on gel coat.
    """

    mean: float
    u: float | None = None
    scale: Scale = USUAL
    unsaid: tuple[str, ...] = ()
    on_gel_coat: bool = False

    @property
    def words(self) -> str:
        """Such as '40.5 ± 1.0 Barcol 934-1'."""
        spread = "" if self.u is None else f" ± {self.u:.1f}"
        return f"{self.mean:.1f}{spread} {WORDS[self.scale]}"

    @property
    def is_of_readings(self) -> bool:
        """Whether it is of ten readings or more, as a proof of structural work must be."""
        return self.u is not None

    def is_near(self, needed: float) -> bool:
        """Whether what is needed lies within one u, so that more readings may turn the answer."""
        return bool(self.u) and abs(self.mean - needed) <= (self.u or 0.0) + 1e-9


def on(scale: str, figure: float) -> str:
    """A figure with its scale, such as '40.5 Barcol 934-1'."""
    return f"{figure:.1f} {WORDS[scale]}"


def of_readings(readings: Sequence[int]) -> tuple[float, float]:
    """(the average without the highest and the lowest, s/√n of all).

    Raises:
        Invalid: fewer than ten readings, or more than thirty.
    """
    n = len(readings)
    if not FEWEST <= n <= MOST:
        raise Invalid(
            f"{n} readings are too {'few' if n < FEWEST else 'many'} for a hardness: it takes "
            f"{FEWEST} to {MOST}.",
            advice="Take them over the part: the highest and the lowest are dropped.",
            pointer="/readings",
        )
    kept = sorted(readings)[1:-1]
    whole = sum(readings) / n
    variance = sum((reading - whole) ** 2 for reading in readings) / (n - 1)
    return sum(kept) / len(kept), sqrt(variance / n)


def unsaid(met: Collection[str]) -> tuple[str, ...]:
    """The conditions that are not among those that were met, in words."""
    return tuple(_SAID[each] for each in CONDITIONS if each not in met)
