"""A calendar as an iCalendar object (RFC 5545): times and titles, and the heat that a stall needs.

Every moment is in UTC, which needs no time zone and has no hour twice. Events are transparent:
they do not make anybody busy.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from importlib.metadata import version
from typing import Any

from flask import Response

from ...core.amounts import sentences as worded
from ..context.request import units

MEDIA_TYPE = "text/calendar"
WORDS = {
    "gel": "gelled; if not, find out why",
    "trim": "can be trimmed",
    "recoat_opens": "recoat window opens",
    "recoat_closes": "recoat window shuts",
    "sandable": "can be sanded",
    "full_cure": "handling cure",
    "touch": "recoat window uncertain, try by glove",
    "heat": "heat or check",
    "probe": "in trouble, do not cover, probe it",
}
"""The words for each event after a layup's title."""
ASKED_AGAIN = timedelta(minutes=15)
"""How often a phone is asked to refresh; most decide for themselves."""


def answer(told: dict[str, Any]) -> Response:
    """The calendar of `acts.wall.calendar` as a file."""
    return Response(_text(told), content_type=f"{MEDIA_TYPE}; charset=utf-8")


def _text(told: dict[str, Any]) -> bytes:
    import icalendar  # late: only a calendar needs the library

    title = f"Cureyard, {told['title']}" if told["title"] else "Cureyard"
    made = icalendar.Calendar()
    made.add("prodid", f"-//Cureyard//Cureyard {version('cureyard')}//EN")
    made.add("version", "2.0")
    made.add("name", icalendar.vText(title))
    made.add("x-wr-calname", icalendar.vText(title))  # without it phones show the address
    made.add("refresh-interval", ASKED_AGAIN, parameters={"VALUE": "DURATION"})
    for each in told["events"]:
        made.add_component(_event(each, told["yard"], told["at"]))
    written: bytes = made.to_ical()
    return written


def _event(told: dict[str, Any], yard: str, now: int) -> Any:
    """An event; its time stamp is that of the request, since milestones are not stored."""
    import icalendar

    summary = f"{told['title']}: {WORDS[told['name']]}"
    event = icalendar.Event()
    event.add("uid", f"{told['layup']}-{told['name']}@{yard}")
    event.add("sequence", told["sequence"])
    event.add("dtstamp", _utc(now))
    event.add("dtstart", _utc(told["at"]))
    event.add("summary", summary)
    event.add("transp", "TRANSPARENT")
    if told.get("note"):
        # Chosen here: folding the line would break the marks of its two amounts.
        event.add("description", worded.shown(told["note"], units()))
    if told["alarm_at"] is not None:
        alarm = icalendar.Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", summary)
        alarm.add("trigger", timedelta(seconds=told["alarm_at"] - told["at"]))
        event.add_component(alarm)
    return event


def _utc(moment: int) -> datetime:
    return datetime.fromtimestamp(moment, UTC)
