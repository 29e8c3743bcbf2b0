"""Cut lists as drawings: the place of each thing on the paper, in millimetres of paper.

The roll runs down the paper from its cut end. Black on white: pieces are white with their
numbers, the rest is hatched, and an arrow shows the fibre or grain of each piece.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from ...core.amounts import quantities
from ...core.amounts.quantities import SIZE, System
from ...core.estimates.cut_list import LaidView
from ...core.frozen import frozen

PAPER, MARGIN, TEXT = 180.0, 12.0, 4.0
"""Width of the bed, width of the margin around it, height of a line of text; mm of paper."""
LEGEND = 116.0
"""Width that the drawing's own words need, mm of paper."""


@frozen
class Bed:
    """A roll or a sheet under its heading: its sizes in µm, and its cuts."""

    heading: str
    length: float
    width: float
    cuts: Sequence[LaidView]


@frozen
class Cut:
    """A piece on the paper, mm: its box, and as many lines of words as fit into it."""

    x: float
    y: float
    width: float
    height: float
    round: bool
    across: bool
    lines: list[str]

    @property
    def arrow(self) -> tuple[float, float, float, float]:
        """Its two ends, x and y of each: along the piece's own fibre, beside its words."""
        if self.across:
            return self.x + self.width * 0.3, self.low, self.x + self.width * 0.7, self.low
        side = self.x + self.width * 0.12
        return side, self.y + self.height * 0.3, side, self.y + self.height * 0.7

    @property
    def low(self) -> float:
        """The height of an arrow across."""
        return self.y + self.height * 0.88


@frozen
class Plate:
    """One bed on the paper, mm, below its heading."""

    heading: str
    y: float
    width: float
    height: float
    ruler: list[tuple[float, str]]
    across: str
    cuts: list[Cut]


@frozen
class Drawing:
    """All beds, one below the other, and the size of the paper, mm."""

    title: str
    width: float
    height: float
    plates: list[Plate]


def draw(title: str, beds: Sequence[Bed], system: System, tallest: float = inf) -> Drawing:
    """Draw beds under each other.

    Args:
        tallest: the most that a bed may be, mm of paper; a longer one makes them all smaller.
    """
    longest = max(bed.length for bed in beds)
    scale = min(PAPER / max(bed.width for bed in beds), tallest / longest)
    plates: list[Plate] = []
    y = MARGIN * 2
    for bed in beds:
        plate = _plate(bed, y + MARGIN, scale, system)
        plates.append(plate)
        y = plate.y + plate.height + MARGIN
    width = max(LEGEND, *(plate.width for plate in plates))
    return Drawing(title, width + 4 * MARGIN, y, plates)


def _plate(bed: Bed, y: float, scale: float, system: System) -> Plate:
    stops = sorted({0, bed.length, *(cut.start for cut in bed.cuts)})
    ruler: list[tuple[float, str]] = []
    for stop in stops:
        at = y + stop * scale
        if not ruler or at - ruler[-1][0] >= TEXT:
            ruler.append((at, size(stop, system)))
    return Plate(
        heading=bed.heading,
        y=y,
        width=bed.width * scale,
        height=bed.length * scale,
        ruler=ruler,
        across=size(bed.width, system),
        cuts=[_cut(cut, bed.width, y, scale, system) for cut in bed.cuts],
    )


def _cut(cut: LaidView, across: float, y: float, scale: float, system: System) -> Cut:
    width, height = cut.width * scale, cut.length * scale
    words = [
        str(cut.ply),
        cut.name,
        f"{size(cut.length, system)} × {size(cut.width, system)}",
        f"{size(cut.edge, system)} from left" if cut.width < across else "",
    ]
    room = max(1, int(height * 0.7 / TEXT))
    fitting = [line for line in words if line and len(line) * TEXT * 0.5 <= width * 0.8]
    return Cut(
        x=MARGIN * 3 + cut.edge * scale,
        y=y + cut.start * scale,
        width=width,
        height=height,
        round=cut.shape in ("round", "oval"),
        across=cut.turned,
        lines=(fitting or words[:1])[:room],
    )


def size(value: float, system: System) -> str:
    """A size as a hand marks it: in tenths of a millimetre or hundredths of an inch."""
    shown = quantities.show(value, SIZE, system)
    places = 2 if shown["unit"] == "in" else 1
    number = f"{shown['value']:.{places}f}".rstrip("0").rstrip(".")
    return f"{number} {shown['unit']}"
