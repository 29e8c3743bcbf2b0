"""Plan a chain of steps: when each begins. Nothing is kept; `job_plan` keeps a plan for a job."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, time
from decimal import Decimal
from typing import Annotated, Any

from ...core.amounts.quantities import GEL_TIME, TIME
from ...core.amounts.views import Code, Moment, Opening, View
from ...core.errors import Invalid, NoPlan
from ...core.frozen import frozen
from ...core.plan.chain import Plan
from ...core.plan.shop_hours import ShopHours
from ...core.words import Text
from ..yard import moments
from . import sequences, words
from .advice import advise
from .steps import Chain, look_up
from .words import PlannedView

SLOT_S = 15 * 60
"""Gel times are known to a quarter of themselves: a finer plan would promise too much."""
SLOTS_S = (5 * 60, 2 * 3600)
"""The finest and the coarsest slot."""
STEPS_MAX = 200
HORIZONS_D = (14, 60)
"""How many days are planned: two weeks; if no plan holds in those, sixty days."""
WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@frozen
class PlanView(View):
    """The plan that finishes first, with the fewest abrades, and then the least night work."""

    bay: Code
    start: Moment
    slot: Annotated[int, GEL_TIME]
    finish: Opening
    abrades: int
    night_work: Annotated[int, TIME]
    steps: list[PlannedView]
    advice: list[str]
    warnings: list[Text]
    cautions: list[str]


def plan_chain(
    *,
    now: int,
    bay: str,
    hours: Mapping[str, Any],
    steps: Sequence[Mapping[str, Any]] | None = None,
    sequence: str | None = None,
    parts: Sequence[Mapping[str, Any]] = (),
    start: int | None = None,
    slot: Decimal | None = None,
    after: int | None = None,
    touch: bool = False,
) -> PlanView:
    """Plan when each step begins.

    Args:
        hours: `days` of the week, `begin` and `finish` on the yard's clock, `closed` dates.
        steps: in their order; see `steps.look_up`. sequence, parts: or those that are kept by a
            name, with the product of each part. start: epoch s, by default now. slot: s.
        after: id of the layup that the first step goes on.
        touch: whether each layer goes on in the likely window, once a touch finds it open; for
            what carries no load.

    Raises:
        NoPlan: none holds within sixty days. UnknownReference, CureSheetMissing, OutsideLimits.
        Invalid: a start in the past; a step that lacks something.
    """
    start = now if start is None else start
    if start < now - moments.AHEAD_MAX_S:
        raise Invalid(
            "The plan can't begin in the past.",
            advice="Leave out the start to plan from now.",
            pointer="/start",
        )
    slot_s = _slot(slot)
    begin = float(-(-start // slot_s) * slot_s)
    chosen = _steps(steps, sequence, parts)
    looked_up = look_up(bay, chosen, begin, slot_s, after, now, by_touch=touch)
    open_hours = _hours(**hours)
    found, days = _planned(looked_up, open_hours)
    return PlanView(
        bay=looked_up.bay.code,
        start=begin,
        slot=slot_s,
        finish=found.finish,
        abrades=found.abrades,
        night_work=found.night,
        steps=words.show_steps(looked_up, found),
        advice=advise(found, looked_up, open_hours, days),
        warnings=[*([words.BY_TOUCH] if touch else []), *words.warnings(looked_up, found)],
        cautions=list(words.CAUTIONS),
    )


def _steps(
    steps: Sequence[Mapping[str, Any]] | None,
    sequence: str | None,
    parts: Sequence[Mapping[str, Any]],
) -> Sequence[Mapping[str, Any]]:
    """The steps that are given, or those of a sequence.

    Raises: Invalid: both or neither. As `sequences.planned`.
    """
    if sequence is not None and steps is None:
        return sequences.planned(sequence, parts)
    if steps is None or sequence is not None or parts:
        raise Invalid(
            "A plan is of steps, or of a sequence with the product of each part.",
            advice="Give 'steps' alone, or 'sequence' and 'parts'.",
            pointer="/steps",
        )
    return steps


def _slot(slot: Decimal | None) -> int:
    finest, coarsest = SLOTS_S
    if slot is None:
        return SLOT_S
    if not finest <= slot <= coarsest or slot % 60:
        raise Invalid(
            "That slot is too fine, too coarse or not in whole minutes.",
            advice=f"Give whole minutes, {finest // 60} to {coarsest // 60}; 15 are usual.",
            pointer="/slot",
        )
    return int(slot)


def _planned(looked_up: Chain, hours: ShopHours) -> tuple[Plan, int]:
    """The plan over the fewest days in which one holds, and how many those are."""
    short, long = HORIZONS_D
    try:
        return looked_up.plan(hours, short), short
    except NoPlan:
        return looked_up.plan(hours, long), long


def _hours(
    *, days: list[str], begin: time, finish: time, closed: list[date] | None = None
) -> ShopHours:
    works = frozenset(WEEKDAYS.index(day) for day in days)
    return ShopHours(works, begin, finish, moments.zone(), frozenset(closed or ()))
