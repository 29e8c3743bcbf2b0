"""A calendar as an iCalendar object (RFC 5545): milestones, and how warm to keep a cold layup.

Every moment is in UTC, which needs no time zone and has no hour twice. Events are transparent:
they do not make anybody busy.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from importlib.metadata import version
from typing import Any

from flask import Response

from ...acts.wall.calendar import CalendarEventView, CalendarView
from ...core.words import shown
from ..context.request import units
from ..context.state_words import WORDS as STATES

MEDIA_TYPE = "text/calendar"
WORDS = {
    "gel": f"{STATES['gelled_forecast']}; if not, find out why",
    "trim": "can be trimmed",
    "recoat_opens": STATES["recoat_opens"],
    "recoat_closes": f"{STATES['recoat_closes']}, layer down by then",
    "sandable": STATES["sandable"],
    "full_cure": STATES["full_cure"],
    "touch": f"{STATES['recoat_touch']}, no sure window",
    "heat": "heat or check",
    "tool": "may skin from then: tool it before",
    "through": f"{STATES['through']}, by its clock",
    "bag_off": "hold the vacuum until then, take the bag off",
    "post_cured": "hold the heat until then, let it cool slowly",
    "probe": "in trouble, do not cover: ask a lead",
}
"""The words for each milestone beside a layup's title."""
ASKED_AGAIN = timedelta(minutes=15)
"""How often phones are asked to look again; most look when they like."""


def answer(calendar: CalendarView) -> Response:
    """A calendar as a file."""
    return Response(_text(calendar), content_type=f"{MEDIA_TYPE}; charset=utf-8")


def _text(calendar: CalendarView) -> bytes:
    import icalendar  # late: only a calendar needs the library

    title = f"Cureyard, {calendar.title}" if calendar.title else "Cureyard"
    made = icalendar.Calendar()
    made.add("prodid", f"-//Cureyard//Cureyard {version('cureyard')}//EN")
    made.add("version", "2.0")
    made.add("name", icalendar.vText(title))
    made.add("x-wr-calname", icalendar.vText(title))  # without it phones show the address
    made.add("refresh-interval", ASKED_AGAIN, parameters={"VALUE": "DURATION"})
    for each in calendar.events:
        made.add_component(_event(each, calendar))
    written: bytes = made.to_ical()
    return written


def _event(told: CalendarEventView, calendar: CalendarView) -> Any:
    """An event. Its stamp is the moment of the request: milestones are worked out, not kept."""
    import icalendar

    summary = f"{told.craft}, {told.title}: {WORDS[told.name]}"
    event = icalendar.Event()
    event.add("uid", f"{told.layup}-{told.name}@{calendar.yard}")
    event.add("sequence", told.sequence)
    event.add("dtstamp", _utc(calendar.at))
    event.add("dtstart", _utc(told.at))
    event.add("summary", summary)
    event.add("location", told.bay)
    if told.cancelled:
        event.add("status", "CANCELLED")
    event.add("transp", "TRANSPARENT")
    if told.note:
        event.add("description", shown(told.note, units()))
    if told.alarm_at is not None:
        alarm = icalendar.Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", summary)
        alarm.add("trigger", timedelta(seconds=told.alarm_at - told.at))
        event.add_component(alarm)
    return event


def _utc(moment: float) -> datetime:
    return datetime.fromtimestamp(moment, UTC)
