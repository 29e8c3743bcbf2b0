"""The calendar, read back by another library than the one that made it, and by RFC 5545 itself."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
import vobject
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure.change_layup import change_layup
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.wall.calendar import CalendarEventView, CalendarView
from cureyard_service.acts.yard import finding
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from werkzeug.test import TestResponse

from ...acts import sample_yard as yard
from ..conftest import Clock

pytestmark = pytest.mark.only_on("sqlite")  # its facts are tested on both: acts/test_calendar

HAND, H = yard.HAND, yard.H
AWKWARD = "Querspant; größer, sechs Lagen \\ 450 g – très long, 船体の内側を三層で積む ⛵"
"""A title with whatever RFC 5545 escapes, in characters of one to four octets."""


@pytest.fixture(autouse=True)
def set_up(client: FlaskClient) -> None:
    """The acts' yard, with a clock in UTC."""
    yard.set_up()


ALL = "/v1/calendar.ics?all=true"


def laid(**facts: Any) -> int:
    """A layup just laid."""
    asked = {"product": "LAM", "catalyst_percent": Decimal(2), "cover": "film"} | facts
    return int(yard.laid(**asked).id)


def read(answer: TestResponse) -> Any:
    """The calendar in an answer, as another library reads it."""
    assert (answer.status_code, answer.content_type) == (200, "text/calendar; charset=utf-8")
    return vobject.readOne(answer.text)


def events(answer: TestResponse) -> dict[str, Any]:
    """Its events by UID."""
    found = {each.uid.value: each for each in getattr(read(answer), "vevent_list", [])}
    assert len(found) == answer.text.count("BEGIN:VEVENT")
    return found


def test_read_back(client: FlaskClient) -> None:
    """Every moment in UTC, to five minutes; what a VEVENT must have (3.6.1), and no more."""
    laid(title="Plies 1 to 3")
    told = events(client.get(ALL))
    shown = {
        each.summary.value.removeprefix("the dory Teal, "): each.dtstart.value.astimezone(
            UTC
        ).strftime("%d %H:%M:%S")
        for each in told.values()
    }
    assert set(shown) == {
        "Plies 1 to 3: should be gelled; if not, find out why", "Plies 1 to 3: can be trimmed",
        "Plies 1 to 3: window opens", "Plies 1 to 3: window shuts, layer down by then",
        "Plies 1 to 3: sandable",
    }  # fmt: skip
    assert all(int(moment[-5:-3]) % 5 == 0 and moment.endswith(":00") for moment in shown.values())
    layup = client.get("/v1/layups/1").json
    window = {end: datetime.fromisoformat(at) for end, at in layup["window"].items()}
    opens, shuts = (
        datetime.fromisoformat(f"2026-03-{shown[f'Plies 1 to 3: window {end}']}+00:00")
        for end in ("opens", "shuts, layer down by then")
    )
    assert window["from"] <= opens < window["from"] + timedelta(minutes=5)
    assert window["until"] - timedelta(minutes=5) < shuts <= window["until"]
    for each in told.values():
        assert set(each.contents) <= {
            "uid", "sequence", "dtstamp", "dtstart", "summary", "location", "transp", "valarm",
        }  # fmt: skip
        assert each.location.value == "Shed"
        assert each.summary.value.startswith("the dory Teal, Plies 1 to 3: ")
    usual = events(client.get("/v1/calendar.ics"))
    assert [each.summary.value.rpartition(": ")[2] for each in usual.values()] == [
        "window opens", "window shuts, layer down by then",
    ]  # fmt: skip


def test_an_alarm_before_the_window_shuts(client: FlaskClient) -> None:
    """3.6.6: a DISPLAY alarm has an action, words and a trigger; no other event has one."""
    laid()
    alarmed = [e for e in events(client.get("/v1/calendar.ics")).values() if "valarm" in e.contents]
    (shuts,) = alarmed
    assert shuts.summary.value.endswith("window shuts, layer down by then")
    assert shuts.valarm.action.value == "DISPLAY"
    assert shuts.valarm.description.value == shuts.summary.value
    assert shuts.valarm.trigger.value == timedelta(hours=-2)


