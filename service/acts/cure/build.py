"""Judge how thick a layup is at once, with what below it has not cooled."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from ...core.amounts import sentences as worded
from ...core.cure import build
from ...core.cure.build import Ply
from ...core.cure.forecast import milestones
from ...core.errors import OutsideLimits
from ...core.products.cure_sheet import CureSheet
from ...store.cure import layups
from ...store.cure.layups import Layup
from ..bays import air as bay_air
from . import watch
from .watch import Watched


@dataclass(frozen=True)
class New:
    """What is laid: `thickness` in µm and the `surface` that it is laid on in K, if it was said."""

    kind: str
    sheet: CureSheet
    thickness: Decimal | None
    surface: Decimal | None


def judge(new: New, below: Layup | None, at: int) -> tuple[OutsideLimits | None, list[str]]:
    """What is to be refused of a layup laid on another at a moment (epoch s), and words on it."""
    thickness = None if new.thickness is None else float(new.thickness)
    own = Ply(thickness, new.sheet.build_max, build.is_film(new.kind, thickness))
    surface = None if new.surface is None else float(new.surface)
    hot = [] if thickness is None or own.film else list(_hot(below, at, surface))
    found = build.together(own, [ply for _, ply in hot])
    if found is None:
        return None, []
    total, greatest = found
    if total <= greatest:
        return None, _unknown(hot)
    return _too_thick(thickness or 0.0, total, greatest), []


def _too_thick(own: float, total: float, greatest: float) -> OutsideLimits:
    laid = f"{worded.size(own, 1)} at once"
    if total > own:
        laid = (
            f"{worded.size(own, 1)} on {worded.size(total - own, 1)} that has not cooled to "
            f"within {worded.warmth(build.NEAR_K)} of the shop"
        )
    return OutsideLimits(
        f"{laid} is over the greatest build, {worded.size(greatest, 1)}: it would run hot.",
        advice="Lay it up in steps, and let each cool first: take the temperature of its surface "
        "and give it with the next.",
        pointer="/thickness",
    )


def _unknown(hot: list[tuple[Layup, Ply]]) -> list[str]:
    return [
        f"Nobody said how thick layup {row.id} is, and it has not cooled: with it this may be over "
        "the greatest build."
        for row, ply in hot
        if ply.thickness is None
    ]


def _hot(below: Layup | None, at: int, surface: float | None) -> Iterator[tuple[Layup, Ply]]:
    """What lies below and had not cooled when the next was laid on it, from the top down.

    Args:
        surface: of the uppermost, K, as taken at the moment `at`.
    """
    while below is not None:
        stood = watch.as_it_stood(below, at)
        if stood.touch.scraped_off is None:
            if _cooled(stood, at, surface):
                return
            yield below, _ply(below, stood)
        at, surface = below.applied_at, None
        if below.surface_mk is not None:
            surface = below.surface_mk / 1000
        below = layups.below(below)


def _ply(row: Layup, stood: Watched) -> Ply:
    thickness = None if row.thickness_um is None else float(row.thickness_um)
    return Ply(thickness, stood.layer.sheet.build_max, build.is_film(row.kind, thickness))


def _cooled(stood: Watched, at: int, surface: float | None) -> bool:
    row, gel = stood.row, stood.found["gel"].latest
    started = stood.layer.started
    return build.cooled(
        at,
        finished=float(row.finished_at),
        peaked=None if gel is None else started + build.PEAK_IN_GEL_TIMES * (gel - started),
        sandable=_sandable(stood),
        found_hard=stood.touch.sandable,
        above_air=None if surface is None else surface - bay_air.taken(stood.bay, at).temperature,
    )


def _sandable(stood: Watched) -> float | None:
    """When the clock is sure that it can be sanded, whatever its face; epoch s."""
    uncertainty = bay_air.uncertainty(
        stood.bay, measured_on_part=stood.row.surface_mk is not None
    )  # fmt: skip
    covered = replace(stood.layer, cover="film")
    return milestones(covered, stood.trace, uncertainty)["sandable"].latest
