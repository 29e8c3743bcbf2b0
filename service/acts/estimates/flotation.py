"""Estimate flotation: the foam that keeps a swamped boat up. Nothing is kept."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from ...core.errors import Invalid
from ...core.estimates import buoyancy, volumes
from .foam import NOT_COMPLIANCE

ZERO = Decimal(0)


def level(
    *, hull: Sequence[dict[str, Any]], foam_density: Decimal, deck: Decimal = ZERO,
    engines: Decimal = ZERO, persons: Decimal = ZERO, capacity: Decimal = ZERO,
    take_up: Decimal = ZERO,
) -> dict[str, Any]:  # fmt: skip
    """Level flotation by the boatbuilder's handbook: foam in µL and mg.

    Args:
        hull: rows of `mass` (mg) with `material` or `specific_gravity`.

    Raises: as `buoyancy.level`, `buoyancy.lift` and `buoyancy.factor`.
    """
    carries = buoyancy.lift(float(foam_density), float(take_up))
    parts = [(float(row["mass"]), _factor(row, k)) for k, row in enumerate(hull)]
    foam = buoyancy.level(
        parts, float(deck), float(engines), float(persons), float(capacity), carries
    )
    for each in (foam.hull, foam.engines, foam.persons):
        volumes.plausible(abs(each))
    return {
        "lift": carries,
        "factors": [k for _, k in parts],
        "hull": foam.hull,
        "engines": foam.engines,
        "persons": foam.persons,
        "total": foam.total,
        "foam": volumes.mass(foam.total, float(foam_density)),
        "cautions": [NOT_COMPLIANCE, *_cautions(take_up, [k for _, k in parts])],
    }


def basic(
    *, persons: Decimal, weight_capacity: Decimal, chambers: Sequence[Decimal] = (),
    foam_density: Decimal | None = None, take_up: Decimal = ZERO,
) -> dict[str, Any]:  # fmt: skip
    """Buoyancy by 33 CFR 183.105, mg; and the foam that gives it, µL, where its density is known.

    Raises: as `buoyancy.basic` and `buoyancy.lift`.
    """
    wanted = volumes.plausible(
        buoyancy.basic(float(persons), float(weight_capacity), [float(c) for c in chambers])
    )
    litres = None
    if foam_density is not None:
        litres = volumes.plausible(
            wanted / buoyancy.lift(float(foam_density), float(take_up)) * 1e6
        )
    return {
        "buoyancy": wanted,
        "total": litres,
        "foam": None if foam_density is None else volumes.mass(litres or 0.0, float(foam_density)),
        "cautions": [
            NOT_COMPLIANCE,
            "The weight of hull, deck and engine under water comes on top of it.",
        ],
    }


def _factor(row: dict[str, Any], number: int) -> float:
    material, gravity = row.get("material"), row.get("specific_gravity")
    if (material is None) == (gravity is None):
        raise Invalid(
            "A part needs either its material or its specific gravity.",
            advice=f"Materials: {', '.join(buoyancy.K_OF)}.",
            pointer=f"/hull/{number}",
        )
    return buoyancy.factor(float(gravity)) if gravity else buoyancy.K_OF[str(material)]


def _cautions(take_up: Decimal, factors: list[float]) -> list[str]:
    found = ["Foam in the engine room or its bilge must stand fuel and oil (33 CFR 183.114)."]
    if not take_up:
        found.append("Nothing is reckoned for the water that foam takes up: see its sheet.")
    if min(factors) < 0:
        found.append("Wood floats and so takes foam away; soaked through it no longer does.")
    return found