def test_a_replanned_milestone_moves_and_is_not_doubled(client: FlaskClient, clock: Clock) -> None:
    """3.8.4.7 and 3.8.7.4: the same UID, a higher SEQUENCE, a later DTSTAMP, another moment."""
    laid()
    before = events(client.get("/v1/calendar.ics"))
    again = events(client.get("/v1/calendar.ics"))
    clock.moment += H
    cold = [{"at": clock.moment, "temperature": Decimal("286.15")}]
    read_bay.read_bay(bay="SHED", readings=cold, now=clock.moment, hand=HAND)
    after = events(client.get("/v1/calendar.ics"))
    assert before.keys() == again.keys() == after.keys()
    for uid, each in after.items():
        assert before[uid].sequence.value == again[uid].sequence.value
        assert int(each.sequence.value) > int(before[uid].sequence.value)
        assert each.dtstamp.value > before[uid].dtstamp.value
    opens = next(uid for uid in after if "recoat_opens" in uid)
    assert after[opens].dtstart.value > before[opens].dtstart.value


def test_an_observed_gel_cancels_its_event(client: FlaskClient, clock: Clock) -> None:
    """3.8.1.11: STATUS:CANCELLED, under the same UID, at the moment that a hand saw it."""
    number = laid()
    clock.moment += 1500
    observe_layup(finding.layup(number), kind="gelled", now=clock.moment, hand=HAND)
    told = events(client.get(ALL))
    gel = next(each for uid, each in told.items() if "-gel@" in uid)
    assert gel.status.value == "CANCELLED"
    assert [each for each in told.values() if "status" in each.contents] == [gel]
    assert gel.dtstart.value.timestamp() < clock.moment + 300


def test_uids_are_the_yards_own(client: FlaskClient) -> None:
    """3.8.4.7: globally unique, so not a number alone; no host and no title in it."""
    laid(title="Secret")
    for uid in events(client.get("/v1/calendar.ics")):
        assert re.fullmatch(r"\d+-[a-z_]+@[0-9a-f]{32}", uid)


def test_lines_and_text(client: FlaskClient) -> None:
    """3.1: CRLF, at most 75 octets, folded between characters; 3.3.11: TEXT is escaped."""
    laid(title=AWKWARD)
    answer = client.get("/v1/calendar.ics")
    lines = answer.data.split(b"\r\n")
    assert lines.pop() == b""
    assert all(b"\n" not in line and b"\r" not in line for line in lines)
    assert max(map(len, lines)) <= 75
    for line in lines:
        line.decode()  # not cut inside a character
    whole = answer.data.replace(b"\r\n ", b"").decode()
    assert "Querspant\\; größer\\, sechs Lagen \\\\ 450 g" in whole
    told = events(answer)
    assert {each.summary.value.rpartition(": ")[0] for each in told.values()} == {
        f"the dory Teal, {AWKWARD}"
    }


@given(title=st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1))
def test_any_title_comes_back(title: str) -> None:
    """As it went in, whatever its characters."""
    from cureyard_service.web.files import calendar as calendar_file

    event = CalendarEventView(
        1, title, "gel", at=0, alarm_at=None, sequence=1, note=None, craft="Teal", bay=title
    )
    text = calendar_file.answer(CalendarView("a", None, at=0, events=[event])).data
    assert max(map(len, text.split(b"\r\n"))) <= 75
    (back,) = vobject.readOne(text.decode()).vevent_list
    assert back.summary.value == f"Teal, {title}: {calendar_file.WORDS['gel']}"


