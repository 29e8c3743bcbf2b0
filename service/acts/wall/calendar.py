"""The calendar: what turns about the layups that are watched, each as an event.

What is not promised is not in it, and neither is a layup that was covered or handed over, unless
it is in trouble: a calendar that is subscribed to lets an event go when the feed does. One that was
called off would have to stand at some moment, and there is none that is true.
"""

from __future__ import annotations

from typing import Any

from ...core.cure.turns import Turn, turns
from ...store.cure import layups
from ...store.cure.layups import Layup
from ...store.engine import revisions
from ...store.yard.feeds import Feed
from ..cure import watch
from ..cure.watch import Watched
from ..yard import finding
from ..yard import settings as yard


def calendar(now: int, job: str | None = None, bay: str | None = None) -> dict[str, Any]:
    """The events of a job's layups, of those that are in a bay now, or of all.

    Each event has a `sequence`, which rises whenever its moment may have: with every row that a
    milestone may rest on. Nothing has to be kept for it.

    Raises: NotFound.
    """
    work = None if job is None else finding.job(job)
    place = None if bay is None else finding.bay(bay)
    rows = [row for row in layups.open_layups() if work is None or row.job_id == work.id]
    watched = [w for w in watch.watch_all(rows, now) if place is None or w.bay.id == place.id]
    rises = revisions.revision().rises
    names = [work.title] if work is not None else []
    names += [place.title] if place is not None else []
    return {
        "yard": yard.identity(),
        "title": ", ".join(names) or None,
        "at": now,
        "events": [event for one in watched for event in _events(one, rises)],
    }


def of_feed(row: Feed, now: int) -> dict[str, Any]:
    """What a feed shows."""
    job, bay = row.job, row.bay
    return calendar(now, job.number if job else None, bay.code if bay else None)


def _events(watched: Watched, rises: int) -> list[dict[str, Any]]:
    found = turns(watched.found, watched.cold_from, watched.trouble_since)
    alarm = next((turn.at for turn in found if turn.name == "recoat_closing"), None)
    return [
        {
            **_event(watched.row, turn, rises, alarm if turn.name == "recoat_closes" else None),
            "note": watched.step.text if turn.name == "heat" else None,
        }
        for turn in found
        if turn.name != "recoat_closing"
    ]


def _event(row: Layup, turn: Turn, rises: int, alarm: int | None) -> dict[str, Any]:
    return {
        "layup": row.id,
        "title": row.title,
        "name": turn.name,
        "at": turn.at,
        "alarm_at": alarm,
        "sequence": rises + row.version,
    }
