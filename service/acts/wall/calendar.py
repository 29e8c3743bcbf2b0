"""The calendar: what somebody has to go to the part for, each as an event.

By default that is when a window opens and shuts, 'heat or check', and the two that stand for them:
a window too uncertain to give, and trouble. What a hand answered, by a look or by covering the
part, stays for a time as a cancelled event with its UID, so that a phone that keeps events drops
it too. A milestone that is not promised is left out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from ...core.amounts.hours import STEP_S
from ...core.amounts.views import Moment, View
from ...core.cure.turns import Name, Turn
from ...core.frozen import frozen
from ...core.words import Text
from ...store.cure import layups
from ...store.engine import revisions
from ...store.yard.feeds import Feed
from ..cure import watch
from ..cure.watch import Watched
from ..yard import finding, settings

USUAL: frozenset[Name] = frozenset(
    {
        "recoat_opens",
        "recoat_closes",
        "heat",
        "touch",
        "probe",
        "tool",
        "through",
        "bag_off",
        "post_cured",
    }
)
"""What somebody has to go to the part for."""
CANCELLED_FOR_S = 14 * 24 * 3600
"""How long the events of a layup stay as cancelled ones after its watch ended."""


@frozen
class CalendarEventView(View):
    """A milestone of a layup.

    Attributes:
        alarm_at: when to warn of it, or None.
        sequence: rises whenever the event's moment may have moved, which is with every row that a
            milestone may rest on.
        note: how warm to keep a layup that stalls in the cold, or None.
        bay: the title of the bay that it is in.
        cancelled: whether a hand has answered it.
    """

    layup: int
    title: str
    name: Name
    at: Moment
    alarm_at: Moment | None
    sequence: int
    note: Text | None
    craft: str
    bay: str
    cancelled: bool = False


@frozen
class CalendarView(View):
    """The events of a yard as of a moment; `title` names the job and the bay that they are of."""

    yard: str
    title: str | None
    at: Moment
    events: list[CalendarEventView]


def calendar(
    now: int, job: str | None = None, bay: str | None = None, *, everything: bool = False
) -> CalendarView:
    """The events of a job's layups, of those that are in a bay now, or of all.

    Args:
        everything: whether each milestone is an event.

    Raises: NotFound.
    """
    work = None if job is None else finding.job(job)
    within = None if bay is None else finding.bay(bay)
    open_rows = layups.open_layups()
    rows = [
        row
        for row in [*open_rows, *layups.closed_since(now - CANCELLED_FOR_S)]
        if work is None or row.job_id == work.id
    ]
    still = {row.id for row in open_rows}
    told = watch.watch_all([row for row in rows if row.id in still], now)
    answered = watch.before_the_last_word(
        [row for row in rows if row.id not in still] + [w.row for w in told if w.seen], now
    )
    rises = revisions.revision().rises
    events = _events(told, answered, rises, now, lambda w: within is None or w.bay.id == within.id)
    names = [work.title] if work is not None else []
    names += [within.title] if within is not None else []
    return CalendarView(
        yard=settings.identity(),
        title=", ".join(names) or None,
        at=now,
        events=[each for each in events if everything or each.name in USUAL],
    )


def of_feed(row: Feed, now: int, *, everything: bool = False) -> CalendarView:
    """The calendar of a feed."""
    job, bay = row.job, row.bay
    whose = job.number if job else None, bay.code if bay else None
    return calendar(now, *whose, everything=everything)


def _events(
    told: list[Watched],
    answered: list[Watched],
    rises: int,
    now: int,
    wanted: Callable[[Watched], bool],
) -> list[CalendarEventView]:
    """What is promised now, and cancelled what was promised before a hand answered it."""
    found = [event for one in told if wanted(one) for event in _of(one, rises, now)]
    known = {(event.layup, event.name) for event in found}
    gone = [event for one in answered if wanted(one) for event in _of(one, rises, now)]
    return found + [
        replace(event, alarm_at=None, note=None, cancelled=True)
        for event in gone
        if (event.layup, event.name) not in known
    ]


def _of(watched: Watched, rises: int, now: int) -> list[CalendarEventView]:
    row = watched.row
    found = watched.turns
    closing = next((turn.at for turn in found if turn.name == "recoat_closing"), None)
    return [
        CalendarEventView(
            layup=row.id,
            title=row.title,
            name=turn.name,
            at=turn.at,
            alarm_at=closing if turn.name == "recoat_closes" else None,
            sequence=rises + row.version,
            note=watched.step.text if turn.name == "heat" else None,
            craft=row.job.craft,
            bay=watched.bay.title,
            cancelled=_was_seen(watched, turn, now),
        )
        for turn in found
        if turn.name != "recoat_closing"
    ]


def _was_seen(watched: Watched, turn: Turn, now: int) -> bool:
    """Whether a hand has found reached what the turn is about."""
    touch = watched.touch
    seen = {
        "gel": touch.gelled, "recoat_opens": touch.no_transfer, "sandable": touch.sandable,
        "tool": touch.gelled, "through": touch.hard,
    }  # fmt: skip
    return seen.get(turn.name) is not None and turn.at - STEP_S < now  # it is rounded up
