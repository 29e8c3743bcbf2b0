"""The calendar: the milestones of the layups that are watched, each as an event.

A milestone that is not promised is left out, and so is a layup that was covered or handed over,
unless it is in trouble. A calendar that is subscribed to drops an event that its feed no longer
has. A cancelled event would need a moment, and none would be true.
"""

from __future__ import annotations

from dataclasses import dataclass

from ...core.amounts.views import Moment, View
from ...core.cure.turns import Name, turns
from ...core.words import Text
from ...store.cure import layups
from ...store.engine import revisions
from ...store.yard.feeds import Feed
from ..cure import watch
from ..cure.watch import Watched
from ..yard import finding, settings


@dataclass(frozen=True)
class CalendarEventView(View):
    """A milestone of a layup.

    Attributes:
        alarm_at: when to warn of it, or None.
        sequence: rises whenever the event's moment may have moved, which is with every row that a
            milestone may rest on.
        note: how warm to keep a layup that stalls in the cold, or None.
    """

    layup: int
    title: str
    name: Name
    at: Moment
    alarm_at: Moment | None
    sequence: int
    note: Text | None


@dataclass(frozen=True)
class CalendarView(View):
    """The events of a yard as of a moment; `title` names the job and the bay that they are of."""

    yard: str
    title: str | None
    at: Moment
    events: list[CalendarEventView]


def calendar(now: int, job: str | None = None, bay: str | None = None) -> CalendarView:
    """The events of a job's layups, of those that are in a bay now, or of all.

    Raises: NotFound.
    """
    work = None if job is None else finding.job(job)
    place = None if bay is None else finding.bay(bay)
    rows = [row for row in layups.open_layups() if work is None or row.job_id == work.id]
    watched = [w for w in watch.watch_all(rows, now) if place is None or w.bay.id == place.id]
    rises = revisions.revision().rises
    names = [work.title] if work is not None else []
    names += [place.title] if place is not None else []
    return CalendarView(
        yard=settings.identity(),
        title=", ".join(names) or None,
        at=now,
        events=[event for one in watched for event in _events(one, rises)],
    )


def of_feed(row: Feed, now: int) -> CalendarView:
    """The calendar of a feed."""
    job, bay = row.job, row.bay
    return calendar(now, job.number if job else None, bay.code if bay else None)


def _events(watched: Watched, rises: int) -> list[CalendarEventView]:
    row = watched.row
    found = turns(watched.found, watched.cold_from, watched.trouble_since)
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
        )
        for turn in found
        if turn.name != "recoat_closing"
    ]
