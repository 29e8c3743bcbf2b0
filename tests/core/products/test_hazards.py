"""What a product is follows its chemistry, whatever role it has."""

from __future__ import annotations

import pytest
from cureyard_service.core.products import cautions, hazards
from cureyard_service.core.products.hazards import natures
from cureyard_service.core.products.materials import CHEMISTRIES, EFFECTS, MEASURE_OF_ROLE
from hypothesis import given
from hypothesis import strategies as st

roles = st.sampled_from(sorted(MEASURE_OF_ROLE))
chemistries = st.none() | st.sampled_from(CHEMISTRIES)


@pytest.mark.parametrize(
    ("role", "chemistry", "found"),
    [
        ("hardener", "benzoyl_peroxide", {"peroxide"}),  # the paste of every putty
        ("filler", "ketone_peroxide", {"peroxide"}),
        ("catalyst", None, {"peroxide"}),
        ("catalyst", "polyester", {"peroxide"}),
        ("catalyst", "silicone", set()),
        ("hardener", "isocyanate", {"isocyanate"}),
        ("hardener", "polyurethane", {"isocyanate"}),
        ("hardener", "amine", set()),
        ("promoter", None, {"promoter"}),
        ("filler", "cobalt", {"promoter"}),
        ("sundry", "acetone", {"acetone"}),
        ("resin", "polyester", set()),
    ],
)
def test_by_chemistry(role: str, chemistry: str | None, found: set[str]) -> None:
    """Common practice, no source: a catalyst that says nothing is a peroxide."""
    assert natures(role, chemistry) == found


@given(roles, chemistries, st.sets(st.sampled_from(EFFECTS)))
def test_no_role_hides_a_hazard(role: str, chemistry: str | None, effects: set[str]) -> None:
    """A peroxide, a promoter, acetone or an isocyanate is one in every role."""
    found = natures(role, chemistry, effects)
    assert ("peroxide" in found) >= (chemistry in hazards.PEROXIDE_CHEMISTRIES)
    assert ("promoter" in found) >= ("promotes" in effects or chemistry == "cobalt")
    assert ("acetone" in found) == (chemistry == "acetone")
    assert ("isocyanate" in found) >= (chemistry == "isocyanate")
    assert "peroxide" in natures(role, chemistry, effects, stated_peroxide=True)


@given(roles, chemistries)
def test_the_label_says_so(role: str, chemistry: str | None) -> None:
    """A container that can explode says it, whatever is in it besides."""
    found = natures(role, chemistry)
    feared = "peroxide" in found or found & hazards.FEARED_BY_PEROXIDE
    assert bool(cautions.for_label(found)) == bool(feared)
    assert ("PEROXIDE" in cautions.for_label(found)) == ("peroxide" in found)


def test_a_mix_says_what_its_hardener_is() -> None:
    """A putty by its ratio has peroxide in it all the same; a paint's hardener isocyanate."""
    putty = cautions.for_mix("two_part", "polyester", natures("hardener", "benzoyl_peroxide"))
    assert set(cautions.PEROXIDE) <= set(putty)
    assert len(putty) <= 8
    paint = cautions.for_mix("two_part", "acrylic", natures("hardener", "isocyanate"))
    assert cautions.ISOCYANATE in paint
