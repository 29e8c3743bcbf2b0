"""What a layup is promised when it is laid: kept as it was told."""

from __future__ import annotations

import json

from ...core.cure.milestones import Milestone
from ...core.cure.score import Promise
from ...store.cure.layups import Layup
from .watch import Watched

STAGES = ("gel", "film", "recoat_opens", "sandable")
"""The stages that hands look at."""
_FROM_MIXING = ("gel", "film")


def told(watched: Watched, sure: float) -> str:
    """The promises of a layup as JSON: moments in epoch s, and what they rest on.

    Args:
        sure: the chance on the other side of each edge.
    """
    belief = watched.layer.pots[0].belief
    stages = {name: _span(watched.found[name]) for name in STAGES}
    return json.dumps(
        {
            "sure": sure,
            "E": belief.E,
            "mean": belief.m,
            "spread": belief.spread,
            "stages": {name: span for name, span in stages.items() if span is not None},
        }
    )


def promises(row: Layup, started: float) -> list[Promise]:
    """The promises of a layup whose first pot was mixed at a moment; none of an old layup."""
    kept = {} if row.told is None else json.loads(row.told)["stages"]
    since = {name: started if name in _FROM_MIXING else row.finished_at for name in kept}
    return [Promise(name, since[name], *span) for name, span in kept.items()]


def _span(found: Milestone) -> tuple[float, float, float | None] | None:
    if found.at is None or found.earliest is None:
        return None
    return found.earliest, found.at, found.latest
