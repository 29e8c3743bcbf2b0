"""What must be done to a layer before the next one goes on it.

Two tables with their reasons: what the surface wants by where its window stands, and what
chemistry goes on what. Common practice, no source, but where a row names one.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from ..products import cautions
from ..products.cure_sheet import Surface

Cover = Literal["none", "peel_ply", "film"]
Stand = Literal["before", "open", "past"]
Severity = Literal["caution", "stop"]

Face = Literal["polystyrene", "old_polyester", "old_epoxy", "unknown"]
Binder = Literal["none", "emulsion", "powder"]

FACES: tuple[Face, ...] = ("polystyrene", "old_polyester", "old_epoxy", "unknown")
"""What a layup may lie on that is no layup of the yard's."""
BINDERS: tuple[Binder, ...] = ("none", "emulsion", "powder")
BOUND: tuple[Binder, ...] = ("emulsion", "powder")
COVERS: tuple[Cover, ...] = ("none", "peel_ply", "film")


@dataclass(frozen=True)
class Preparation:
    """Steps in order, why, and the cautions that they carry."""

    steps: tuple[str, ...]
    reason: str
    cautions: tuple[str, ...] = ()


_CONFIRM = "confirm that it is hard below the tack"
_WASH = "wash with water and a pad, dry"
_ABRADE = "abrade to an even dull surface, remove the dust"
_WIPE = "solvent-wipe, let dry 15 min"
_STRIP = "strip the cover"
_NOTHING = Preparation((), "still green: the next layer bonds to it chemically")

_BY_SURFACE: Mapping[tuple[Surface, Stand], Preparation] = MappingProxyType(
    {
        ("air_inhibited", "open"): _NOTHING,
        ("air_inhibited", "past"): Preparation(
            (_CONFIRM, _WIPE, "grind to dull"),
            "the tack clogs the paper and hides a cured face that no longer bonds",
            cautions.DUST,
        ),
        ("waxed", "past"): Preparation(
            (_WIPE, _ABRADE), "wax has risen to the face; nothing bonds to wax", cautions.DUST
        ),
        ("amine_blush", "open"): Preparation(
            (), "still green: bonds chemically; if it feels greasy, wash it first"
        ),
        ("amine_blush", "past"): Preparation(
            (_WASH, _ABRADE),
            "blush is water-soluble: washed off first, or sanding drives it in",
            (*cautions.DUST, cautions.GREEN_DUST),
        ),
        ("plain", "open"): _NOTHING,
        ("plain", "past"): Preparation(
            (_ABRADE,), "a cured face bonds only to tooth", cautions.DUST
        ),
    }
)
_WAIT = Preparation(("wait",), "too soft to be covered")


def surface_of(base: Surface, effects: Iterable[str]) -> Surface:
    """A layer's surface once its additives have acted: wax added makes it a waxed one."""
    return "waxed" if "waxes" in set(effects) else base


def has_window(surface: Surface) -> bool:
    """Whether the next layer can bond without abrading at all once it has gelled."""
    return surface not in ("waxed", "unknown")


def prepare(surface: Surface, stand: Stand, cover: Cover) -> Preparation:
    """What to do to a surface before the next layer, by where its recoat window stands.

    An unknown surface is treated as waxed and past its window. A cover comes off first; a
    peel ply or film keeps the wax and the tack away, so what is left is a plain face.
    """
    known: Surface = "waxed" if surface == "unknown" else surface
    if stand == "before":
        return _WAIT
    if cover != "none":
        below = _BY_SURFACE["plain", stand]
        return Preparation((_STRIP, *below.steps), below.reason, below.cautions)
    return _BY_SURFACE["waxed", "past"] if known == "waxed" else _BY_SURFACE[known, stand]


def left_to_do(
    steps: Iterable[str], *, hard: bool = False, wiped: bool = False, abraded: bool = False,
    blush: bool = False,
) -> tuple[str, ...]:  # fmt: skip
    """The steps that hands have not done yet.

    Args:
        hard, wiped, abraded: what a hand found or did. blush: whether it was seen on it since.
    """
    if abraded:
        return ()
    done = {_CONFIRM} if hard else set()
    done |= {_CONFIRM, _WIPE} if wiped else set()
    left = tuple(step for step in steps if step not in done)
    return (_WASH, *left) if blush and _WASH not in left else left


@dataclass(frozen=True)
class Finding:
    """A word about one chemistry on another: how grave, and why."""

    severity: Severity
    reason: str


_STYRENATED = ("polyester", "vinyl_ester")


def on_top(
    over: str | None, under: str | None, *, structural: bool, tacky: bool = False
) -> Finding | None:
    """What the trade says of one chemistry laid on another; None where it says nothing.

    Args:
        over, under: chemistries of the new layer and of the one below.
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


_CHEMISTRY: Mapping[Face, str] = MappingProxyType(
    {"polystyrene": "polystyrene", "old_polyester": "polyester", "old_epoxy": "epoxy"}
)


def on_face(over: str | None, face: str, *, structural: bool) -> Finding | None:
    """As `on_top`, on what is no layup of the yard's: an old hull, a foam core.

    Args:
        face: one of `FACES`.
    """
    if face in _CHEMISTRY:
        return on_top(over, _CHEMISTRY[face], structural=structural)  # type: ignore[index]
    if over in _STYRENATED:
        return Finding(
            "caution",
            "nobody knows what lies below: on epoxy this bonds weakly, and styrene dissolves "
            "polystyrene foam; test a patch first, or use epoxy",
        )
    return None


def on_mat(resin: str | None, binder: str | None) -> Finding | None:
    """What the trade says of a mat under a resin; None where it says nothing.

    Args:
        binder: one of `BINDERS`, or None where nobody said: then it is no finding.
    """
    if resin == "epoxy" and binder in BOUND:
        return Finding(
            "caution",
            f"its {binder} binder is made to dissolve in styrene, and epoxy has none: it wets out "
            "badly and stays stiff; use stitched mat or cloth",
        )
    return None
