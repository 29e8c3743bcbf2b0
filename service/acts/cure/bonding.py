"""What a layer meant for the bond of the next one, as it stood when that was laid on it."""

from __future__ import annotations

from dataclasses import dataclass

from ...core.cure import compatibility, handing_over, recoat
from ...core.cure.recoat import Stand
from ...store.cure import layups
from ...store.cure.layups import Layup
from .watch import Watched


@dataclass(frozen=True)
class Bond:
    """Where a layer stood, what it wanted done first, and a word on one chemistry on another.

    Attributes:
        sanded_at: when it was last sanded before, epoch s, or None.
    """

    stand: Stand
    steps: tuple[str, ...]
    sanded_at: int | None
    warning: str | None


def bond(below: Watched, row: Layup, at: int) -> Bond:
    """What a watched layer meant for a layup laid on it at a moment (epoch s)."""
    layer = below.layer
    stand = recoat.stand(below.found, at)
    seen = [each for each in below.seen if each.at <= at]
    sanded = [each.at for each in seen if each.kind == "sanded"]
    hard_from = handing_over.hard_from(layer.sheet.barcol_min, below.row.product.chemistry)
    touch = layups.touch(seen, hard_from)
    steps = recoat.prepare(layer.surface, stand, layer.cover).steps
    found = compatibility.on_top(
        row.product.chemistry,
        below.row.product.chemistry,
        structural=row.job.structural != "no",
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
