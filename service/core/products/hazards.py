"""Hazards: the dangerous natures of a product, by its chemistry and its role."""

from __future__ import annotations

from collections.abc import Collection
from typing import Literal

Nature = Literal["peroxide", "isocyanate", "promoter", "acetone"]

PEROXIDE_CHEMISTRIES = frozenset({"ketone_peroxide", "benzoyl_peroxide"})
PROMOTER_CHEMISTRIES = frozenset({"cobalt"})
PEROXIDE_ROLES = frozenset({"catalyst"})
PROMOTER_ROLES = frozenset({"promoter"})
NO_PEROXIDE = frozenset(
    {"amine", "cobalt", "isocyanate", "polysulfide", "polyurethane", "silicone"}
)
"""A catalyst of one of these chemistries is no peroxide. Any other catalyst counts as one, also if
nobody stated its chemistry: too much caution does no harm."""

FEARED_BY_PEROXIDE: frozenset[Nature] = frozenset({"promoter", "acetone"})
"""Never mixed in one step, nor stored, with an organic peroxide (TM 38-410 / DLAM 4145.11, Storage
and Handling of Hazardous Materials)."""
ENDS_FOR_GOOD: frozenset[Nature] = frozenset({"peroxide", "isocyanate"})
"""Shelf life of type I: never extended, never used after its date (DoD 4140.27-M, Shelf-Life
Management Manual, 2003)."""


def natures(
    role: str,
    chemistry: str | None = None,
    effects: Collection[str] = (),
    *,
    stated_peroxide: bool = False,
) -> frozenset[Nature]:
    """The dangerous natures of a product.

    Args:
        effects: on a mix, see `materials.EFFECTS`. stated_peroxide: whether the catalogue has its
            active oxygen or its peroxide type, which only a peroxide has.
    """
    found: set[Nature] = set()
    presumed = role in PEROXIDE_ROLES and chemistry not in NO_PEROXIDE
    if chemistry in PEROXIDE_CHEMISTRIES or stated_peroxide or presumed:
        found.add("peroxide")
    # The hardener of a polyurethane is its isocyanate half, whichever name it was entered under.
    if chemistry == "isocyanate" or (role, chemistry) == ("hardener", "polyurethane"):
        found.add("isocyanate")
    if role in PROMOTER_ROLES or chemistry in PROMOTER_CHEMISTRIES or "promotes" in effects:
        found.add("promoter")
    if chemistry == "acetone":
        found.add("acetone")
    return frozenset(found)
