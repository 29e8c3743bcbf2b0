"""One line of advice on a plan: the least change of the shop's day that would help most.

Each change is planned and compared; the advice gives the result of that plan.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from ...core.errors import NoPlan
from ...core.plan.chain import Plan
from ...core.plan.shop_hours import ShopHours
from ..yard import moments
from .steps import Chain

WARMER_K = 2.0
EARLIER_MIN = (30, 60)
LATER_MIN = (60,)


def advise(found: Plan, chain: Chain, hours: ShopHours, days: int) -> list[str]:
    """The change that saves most days, then most abrades; nothing if none saves any."""
    best: tuple[tuple[int, int], str] | None = None
    for words, changed, warmer in _changes(hours):
        try:
            other = chain.plan(changed, days, warmer)
        except NoPlan:
            continue
        gain = (_day(found) - _day(other)).days, found.abrades - other.abrades
        if gain > (0, 0) and (best is None or gain > best[0]):
            best = gain, f"{words} {_saves(*gain, found, other)}."
    return [] if best is None else [best[1]]


def _changes(hours: ShopHours) -> Iterator[tuple[str, ShopHours, float]]:
    """The changes to try, the least first: words, the hours, how much warmer the nights are, K."""
    for minutes in EARLIER_MIN:
        begin = _shifted(hours.begin, -minutes)
        if hours.begin != hours.finish and begin < hours.begin:
            yield f"Starting at {begin:%H:%M}", replace(hours, begin=begin), 0.0
    for minutes in LATER_MIN:
        finish = _shifted(hours.finish, minutes)
        if hours.begin < hours.finish < finish:
            yield f"Working until {finish:%H:%M}", replace(hours, finish=finish), 0.0
    yield f"{WARMER_K:g} K more at night", hours, WARMER_K


def _saves(days: int, abrades: int, found: Plan, other: Plan) -> str:
    saved = []
    if days > 0:
        saved.append("a day" if days == 1 else f"{days} days")
    spared = [
        f"'{now.step.title}'"
        for now, then in zip(found.steps, other.steps, strict=True)
        if now.abrade and not then.abrade
    ]
    if abrades > 0:
        saved.append(f"the abrading before {' and '.join(spared)}")
    return f"saves {' and '.join(saved)}"


def _day(plan: Plan) -> date:
    return moments.day_of(int(plan.finish))


def _shifted(clock: time, minutes: int) -> time:
    return (datetime.combine(date(2000, 1, 1), clock) + timedelta(minutes=minutes)).time()
