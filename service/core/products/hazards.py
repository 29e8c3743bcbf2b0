"""What a product is by its chemistry, whatever role it has: what burns, explodes or sensitises."""

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
)  # fmt: skip
"""A catalyst of one of these chemistries is no peroxide. Any other catalyst is taken for one,
above all where nobody stated its chemistry: to fear it too much does no harm."""

FEARED_BY_PEROXIDE: frozenset[Nature] = frozenset({"promoter", "acetone"})
"""Never mixed in one step, nor stored, with an organic peroxide (TM 38-410)."""
ENDS_FOR_GOOD: frozenset[Nature] = frozenset({"peroxide", "isocyanate"})
"""Life type I: never extended, never used after its date."""


def natures(
    role: str,
    chemistry: str | None = None,
    effects: Collection[str] = (),
    *,
    stated_peroxide: bool = False,
) -> frozenset[Nature]:
    """What a product is.

    Args:
        effects: what it does to a mix. stated_peroxide: whether the catalogue has its active
            oxygen or its peroxide type, which nothing but a peroxide has.
    """
    found: set[Nature] = set()
    taken_for_one = role in PEROXIDE_ROLES and chemistry not in NO_PEROXIDE
    if chemistry in PEROXIDE_CHEMISTRIES or stated_peroxide or taken_for_one:
        found.add("peroxide")
    # a polyurethane's hardener is its isocyanate half, by whichever name it was entered
    if chemistry == "isocyanate" or (role, chemistry) == ("hardener", "polyurethane"):
        found.add("isocyanate")
    if role in PROMOTER_ROLES or chemistry in PROMOTER_CHEMISTRIES or "promotes" in effects:
        found.add("promoter")
    if chemistry == "acetone":
        found.add("acetone")
    return frozenset(found)
