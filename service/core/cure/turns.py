"""The moments at which something turns about a layup, told inwards: for a phone and for a bell.

What is reached is told at the latest that it may be, what shuts at the earliest; so a turn comes
when the sign of the same name does (see `signs`), and nobody is sent to a part too soon. In whole
minutes, as a phone shows them, rounded the same way.
"""

from __future__ import annotations

import math
from typing import Literal, NamedTuple

from .milestones import Milestone, on_part, window

MINUTE_S = 60
CLOSING_SOON_S = 2 * 3600
"""A window this near its end is told before all else."""

Name = Literal[
    "gel", "trim", "recoat_opens", "recoat_closing", "recoat_closes", "sandable", "full_cure",
    "touch", "heat", "probe",
]  # fmt: skip
REACHED: tuple[Name, ...] = ("gel", "trim", "sandable", "full_cure")


class Turn(NamedTuple):
    """What turns and when, epoch s."""

    name: Name
    at: int


def turns(
    found: dict[str, Milestone], cold_from: float | None, trouble_since: float | None = None
) -> list[Turn]:
    """What is still to be told of a layup and what was, by moment.

    A layup in trouble has one turn, 'probe', and one that stalls in the cold has one, 'heat':
    nothing else is promised of it. A window too uncertain to give has 'touch' in the place of its
    ends: try it with a glove.

    Args:
        found: its milestones. cold_from: since when it lies too cold, if that ends its promises.
        trouble_since: since when a hand knows that it is late, suspect or covered unsound.
    """
    if trouble_since is not None:
        return [Turn("probe", _late(trouble_since))]
    if cold_from is not None:
        return [Turn("heat", _early(cold_from))]
    ends = [(name, _reached(found, name).latest) for name in REACHED]
    told = [Turn(name, _late(at)) for name, at in ends if at is not None]
    return sorted([*told, *_window(found)], key=lambda turn: turn.at)


def _reached(found: dict[str, Milestone], name: Name) -> Milestone:
    """What tells that a name is reached: of gel, that on the part."""
    return on_part(found["gel"], found["film"]) if name == "gel" else found[name]


def _window(found: dict[str, Milestone]) -> list[Turn]:
    held, opening = window(found), found["recoat_opens"].at
    if held is not None and (opens := _late(held[0])) < (closes := _early(held[1])):
        soon = max(opens, closes - CLOSING_SOON_S)
        return [
            Turn("recoat_opens", opens),
            Turn("recoat_closing", soon),
            Turn("recoat_closes", closes),
        ]
    return [] if opening is None else [Turn("touch", _late(opening))]


def _late(moment: float) -> int:
    return math.ceil(moment / MINUTE_S) * MINUTE_S


def _early(moment: float) -> int:
    return math.floor(moment / MINUTE_S) * MINUTE_S
