"""Compatibility: whether one material cures and bonds on another.

Resin on the layer below, on an old hull or a foam core, and under a mat that a binder holds
together. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from ..frozen import frozen

Severity = Literal["caution", "stop"]
Face = Literal["polystyrene", "old_polyester", "old_epoxy", "unknown"]
Binder = Literal["none", "emulsion", "powder"]

FACES: tuple[Face, ...] = ("polystyrene", "old_polyester", "old_epoxy", "unknown")
"""The surfaces that a layup may go on and that the yard did not lay itself."""
BINDERS: tuple[Binder, ...] = ("none", "emulsion", "powder")
BOUND: tuple[Binder, ...] = ("emulsion", "powder")
"""The binders that hold a mat together."""

_STYRENATED = ("polyester", "vinyl_ester")
_CHEMISTRY: Mapping[str, str] = MappingProxyType(
    {"polystyrene": "polystyrene", "old_polyester": "polyester", "old_epoxy": "epoxy"}
)
"""The chemistry of each face; of an unknown one nobody knows it."""


@frozen
class Finding:
    """A problem with one material on another: how severe it is, and the reason."""

    severity: Severity
    reason: str


def on_top(
    over: str | None, under: str | None, *, structural: bool, tacky: bool = False
) -> Finding | None:
    """The problem with one chemistry laid on another, or None.

    Args:
        over, under: chemistries of the new layer and of the one below; None if not known.
        structural: whether the job carries load (unknown counts as yes).
        tacky: whether the layer below is still air-inhibited and uncovered.
    """
    if over in _STYRENATED and under == "epoxy":
        return Finding(
            "stop" if structural else "caution",
            "polyester, vinyl ester and gel coat cure badly on amine epoxy, and bond weakly",
        )
    if over == "epoxy" and under in _STYRENATED and tacky:
        return Finding("stop", "epoxy does not cure on tacky polyester: seal, cure and abrade it")
    if over in _STYRENATED and under == "polystyrene":
        return Finding("stop", "styrene dissolves polystyrene foam: use epoxy, or seal it")
    return None


def on_face(over: str | None, face: str, *, structural: bool) -> Finding | None:
    """As `on_top`, on a surface that the yard did not lay: an old hull, a foam core.

    Args:
        face: one of `FACES`.
    """
    if face in _CHEMISTRY:
        return on_top(over, _CHEMISTRY[face], structural=structural)
    if over in _STYRENATED:
        return Finding(
            "caution",
            "nobody knows what lies below: on epoxy this bonds weakly, and styrene dissolves "
            "polystyrene foam; test a patch first, or use epoxy",
        )
    return None


def on_mat(resin: str | None, binder: str | None) -> Finding | None:
    """The problem with a mat under a resin, or None.

    Args:
        resin: its chemistry. binder: one of `BINDERS`; None, if nobody said, is no problem.
    """
    if resin == "epoxy" and binder in BOUND:
        return Finding(
            "caution",
            f"its {binder} binder is made to dissolve in styrene, and epoxy has none: it wets out "
            "badly and stays stiff; use stitched mat or cloth",
        )
    return None
