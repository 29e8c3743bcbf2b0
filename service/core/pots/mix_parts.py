"""The parts of a mix: how much resin, and how much catalyst or hardener.

The amount of a catalysed mix is that of its resin, and the catalyst comes on top. The amount of a
two-part mix includes both parts.
"""

from __future__ import annotations

from typing import NamedTuple

from ..products.cure_sheet import CureSheet


class Parts(NamedTuple):
    """Masses for a mix of 1: of the resin or base, and of its catalyst or hardener."""

    resin: float
    partner: float


def parts(
    sheet: CureSheet, density: float | None = None, partner_density: float | None = None
) -> Parts | None:
    """The parts of a mix, by mass; None where a ratio by volume lacks a density.

    Catalyst is counted at the greatest percent that the sheet allows, as on a cold day: the stock
    for a job must be enough in any weather (common practice, no source).

    Args:
        density, partner_density: of the liquids, in the same unit.
    """
    if sheet.mix.kind == "one_part":
        return Parts(1, 0)
    if sheet.mix.kind == "catalysed":
        return Parts(1, sheet.percent_limits[1] / 100)
    base, hardener = sheet.mix.parts or (1.0, 0.0)
    if sheet.mix.by == "volume":
        if not density or not partner_density:
            return None
        base, hardener = base * density, hardener * partner_density
    return Parts(base / (base + hardener), hardener / (base + hardener))
