"""The rows of the wall as they are written: names cut to their room, the form, the pages.

A wall of 26 rows shows them all. Of more, trouble stays; so do the deadlines of this hour, while
they are few; the rest turns by pages.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from ...acts.wall.now import AirView
from ...acts.wall.ribbon import RibbonView
from ...acts.wall.rows import RowView
from ...acts.wall.wall import WallView
from ...core.amounts.quantities import MASS, TEMPERATURE
from ...core.frozen import frozen
from ..context import clock_faces
from ..drawings import ribbons
from ..drawings.letters import cut_apart, cut_end, width
from ..drawings.ribbons import Ribbon

Form = Literal["none", "few", "some", "many"]
FEW, SOME, MANY = 4, 13, 26
"""The most rows of each form."""
TROUBLE_STAYS, ENDING_STAYS = 12, 6
"""Rows of trouble that stay on every page; the most deadlines of this hour that do."""
CRAFT_ROOM, CRAFT = 128.0, 28.0
"""The widest that a craft is written beside a name, and the size of its letters, px of 1920."""
NAME: dict[Form, tuple[float, float]] = {
    "none": (37.0, 540.0), "many": (37.0, 547.0), "some": (43.0, 555.0), "few": (54.0, 740.0),
}  # fmt: skip
"""The size of a name's letters and the room for it, with its craft where that is beside it."""


@frozen
class Line:
    """A row as it is written.

    Attributes:
        page: the page that it is on, from 1, or None where it is on each.
        begins: whether it begins a group. air: how its bay's air is known, in words.
    """

    row: RowView
    name: str
    cut: str
    craft: str
    craft_cut: str
    ribbon: Ribbon
    page: int | None
    begins: bool
    air: str


@frozen
class Lines:
    """The rows of a wall. `more` is how many in trouble are not on every page."""

    form: Form
    lines: list[Line]
    pages: int
    more: int


def lines(shown: WallView, moment: int) -> Lines:
    """The rows of a wall, in their order."""
    form, found = form_of(len(shown.rows)), shown.rows
    pages, turned = turned_pages(found)
    names, crafts = [_name(row) for row in found], [_craft(row) for row in found]
    cut_crafts = [cut_end(each.removeprefix("the "), CRAFT, CRAFT_ROOM) for each in crafts]
    size, room = NAME[form]
    rooms = [room - (width(each, CRAFT) if form == "many" else 0) for each in cut_crafts]
    cuts = cut_apart(names, size, rooms)
    airs = {bay.air.code: _air(bay.air) for bay in shown.bays} if form == "few" else {}
    groups = [row.do.urgency for row in found]
    made = [
        Line(
            row=row,
            name=names[place],
            cut=cuts[place],
            craft=crafts[place],
            craft_cut=cut_crafts[place],
            ribbon=ribbons.draw_row(row, moment, form, _ribbon(shown, row)),
            page=turned[place],
            begins=place > 0 and groups[place] != groups[place - 1],
            air=airs.get(row.layup.bay, "") if row.layup else "",
        )
        for place, row in enumerate(found)
    ]
    trouble = groups.count("trouble")
    return Lines(form, made, pages, max(trouble - TROUBLE_STAYS, 0) if pages > 1 else 0)


def form_of(count: int) -> Form:
    """The form for so many rows."""
    return "none" if count == 0 else "few" if count <= FEW else "some" if count <= SOME else "many"


def turned_pages(found: Sequence[RowView]) -> tuple[int, list[int | None]]:
    """How many pages there are, and each row's page; None where it is on each."""
    if len(found) <= MANY:
        return 1, [None] * len(found)
    trouble = [row.do.urgency == "trouble" for row in found]
    ending = [row.do.urgency == "ending" for row in found]
    stays = [
        (trouble[place] and sum(trouble[:place]) < TROUBLE_STAYS)
        or (ending[place] and sum(ending) <= ENDING_STAYS)
        for place in range(len(found))
    ]
    room = MANY - sum(stays) - (sum(trouble) > TROUBLE_STAYS)
    turned: list[int | None] = []
    count = 0
    for stay in stays:
        turned.append(None if stay else count // room + 1)
        count += not stay
    return -(-count // room), turned


def _air(air: AirView) -> str:
    heat = clock_faces.amount(air.temperature, TEMPERATURE)
    if air.read is None:
        return f"{heat}, assumed"
    read = clock_faces.clock(air.read.at)
    return f"{heat}, read {read}" if air.basis == "measured" else f"{heat}, assumed since {read}"


def _name(row: RowView) -> str:
    if row.pot is None:
        return row.layup.title if row.layup else ""
    amount = clock_faces.amount(row.pot.amount, MASS)
    return f"Pot {row.pot.id}, {row.pot.resin} {amount}"


def _craft(row: RowView) -> str:
    return (row.layup or row.pot).craft  # type: ignore[union-attr]


def _ribbon(shown: WallView, row: RowView) -> RibbonView | None:
    return shown.ribbons[row.layup.id] if row.layup else None
