"""Flotation: the foam that keeps a swamped boat up, of the parts that somebody names."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Annotated, Any

from ..amounts.quantities import DENSITY, MASS, VOLUME
from ..amounts.views import View
from ..errors import Invalid
from ..frozen import frozen
from . import buoyancy, volumes
from .buoyancy import Level
from .foam import NOT_COMPLIANCE


@frozen
class FlotationView(Level):
    """Foam for hull, engines and persons; below zero it floats. Not a compliance figure."""

    lift: Annotated[float, DENSITY]
    factors: list[float]
    foam: Annotated[float, MASS]
    cautions: list[str]


@frozen
class BasicFlotationView(View):
    """Buoyancy, and foam where its density is known. Not a compliance figure."""

    buoyancy: Annotated[float, MASS]
    total: Annotated[float, VOLUME] | None
    foam: Annotated[float, MASS] | None
    cautions: list[str]


def level(
    *, hull: Sequence[Mapping[str, Any]], foam_density: float, deck: float = 0.0,
    engines: float = 0.0, persons: float = 0.0, capacity: float = 0.0, take_up: float = 0.0,
) -> FlotationView:  # fmt: skip
    """Level flotation by the boatbuilder's handbook; masses in mg, densities in mg/L.

    Args:
        hull: rows of `mass` (mg) with `material` or `specific_gravity`.

    Raises: as `buoyancy.level`, `buoyancy.lift` and `buoyancy.factor`.
    """
    carries = buoyancy.lift(foam_density, take_up)
    factors = [_factor(row, number) for number, row in enumerate(hull)]
    parts = [(row["mass"], k) for row, k in zip(hull, factors, strict=True)]
    foam = buoyancy.level(parts, deck, engines, persons, capacity, carries)
    for each in (foam.hull, foam.engines, foam.persons):
        volumes.plausible(abs(each))
    return FlotationView(
        **vars(foam),
        lift=carries,
        factors=factors,
        foam=volumes.plausible(foam.total * foam_density / 1e6),
        cautions=[NOT_COMPLIANCE, *_cautions(take_up, factors)],
    )


def basic(
    *, persons: float, weight_capacity: float, chambers: Sequence[float] = (),
    foam_density: float | None = None, take_up: float = 0.0,
) -> BasicFlotationView:  # fmt: skip
    """Buoyancy by 33 CFR 183.105, and the foam that gives it, where its density is known.

    Args:
        persons, weight_capacity: mg. chambers: µL. foam_density, take_up: mg/L.

    Raises: as `buoyancy.basic` and `buoyancy.lift`.
    """
    wanted = volumes.plausible(buoyancy.basic(persons, weight_capacity, chambers))
    litres = None
    if foam_density is not None:
        litres = volumes.plausible(wanted / buoyancy.lift(foam_density, take_up) * 1e6)
    return BasicFlotationView(
        buoyancy=wanted,
        total=litres,
        foam=None if litres is None else volumes.mass(litres, foam_density),
        cautions=[
            NOT_COMPLIANCE,
            "The weight of hull, deck and engine under water comes on top of it.",
        ],
    )


def _factor(row: Mapping[str, Any], number: int) -> float:
    material, gravity = row.get("material"), row.get("specific_gravity")
    if (material is None) == (gravity is None):
        raise Invalid(
            "A part needs either its material or its specific gravity.",
            advice=f"Materials: {', '.join(buoyancy.K_OF)}.",
            pointer=f"/hull/{number}",
        )
    return buoyancy.factor(gravity) if gravity else buoyancy.K_OF[str(material)]


def _cautions(take_up: float, factors: list[float]) -> list[str]:
    found = ["Foam in the engine room or its bilge must stand fuel and oil (33 CFR 183.114)."]
    if not take_up:
        found.append("Nothing is reckoned for the water that foam takes up: see its sheet.")
    if min(factors) < 0:
        found.append("Wood floats and so takes foam away; soaked through it no longer does.")
    return found
