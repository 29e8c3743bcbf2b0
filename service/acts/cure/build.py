"""Judge how thick a layup is at once, together with the layers below that have not cooled."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from ...core.amounts.sentences import size, warmth
from ...core.cure import build
from ...core.cure.build import Ply
from ...core.cure.forecast import milestones
from ...core.errors import OutsideLimits
from ...core.frozen import frozen
from ...core.products.cure_sheet import CureSheet
from ...core.words import Text, say
from ...store.cure import layups
from ...store.cure.layups import Layup
from ..bays import air
from . import watch
from .watch import Watched


@frozen
class New:
    """A layer to lay: its `thickness` in µm and the `surface` below it in K, or None if unsaid."""

    kind: str
    sheet: CureSheet
    thickness: Decimal | None
    surface: Decimal | None


def judge(new: New, below: Layup | None, at: int) -> tuple[OutsideLimits | None, list[Text]]:
    """Why a layup that is laid on another at a moment (epoch s) is too thick, or words on it."""
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
    laid = say("{} at once", size(own, 1))
    if total > own:
        laid = say(
            "{} on {} that has not cooled to within {} of the shop",
            size(own, 1),
            size(total - own, 1),
            warmth(build.NEAR_K),
        )
    return OutsideLimits(
        say("{} is over the greatest build, {}: it would run hot.", laid, size(greatest, 1)),
        advice="Lay it up in steps, and let each cool first: take the temperature of its surface "
        "and give it with the next.",
        pointer="/thickness",
    )


def _unknown(hot: list[tuple[Layup, Ply]]) -> list[Text]:
    return [
        f"Nobody said how thick layup {row.id} is, and it has not cooled: with it this may be over "
        "the greatest build."
        for row, ply in hot
        if ply.thickness is None
    ]


def _hot(below: Layup | None, at: int, surface: float | None) -> Iterator[tuple[Layup, Ply]]:
    """The layers below that had not cooled when the next was laid on them, from the top down.

    Args:
        surface: temperature of the uppermost at the moment `at`, K, or None.
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
    if stood.moisture is not None:  # it cures too slowly to run hot
        return True
    row, gel = stood.row, _gelled(stood)
    started = stood.layer.started
    return build.cooled(
        at,
        finished=float(row.finished_at),
        peaked=None if gel is None else started + build.PEAK_IN_GEL_TIMES * (gel - started),
        sandable=_sandable(stood),
        found_hard=stood.touch.sandable,
        above_air=None if surface is None else surface - air.taken(stood.bay, at).temperature,
    )


def _gelled(stood: Watched) -> float | None:
    """When it has surely gelled, by what hands saw and without it too; epoch s.

    Who finds it hard very early says that it is fast, and not that its heat is over.
    """
    bare = stood.layer.refitted(stood.layer.law)
    unseen = milestones(bare, stood.trace, stood.doubt)["gel"].latest
    seen = stood.found["gel"].latest
    return None if seen is None or unseen is None else max(seen, unseen)


def _sandable(stood: Watched) -> float | None:
    """When the clock is sure that it is hard enough to sand, tacky or not; epoch s."""
    covered = replace(stood.layer, cover="film", hard_at=None)
    return milestones(covered, stood.trace, stood.doubt)["sandable"].latest
