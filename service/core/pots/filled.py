"""Filled mixes: resin that a filler thickens to a consistency.

    filler = loose parts × bulk density × volume of mixed resin, or g per kg × its mass
    volume = (volume of mixed resin + filler / particle density) / (1 - air)

Volumes of loose filler are never added: most of a bag is air, which the resin fills. Filler takes
no catalyst, and in epoxy it goes in after both parts are mixed.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from ..errors import CureSheetMissing
from ..frozen import frozen
from ..products.fillers import Consistency, Filler

AIR = 0.05
"""The share of a filled mix that is air stirred in (no source)."""


@frozen
class Mixed:
    """Resin mixed with its catalyst or hardener: mg and µL."""

    mass: float
    volume: float

    @property
    def density(self) -> float:
        """Density, mg/L."""
        return self.mass / self.volume * 1e6


@frozen
class Filled:
    """A filled mix: its filler in mg, its volume in µL with the air in it, its density in mg/L."""

    filler: float
    volume: float
    density: float


def mixed(parts: Iterable[tuple[str, float, float | None]]) -> Mixed:
    """The mixed resin of some parts: each a code, a mass in mg, and a liquid's density in mg/L.

    Raises:
        CureSheetMissing: a part's density is not known.
    """
    mass = volume = 0.0
    for code, each, density in parts:
        if not each:
            continue
        if not density:
            raise CureSheetMissing(
                f"{code} has no density, so the volume of the mixed resin is not known.",
                advice=f"Set the 'density' of {code} from its data sheet.",
            )
        mass += each
        volume += each / density * 1e6
    return Mixed(mass, volume)


def filler_for(filler: Filler, consistency: Consistency, resin: Mixed) -> float:
    """The filler that gives mixed resin a consistency, mg.

    Raises:
        CureSheetMissing: the filler lacks the figure, or its bulk density.
    """
    wanted = filler.thickening(consistency)
    if wanted.loose_parts is not None:
        return wanted.loose_parts * filler.needed("bulk_density") * resin.volume / 1e6
    return (wanted.grams_per_kg or 0.0) * resin.mass / 1e3


def fill(filler: Filler, mass: float, resin: Mixed) -> Filled:
    """Mixed resin with so much of a filler (mg) stirred in.

    Raises:
        CureSheetMissing: the filler's particle density is not known.
    """
    grains = mass / filler.needed("particle_density") * 1e6
    volume = (resin.volume + grains) / (1 - AIR)
    return Filled(mass, volume, (resin.mass + mass) / volume * 1e6)


def for_volume(filler: Filler, consistency: Consistency, resin: Mixed, volume: float) -> float:
    """How many times so much mixed resin, thickened, makes up a volume of the filled mix (µL).

    Raises: as `filler_for` and `fill`.
    """
    return volume / fill(filler, filler_for(filler, consistency, resin), resin).volume


def layers(thickness: float, build_max: float | None) -> int | None:
    """In how many layers to lay a thickness, none over the sheet's greatest build.

    Args:
        thickness, build_max: µm. None where the sheet gives none: it is not guessed.
    """
    if not build_max:
        return None
    return max(ceil(round(thickness / build_max, 9)), 1)