def test_whose(client: FlaskClient) -> None:
    """By job, by bay, by neither; an unknown one is no empty calendar."""
    one, other = laid(), laid(job="S-1", bay="TENT")
    for query, numbers in (("job=d-7", {one}), ("bay=TENT", {other}), ("", {one, other}),
                           ("job=S-1&bay=SHED", set())):  # fmt: skip
        told = events(client.get(f"/v1/calendar.ics?{query}"))
        assert {int(uid.partition("-")[0]) for uid in told} == numbers, query
    assert "\r\nNAME:Cureyard\\, Stem\r\n" in client.get("/v1/calendar.ics?job=D-7").text
    assert client.get("/v1/calendar.ics?job=X-1").status_code == 404
    assert client.get("/v1/calendar.ics?bay=A%2FB").status_code == 422
    assert client.get("/v1/calendar.ics?craft=Teal").status_code == 422


def test_an_empty_calendar_is_one(client: FlaskClient) -> None:
    """3.4: a stream holds a calendar, whatever is in it."""
    told = read(client.get("/v1/calendar.ics"))
    assert (told.version.value, "vevent" in told.contents) == ("2.0", False)
    assert told.prodid.value.startswith("-//Cureyard//")


def test_a_layup_that_stalls_cold_has_one_event(client: FlaskClient) -> None:
    """Heat or check, when the cold begins: what else was promised is gone."""
    laid(bay="BARN", title="Ply 1")
    (event,) = events(client.get("/v1/calendar.ics")).values()
    assert event.summary.value == "the dory Teal, Ply 1: heat or check"


def test_what_is_covered_is_cancelled(client: FlaskClient) -> None:
    """Nobody has to go to a part that is under the next one; a cancelled event has no alarm."""
    lower = laid(now=yard.NOW - 5 * yard.H)
    upper = laid(over=lower)
    told = events(client.get("/v1/calendar.ics"))
    gone = {uid for uid, each in told.items() if "status" in each.contents}
    assert {int(uid.partition("-")[0]) for uid in told.keys() - gone} == {upper}
    assert {int(uid.partition("-")[0]) for uid in gone} == {lower}
    assert all(told[uid].status.value == "CANCELLED" for uid in gone)
    assert not any("valarm" in told[uid].contents for uid in gone)


def test_a_night_that_the_clocks_change(client: FlaskClient, clock: Clock) -> None:
    """2026-10-25 in Lisbon: 01:30 is there twice. In UTC each event has one moment, in order."""
    clock.moment = 1_792_882_800  # 2026-10-24 23:00 UTC, midnight in Lisbon
    client.patch("/v1/yard", json={"zone": "Europe/Lisbon"}, headers={"If-Match": "*"})
    number = laid(now=clock.moment)
    change_layup(finding.layup(number), title="Night", now=clock.moment, hand=HAND)
    answer = client.get("/v1/calendar.ics")
    stamps = re.findall(r"^DTSTART:(.*)\r$", answer.text, re.MULTILINE)
    assert all(re.fullmatch(r"2026102\dT\d{6}Z", stamp) for stamp in stamps)
    assert stamps == sorted(stamps)
    assert "VTIMEZONE" not in answer.text
    window = client.get(f"/v1/layups/{number}").json["window"]["from"]
    opens = next(e for uid, e in events(answer).items() if "recoat_opens" in uid)
    assert 0 <= (opens.dtstart.value - datetime.fromisoformat(window)).total_seconds() < 300


@pytest.mark.parametrize(("units", "heat"), [("metric", "11 °C"), ("us", "52 °F")])
def test_what_stalls_says_how_warm_to_keep_it_and_until_when(
    client: FlaskClient, units: str, heat: str
) -> None:
    """The event's description (RFC 5545, 3.8.1.5), in the yard's units; no other event has one."""
    laid()
    laid(bay="BARN")
    client.patch("/v1/yard", json={"units": units}, headers={"If-Match": "*"})
    told = events(client.get("/v1/calendar.ics"))
    notes = {uid: each.description.value for uid, each in told.items() if "description" in
             each.contents}  # fmt: skip
    ((uid, note),) = notes.items()
    assert "-heat@" in uid
    assert re.search(rf"hold at least {heat} until \w{{3}} \d\d:\d\d", note), note
