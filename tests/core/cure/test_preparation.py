"""What must be done before the next layer: a row for every surface, stand and cover."""

from __future__ import annotations

from itertools import product

import pytest
from cureyard_service.core.cure.preparation import (
    COVERS,
    Severity,
    Stand,
    has_window,
    on_face,
    on_mat,
    on_top,
    prepare,
    surface_of,
)
from cureyard_service.core.products import cautions
from cureyard_service.core.products.cure_sheet import SURFACES, Surface

STANDS: tuple[Stand, ...] = ("before", "open", "past")


@pytest.mark.parametrize(("surface", "stand"), [*product(SURFACES, STANDS)])
def test_every_surface_has_an_answer_at_every_stand(surface: Surface, stand: Stand) -> None:
    """Nothing falls through, each has its reason, and only an open window wants nothing."""
    for cover in COVERS:
        found = prepare(surface, stand, cover)
        assert found.reason
        steps = [step for step in found.steps if step != "strip the cover"]
        wants_nothing = stand == "open" and (has_window(surface) or cover != "none")
        assert (steps == []) == wants_nothing
        assert (found.steps == ("wait",)) == (stand == "before")


def test_tack_is_washed_off_before_it_is_ground() -> None:
    """Hard below, wiped and dry, then ground: in that order, with the dust's caution."""
    found = prepare("air_inhibited", "past", "none")
    assert [step.split()[0] for step in found.steps] == ["confirm", "solvent-wipe,", "grind"]
    assert "15 min" in found.steps[1]
    assert set(cautions.DUST) <= set(found.cautions)


def test_blush_is_washed_with_water_before_it_is_abraded() -> None:
    """Sanding first would drive it in; under-cured epoxy dust has its own caution."""
    found = prepare("amine_blush", "past", "none")
    assert found.steps[0].startswith("wash with water")
    assert found.steps[1].startswith("abrade")
    assert cautions.GREEN_DUST in found.cautions


def test_wax_is_wiped_and_abraded_even_where_a_window_is_claimed() -> None:
    """Nothing bonds to wax; an unknown surface is taken for a waxed one past its window."""
    waxed = prepare("waxed", "past", "none")
    assert [step.split()[0] for step in waxed.steps] == ["solvent-wipe,", "abrade"]
    assert prepare("waxed", "open", "none") == waxed
    for stand in ("open", "past"):
        assert prepare("unknown", stand, "none") == waxed


@pytest.mark.parametrize("cover", ["peel_ply", "film"])
def test_a_cover_comes_off_first_and_leaves_a_plain_face(cover: str) -> None:
    """It kept the wax and the tack away: strip, then as for a plain face."""
    for surface in SURFACES:
        assert prepare(surface, "open", cover).steps == ("strip the cover",)  # type: ignore[arg-type]
        past = prepare(surface, "past", cover)  # type: ignore[arg-type]
        assert past.steps == ("strip the cover", *prepare("plain", "past", "none").steps)


def test_wax_added_makes_a_waxed_surface() -> None:
    """An additive changes the surface that the sheet names; the others don't."""
    assert surface_of("air_inhibited", ["thins", "waxes"]) == "waxed"
    assert surface_of("air_inhibited", ["thins", "pigments", "promotes"]) == "air_inhibited"
    assert [surface for surface in SURFACES if has_window(surface)] == [
        "air_inhibited", "amine_blush", "plain",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("over", "under", "structural", "tacky", "severity"),
    [
        ("polyester", "epoxy", True, False, "stop"),
        ("polyester", "epoxy", False, False, "caution"),
        ("vinyl_ester", "epoxy", True, False, "stop"),
        ("epoxy", "polyester", True, True, "stop"),
        ("epoxy", "vinyl_ester", False, True, "stop"),
        ("epoxy", "polyester", True, False, None),
        ("polyester", "polystyrene", False, False, "stop"),
        ("epoxy", "polystyrene", True, False, None),
        ("polyester", "vinyl_ester", True, True, None),
        ("epoxy", "epoxy", True, True, None),
        (None, "epoxy", True, True, None),
    ],
)
def test_what_goes_on_what(
    over: str | None, under: str, structural: bool, tacky: bool, severity: Severity | None
) -> None:
    """Common practice: styrenated resin on epoxy, epoxy on tack, styrene on its foam."""
    found = on_top(over, under, structural=structural, tacky=tacky)
    assert (found.severity if found else None) == severity
    assert found is None or found.reason


@pytest.mark.parametrize(
    ("over", "face", "structural", "severity"),
    [
        ("polyester", "polystyrene", False, "stop"),
        ("epoxy", "polystyrene", True, None),
        ("vinyl_ester", "old_epoxy", True, "stop"),
        ("polyester", "old_epoxy", False, "caution"),
        ("epoxy", "old_epoxy", True, None),
        ("epoxy", "old_polyester", True, None),
        ("polyester", "old_polyester", True, None),
        ("polyester", "unknown", False, "caution"),
        ("epoxy", "unknown", True, None),
        (None, "unknown", True, None),
    ],
)
def test_what_goes_on_an_old_hull(
    over: str | None, face: str, structural: bool, severity: Severity | None
) -> None:
    """The same rules as on a layer of the yard's own; what nobody knows is never a stop."""
    found = on_face(over, face, structural=structural)
    assert (found.severity if found else None) == severity


@pytest.mark.parametrize(
    ("resin", "binder", "said"),
    [("epoxy", "emulsion", True), ("epoxy", "powder", True), ("epoxy", "none", False),
     ("epoxy", None, False), ("polyester", "emulsion", False), (None, "powder", False)],
)  # fmt: skip
def test_a_binder_dissolves_in_styrene_alone(
    resin: str | None, binder: str | None, said: bool
) -> None:
    """A caution, and only where somebody said what holds the mat."""
    found = on_mat(resin, binder)
    assert (found is not None) == said
    assert found is None or found.severity == "caution"
