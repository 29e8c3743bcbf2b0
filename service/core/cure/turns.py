"""Turns: the moments at which a layup changes, for a phone's calendar and for the bell.

A turn comes when the sign of the same name does (see `signs`): what is reached, at its latest
moment; what shuts, at its earliest. So nobody is sent to a part too soon. Turns are in the
hours that every screen shows, rounded to the same side.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from ..amounts.hours import closing, opening
from .milestones import Milestone, on_part
from .recoat import window

CLOSING_SOON_S = 2 * 3600
"""A window that shuts within this time comes before everything else."""

Name = Literal[
    "gel", "trim", "recoat_opens", "recoat_closing", "recoat_closes", "sandable", "full_cure",
    "touch", "heat", "probe", "tool", "through", "bag_off", "post_cured",
]  # fmt: skip
REACHED: tuple[Name, ...] = ("gel", "trim", "sandable", "full_cure")


class Turn(NamedTuple):
    """The name of a turn and its moment, epoch s."""

    name: Name
    at: int


def turns(
    found: dict[str, Milestone],
    cold_from: float | None,
    trouble_since: float | None = None,
    hold: float | None = None,
    heated: float | None = None,
) -> list[Turn]:
    """All turns of a layup, past and to come, in the order of time.

    A layup in trouble has one turn, 'probe'; one that stalls in the cold has one, 'heat'. Where
    the window is too uncertain to promise, 'touch' takes the place of its two ends.

    Args:
        found: its milestones. cold_from: since when it stalls in the cold, epoch s, or None.
        trouble_since: since when a hand knows that it is late, suspect or covered unsound, epoch
            s, or None.
        hold: until when it is held under a bag. heated: when its post-cure ends, if that goes on.
            Epoch s, or None.
    """
    if trouble_since is not None:
        return [Turn("probe", opening(trouble_since))]
    if cold_from is not None:
        return [Turn("heat", closing(cold_from))]
    if "skin" in found:
        return _by_moisture(found)
    ends = [(name, _reached(found, name).latest) for name in REACHED]
    reached = [Turn(name, opening(at)) for name, at in ends if at is not None]
    held = [] if hold is None else [Turn("bag_off", opening(hold))]
    held += [] if heated is None else [Turn("post_cured", opening(heated))]
    return sorted([*reached, *_window(found), *held], key=lambda turn: turn.at)


def _by_moisture(found: dict[str, Milestone]) -> list[Turn]:
    """Of a layup that cures by moisture: until when to tool it, and when it is cured through."""
    skin, through = found["skin"], found["through"]
    known = []
    if skin.earliest is not None and skin.basis != "observed":
        known.append(Turn("tool", closing(skin.earliest)))
    if through.latest is not None:
        known.append(Turn("through", opening(through.latest)))
    return known


def _reached(found: dict[str, Milestone], name: Name) -> Milestone:
    """The milestone behind a turn: for gel, that on the part."""
    return on_part(found["gel"], found["film"]) if name == "gel" else found[name]


def _window(found: dict[str, Milestone]) -> list[Turn]:
    held, likely = window(found), found["recoat_opens"].at
    if held is not None and (opens := opening(held[0])) < (closes := closing(held[1])):
        soon = max(opens, closes - CLOSING_SOON_S)
        return [
            Turn("recoat_opens", opens),
            Turn("recoat_closing", soon),
            Turn("recoat_closes", closes),
        ]
    return [] if likely is None else [Turn("touch", opening(likely))]
