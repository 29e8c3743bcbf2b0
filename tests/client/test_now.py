"""What to do now, in one screen: a row a layup and a pot, the most urgent first."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from cureyard_client.rendering import moments, now_all
from cureyard_client.rendering import now as now_page
from cureyard_client.rendering.columns import View

NOW = datetime(2026, 11, 27, 16, 20, tzinfo=UTC)
VIEW = View(80, NOW)
"""A Friday."""


def at(clock: str) -> str:
    """A moment of that day."""
    return f"2026-11-27T{clock}:00+00:00"


def do(words: str, urgency: str, clock: str | None = None, near: str = "") -> dict[str, Any]:
    """What to do, as the service words it."""
    return {"words": words, "urgency": urgency, "at": clock and at(clock), "near": near}


def layup(number: int, title: str, sign: str, todo: dict[str, Any], **facts: Any) -> dict[str, Any]:
    """A layup as the service answers it."""
    return {
        "id": number, "job": "26-014", "craft": "Teal", "title": title, "bay": "TENT-2",
        "sign": sign, "state": [sign], "seen": [], "do": todo, "milestones": {}, "window": None,
        "next": {"text": "Why."},
    } | facts  # fmt: skip


def action(of: dict[str, Any], closing: bool = False) -> dict[str, Any]:
    """The action of a layup as the service answers it."""
    return {"layup": of["id"], "job": of["job"], "craft": of["craft"], "title": of["title"],
            "action": "wait", "text": "Why.", "at": None, "closing": closing}  # fmt: skip


def pot(number: int, until: str, near: str = "") -> dict[str, Any]:
    """A pot that is not laid yet."""
    return {"id": number, "job": "26-015", "craft": "Teal", "resin": "LAM-PE",
            "amount": {"value": 3, "unit": "kg"}, "work_until": at(until), "text": "Spread it.",
            "do": do("spread by", "ending", until, near)}  # fmt: skip


def lot(number: str) -> dict[str, Any]:
    """A lot to see to."""
    return {"id": 1, "product": "LAM-PE", "number": number, "container": "1",
            "on_hand": {"value": 8, "unit": "kg"}, "expires_on": "2026-10-31"}  # fmt: skip


LAYUPS = [
    layup(9, "Engine bed, plies 1 to 4, with the bearers of the old machine", "wet",
          do("leave until", "later", "17:40"), craft="Curlew"),
    layup(6, "Sheer clamp tabbing", "recoat_open",
          do("layer down by", "ending", "16:35", "minutes")),
    layup(4, "Transom knees", "cold_stalled", do("heat TENT-2 now", "trouble"), craft="Curlew",
          seen=["cold_stalled"]),
    layup(8, "Floor frames", "gelled", do("next layer from", "later", "18:55"), seen=["gelled"]),
]  # fmt: skip
YARD: dict[str, Any] = {
    "at": at("16:20"), "layups": LAYUPS,
    "order": [
        {"layup": 4, "pot": None}, {"layup": None, "pot": 31}, {"layup": 6, "pot": None},
        {"layup": None, "pot": 33}, {"layup": 9, "pot": None}, {"layup": 8, "pot": None},
    ],
    "actions": [action(each, each["id"] == 6) for each in LAYUPS],
    "pots": [pot(31, "16:30", "minutes"), pot(33, "17:20")],
    "lots": {"expired": [lot("B-1911")], "held": [lot("B-2202")]},
    "bays": [
        {"code": "SHED", "temperature": {"value": 19.4, "unit": "degC"}, "basis": "measured",
         "read": {"temperature": {"value": 19.4, "unit": "degC"}, "at": at("16:15"),
                  "humidity_percent": 58}},
        {"code": "STORE", "temperature": {"value": 14, "unit": "degC"}, "basis": "assumed",
         "read": {"temperature": {"value": 15, "unit": "degC"}, "at": at("14:05")}},
    ],
    "jobs": [
        {"number": "26-014", "craft": "Curlew", "title": "Transom", "short": []},
        {"number": "26-015", "craft": "Teal", "title": "Clamp", "short": ["MAT-450"]},
        {"number": "26-016", "craft": "Sandpiper", "title": "Stem", "short": []},
    ],
}  # fmt: skip


def test_the_most_urgent_first() -> None:
    """In the order and the words that the service gives."""
    assert now_page.shown(YARD, VIEW) == [
        "Fri 27 Nov 16:20    1 in trouble, 2 pots to spread, 1 window to use by 16:35",
        "",
        "    id  what                               state           do",
        "!    4  Transom knees, Curlew              stalled cold  * heat TENT-2 now",
        ">  p31  LAM-PE 3 kg, Teal                  pot           * spread by 16:30",
        ">    6  Sheer clamp tabbing, Teal          window open     layer down by 16:35",
        "   p33  LAM-PE 3 kg, Teal                  pot           * spread by 17:20",
        "     9  Engine bed, plies 1 to 4, with     wet             leave until 17:40",
        "        the bearers of the old machine,",
        "        Curlew",
        "     8  Floor frames, Teal                 gelled        * next layer from 18:55",
        "",
        "job     craft   next                  short of",
        "26-014  Curlew  4: heat TENT-2 now",
        "26-015  Teal    p31: spread by 16:30  MAT-450",
        "also open  26-016",
        "stock  out of date: LAM-PE B-1911   held: LAM-PE B-2202",
        "bays  SHED 19.4 °C 58 %   STORE 14 °C assumed, read 15 °C at 14:05",
        "! trouble   > within 20 min   * seen by hand, else a forecast   more: now --all",
    ]


def test_one_screen() -> None:
    """At most 24 lines of 80 for four layups, three jobs and two pots; more by --all."""
    told = now_page.shown(YARD, VIEW)
    assert len(told) <= 24
    assert max(map(len, told)) <= 80
    assert len(now_all.shown(YARD, VIEW)) > len(told)


@pytest.mark.parametrize("width", [40, 60, 120])
def test_other_screens(width: int) -> None:
    """Nothing runs over the edge."""
    assert max(map(len, now_page.shown(YARD, View(width, NOW)))) <= width


def test_rows_for_a_program() -> None:
    """The same rows: tabs between, moments whole."""
    head, *rows = now_page.shown(YARD, View(40, NOW, plain=True))
    names = head.split("\t")
    first = [dict(zip(names, row.split("\t"), strict=True)) for row in rows]
    assert [row["id"] for row in first] == ["4", "p31", "6", "p33", "9", "8"]
    assert first[1]["at"] == "2026-11-27T16:30:00+00:00"
    assert first[2] == {
        "mark": ">", "id": "6", "what": "Sheer clamp tabbing", "craft": "Teal", "job": "26-014",
        "state": "window open", "seen": "", "do": "layer down by 2026-11-27T16:35:00+00:00",
        "at": "2026-11-27T16:35:00+00:00",
    }  # fmt: skip


def test_a_weekday_alone_is_to_come() -> None:
    """What has been has its date, so that last Tuesday is not taken for the next."""
    past, ahead = datetime(2026, 11, 24, 9, tzinfo=UTC), datetime(2026, 12, 1, 9, tzinfo=UTC)
    told = [moments.clock(moment, VIEW) for moment in (past, ahead, NOW)]
    assert told == ["24 Nov 09:00", "Tue 09:00", "today 16:20"]
    assert moments.clock(datetime(2025, 11, 24, 9, tzinfo=UTC), VIEW) == "2025-11-24 09:00"


def test_the_long_form_has_its_words_too() -> None:
    """What shuts is by then, what opens is from then; neither is at a moment."""
    told = "\n".join(now_all.shown(YARD, View(160, NOW)))
    assert "layer down by today 16:35, in 15 min" in told
    assert "leave until today 17:40, in 1 h 20 min" in told
    assert "next layer from today 18:55, in 2 h 35 min" in told
