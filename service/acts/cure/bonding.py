"""The bond of a layup with the layer below, by how that was when the layup was laid on it."""

from __future__ import annotations

from ...core.cure import compatibility, handing_over, recoat
from ...core.cure.recoat import Stand
from ...core.frozen import frozen
from ...store.cure import layups
from ...store.cure.layups import Layup
from .watch import Watched


@frozen
class Bond:
    """The bond of one layer on another.

    Attributes:
        stand: where the moment was in the recoat window. steps: of the preparation, not done yet.
        sanded_at: when the layer below was last sanded before, epoch s, or None.
        warning: a word on the one chemistry on the other, or None.
    """

    stand: Stand
    steps: tuple[str, ...]
    sanded_at: int | None
    warning: str | None


def bond(below: Watched, row: Layup, at: int) -> Bond:
    """The bond of a layup that was laid at a moment (epoch s) on a watched layer."""
    layer = below.layer
    stand = below.recoat_stand(at)
    seen = [each for each in below.believed if each.at <= at]
    sanded = [each.at for each in seen if each.kind == "sanded"]
    hard_from = handing_over.hard_from(layer.sheet.hardness_min, below.row.product.chemistry)
    touch = layups.touch(seen, hard_from, layer.sheet.hardness_scale)
    structural = row.job.structural != "no"
    steps = recoat.prepare(layer.surface, stand, layer.cover).steps
    if stand == "open" and recoat.needs_touch(below.found, felt=touch.felt, structural=structural):
        steps = (*steps, recoat.TOUCH)
    if stand == "touch" and touch.felt:
        steps = ()
    found = compatibility.on_top(
        row.product.chemistry,
        below.row.product.chemistry,
        structural=structural,
        tacky=below.found["sandable"].why == "tacky-surface" and not sanded,
    )
    return Bond(
        stand,
        recoat.left_to_do(
            steps,
            hard=touch.hard is not None,
            wiped=touch.wiped is not None,
            abraded=touch.abraded,
            blush=touch.blush is not None,
        ),
        max(sanded, default=None),
        None if found is None else f"{found.severity.capitalize()}: {found.reason}.",
    )
