"""One material on another: layers, old hulls, foam, and mats that a binder holds."""

from __future__ import annotations

import pytest
from cureyard_service.core.cure.compatibility import Severity, on_face, on_mat, on_top


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
