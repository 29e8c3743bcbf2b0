"""The rows of the wall and of 'now': each layup and each pot that was not laid up, in their order.

Trouble comes first; then what ends within the hour; then where a hand is wanted; then the rest by
the hour; last what has no hurry.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from ...core.amounts.views import View
from ...core.cure import standing
from ...core.cure.signs import Sign
from ...core.frozen import frozen
from ..cure.do import URGENCIES, DoView
from ..cure.show import LayupView, show_layup
from ..cure.watch import Watched
from ..plan import job_plan
from ..pots.unlaid import UnlaidPotView


@frozen
class RowView(View):
    """A row: a layup, or a pot that was not laid up.

    Attributes:
        state: the sign that counts most, or 'pot'. seen: whether a hand saw it so.
        looked, missed: when a hand last found it set, and when last wet; epoch s.
    """

    state: Sign | Literal["pot"]
    seen: bool
    do: DoView
    looked: float | None = None
    missed: float | None = None
    layup: LayupView | None = None
    pot: UnlaidPotView | None = None


def show_laid(watched: Sequence[Watched]) -> list[LayupView]:
    """Layups, each with the work of its planned next layer."""
    work = job_plan.next_work([each.row for each in watched])
    return [show_layup(each, work.get(each.row.id)) for each in watched]


def rows(layups: Iterable[LayupView], pots: Iterable[UnlaidPotView]) -> list[RowView]:
    """A row each, the most urgent first."""
    found = [*map(of_layup, layups), *map(of_pot, pots)]
    return sorted(found, key=_place)


def of_layup(layup: LayupView) -> RowView:
    """The row of a layup."""
    wet = [look.at for look in layup.observations if look.kind == "not_gelled"]
    return RowView(
        state=layup.sign,
        seen=layup.sign in layup.seen,
        do=layup.do,
        looked=layup.looked,
        missed=max(wet, default=None),
        layup=layup,
    )


def of_pot(pot: UnlaidPotView) -> RowView:
    """The row of a pot that was not laid up."""
    return RowView("pot", seen=True, do=pot.do, pot=pot)


def _place(row: RowView) -> tuple[int, int, float, int]:
    """The key that sorts rows."""
    trouble = row.do.urgency == "trouble" and row.layup is not None
    rank = standing.order(row.layup.sign) if trouble and row.layup is not None else 0
    hour = float("inf") if row.do.at is None else float(row.do.at)
    return URGENCIES.index(row.do.urgency), rank, hour, (row.layup or row.pot).id  # type: ignore[union-attr]
