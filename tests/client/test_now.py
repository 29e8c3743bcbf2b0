"""What to do now, in one screen: a row a layup and a pot, the most urgent first."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from cureyard_client.rendering import now as now_page
from cureyard_client.rendering import now_all
from cureyard_client.rendering.columns import View

NOW = datetime(2026, 11, 27, 16, 20, tzinfo=UTC)
VIEW = View(80, NOW)
"""A Friday."""


def at(clock: str) -> str:
    """A moment of that day."""
    return f"2026-11-27T{clock}:00+00:00"


def layup(number: int, title: str, state: list[str], action: str, **facts: Any) -> dict[str, Any]:
    """A layup as the service answers it."""
    step = {"action": action, "text": f"{action}!", "at": facts.pop("at", None), "cautions": []}
    return {
        "id": number, "job": "26-014", "craft": "Teal", "title": title, "bay": "TENT-2",
        "state": state, "next": step, "milestones": {}, "observations": [], "window": None,
    } | facts  # fmt: skip


def action(of: dict[str, Any], closing: bool = False) -> dict[str, Any]:
    """The action of a layup as the service answers it."""
    step = of["next"]
    return {"layup": of["id"], "job": of["job"], "craft": of["craft"], "title": of["title"],
            "action": step["action"], "text": step["text"], "at": step["at"],
            "closing": closing}  # fmt: skip


def pot(number: int, until: str) -> dict[str, Any]:
    """A pot that is not laid yet."""
    return {"id": number, "job": "26-015", "craft": "Teal", "resin": "LAM-PE",
            "amount": {"value": 3, "unit": "kg"}, "work_until": at(until),
            "text": "Spread it."}  # fmt: skip


def lot(number: str) -> dict[str, Any]:
    """A lot to see to."""
    return {"id": 1, "product": "LAM-PE", "number": number, "container": "1",
            "on_hand": {"value": 8, "unit": "kg"}, "expires_on": "2026-10-31"}  # fmt: skip


LAYUPS = [
    layup(9, "Engine bed, plies 1 to 4, with the bearers of the old machine", ["wet"], "wait",
          at=at("17:36"), craft="Curlew"),
    layup(6, "Sheer clamp tabbing", ["gelled", "recoat_open"], "coat", at=at("16:37")),
    layup(4, "Transom knees", ["cold_stalled"], "heat", craft="Curlew"),
    layup(8, "Floor frames", ["gelled"], "wait", at=at("18:52"),
          window={"from": at("18:52"), "until": at("23:00")},
          observations=[{"kind": "gelled"}]),
]  # fmt: skip
YARD: dict[str, Any] = {
    "at": at("16:20"), "layups": LAYUPS,
    "actions": [action(each, each["id"] == 6) for each in LAYUPS],
    "pots": [pot(31, "16:32"), pot(33, "17:20")],
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
    """Trouble, then what is nearly over, then what has a deadline, then what waits."""
    assert now_page.shown(YARD, VIEW) == [
        "Fri 27 Nov 16:20    1 in trouble, 2 pots to spread, 1 window to use by 16:35",
        "",
        "    id  what                               state           do",
        "!    4  Transom knees, Curlew              stalled cold    heat TENT-2 now",
        ">  p31  LAM-PE 3 kg, Teal                  pot           * spread by 16:30",
        ">    6  Sheer clamp tabbing, Teal          window open     next layer by 16:35",
        "   p33  LAM-PE 3 kg, Teal                  pot           * spread by 17:20",
        "     9  Engine bed, plies 1 to 4, with     wet             leave until 17:45",
        "        the bearers of the old machine,",
        "        Curlew",
        "     8  Floor frames, Teal                 gelled        * next layer from 19:00",
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
    assert first[1]["due"] == "2026-11-27T16:32:00+00:00"
    assert first[2] | {"do": ""} == {
        "mark": ">", "id": "6", "what": "Sheer clamp tabbing", "craft": "Teal", "job": "26-014",
        "state": "window open", "seen": "", "do": "", "due": "2026-11-27T16:37:00+00:00",
        "at": "2026-11-27T16:37:00+00:00",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("state", "action", "facts", "told"),
    [
        (["suspect", "late", "wet"], "probe", {}, "do not cover it: probe it, scrape it off"),
        (["late", "wet"], "probe", {}, "do not cover it: find out why"),
        (["unsettled"], "probe", {}, "find out what became of it, and note it"),
        (["gelled"], "heat", {"at": at("22:17")}, "heat TENT-2 from 22:15"),
        (["recoat_touch"], "touch", {"at": at("17:52"), "window": {"from": at("17:52")}},
         "touch test now; sure from 18:00"),
        (["recoat_touch"], "touch", {"at": at("17:52")}, "touch test, then next layer by 17:50"),
        (["gelled"], "touch", {}, "feel it with a glove"),
        (["gelled"], "wait",
         {"at": at("18:02"), "milestones": {"sandable": {"latest": at("18:02")}}},
         "sand from 18:15"),
        (["gelled"], "wait", {"at": at("18:02")}, "touch test from 18:15"),
        (["sandable"], "prepare", {}, "prepare it before the next layer"),
        (["gelled"], "coat", {}, "next layer now"),
        (["recoat_open"], "coat", {"at": at("16:22")}, "next layer at once"),
    ],
)  # fmt: skip
def test_what_to_do_in_a_few_words(
    state: list[str], action: str, facts: dict[str, Any], told: str
) -> None:
    """By what shuts, from what opens."""
    of = layup(1, "Plies", state, action, **facts)
    yard = {**YARD, "layups": [of], "pots": [], "actions": [], "jobs": []}
    assert now_page.shown(yard, View(120, NOW))[3].endswith(told)


def test_the_long_form_has_its_words_too() -> None:
    """What shuts is by then, what opens is from then; neither is at a moment."""
    told = "\n".join(now_all.shown(YARD, View(120, NOW)))
    assert "by today 16:35, in 15 min" in told
    assert "until today 17:45, in 1 h 25 min" in told
    assert "from today 19:00, in 2 h 40 min" in told
