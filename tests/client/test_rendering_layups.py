"""A layup on the screen: milestones in their steps, the window inwards."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from typing import Any

import pytest
from cureyard_client.rendering import layups
from cureyard_client.rendering.columns import View

VIEW = View(100, datetime(2026, 3, 4, 9, 0, tzinfo=UTC))


def at(face: str, earliest: str, latest: str | None, basis: str = "mixed") -> dict[str, Any]:
    """A milestone of that Wednesday."""
    moments = {"at": face, "earliest": earliest, "latest": latest}
    return {n: t and f"2026-03-04T{t}+00:00" for n, t in moments.items()} | {"basis": basis}


MILESTONES = {
    "gel": at("09:28:10", "09:21:00", "09:41:00"),
    "recoat_opens": at("11:02:00", "10:31:00", "11:46:00"),
    "recoat_closes": at("20:58:00", "20:10:00", "21:29:00"),
    "sandable": {"at": None, "why": "tacky-surface"},
    "full_cure": at("23:01:00", "22:10:00", None),
}


NO_FILM = {"at": None, "why": "not-on-sheet"}


def pot(number: int, **more: Any) -> dict[str, Any]:
    """A pot in a layup as the service answers it."""
    return {
        "batch": number, "catalyst": "PX-9", "catalyst_percent": 2.4, "factor": 1.0,
        "factor_basis": "assumed", "filled": False, "mixed_at": "2026-03-04T09:08:00+00:00",
        "gel": MILESTONES["gel"], "film": NO_FILM, "state": "forecast",
    } | more  # fmt: skip


def test_pots_that_differ_are_told_one_a_line() -> None:
    """Percent, lot, gel and state of each; a layup of one pot tells it as its own."""
    assert layups.pots([pot(12)], VIEW) == []
    late = pot(13, catalyst_percent=1.0, factor=1.2, state="late")
    head, *rows = layups.pots([pot(12), late], VIEW)
    assert head.split() == ["pot", "mixed", "catalyst", "factor", "gel", "state"]
    assert [row.split() for row in rows] == [
        ["12", "today", "09:08", "2.4", "%", "1.00", "today", "09:25", "forecast"],
        ["13", "today", "09:08", "1", "%", "1.20", "today", "09:25", "late"],
    ]
    assert layups.pots([pot(12), late], VIEW)[1] in layups.shown(layup(pots=[pot(12), late]), VIEW)


def test_what_a_milestone_rests_on_is_said_below() -> None:
    """What shuts the window, where it is not the clock; and that a gel was seen late."""
    note = "Shut by the sheet's 36 h after mixing, not by the cure clock."
    noted = MILESTONES | {"recoat_closes": MILESTONES["recoat_closes"] | {"note": note}}
    assert f"- window shuts: {note}" in layups.shown(layup(milestones=noted), VIEW)


def layup(**more: Any) -> dict[str, Any]:
    """A layup as the service answers it."""
    return {
        "id": 3, "job": "D-7", "title": "Plies", "kind": "laminate", "bay": "SHED",
        "product": "LAM-PE", "state": ["wet", "cold_stalled"], "milestones": MILESTONES,
        "sign": "wet", "seen": [],
        "do": {"words": "leave until", "urgency": "later", "at": "2026-03-04T09:45:00+00:00",
               "near": ""},
        "window": {"from": "2026-03-04T11:46:00+00:00", "until": "2026-03-04T20:10:00+00:00"},
        "next": {"action": "wait", "text": "Wet.", "at": "2026-03-04T09:41:00+00:00",
                 "cautions": []},
        "warnings": ["It is damp."], "cautions": ["Sign off."],
        "applied_at": "2026-03-04T09:00:00+00:00", **more,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("bag", "told"),
    [
        ({}, "on since today 08:00; hold the vacuum, no hour is sure"),
        ({"pressure": {"value": 850.0, "unit": "hPa"}, "hold_until": "2026-03-04T13:31:00+00:00"},
         "on since today 08:00, 850 hPa below the air; hold the vacuum until today 13:35, in"),
        ({"off_at": "2026-03-04T08:40:00+00:00"}, "on since today 08:00; off today 08:40"),
    ],
)  # fmt: skip
def test_a_bag_and_until_when_to_hold_it(bag: dict[str, Any], told: str) -> None:
    """Rounded up, as what opens; a layup without one says nothing."""
    on = {"since": "2026-03-04T08:00:00+00:00", "pressure": None, "air_pressure": None,
          "hold_until": None, "off_at": None} | bag  # fmt: skip
    assert told in " ".join(" ".join(layups.shown(layup(bag=on), VIEW)).split())
    assert "vacuum" not in " ".join(layups.shown(layup(bag=None), VIEW))


def test_milestones_in_their_steps() -> None:
    """To five minutes: gel early, what opens late, what closes early; why there is none."""
    rows = [line.split("  ") for line in layups.milestones(MILESTONES, VIEW)]
    found = {row[0]: [cell.strip() for cell in row[1:] if cell.strip()] for row in rows}
    assert found["gel"] == ["today 09:25, in 25 min", "today 09:20 to 09:45", "mixed"]
    assert found["window opens"] == [
        "today 11:05, in 2 h 5 min", "today 10:35 to 11:50", "mixed",
    ]  # fmt: skip
    assert found["window shuts"][:2] == ["today 20:55, in 11 h 55 min", "today 20:10 to 21:25"]
    assert found["sandable"] == ["-", "tacky surface"]
    assert found["cured for handling"][1] == "today 22:10 or much later"


def test_the_window_is_shown_inwards() -> None:
    """It opens late and closes early."""
    assert layups.window(layup(), VIEW) == "today 11:50 to 20:10"


def test_a_short_window_keeps_its_minutes() -> None:
    """Where the steps would eat it up, it is shown to the minute."""
    short = {"from": "2026-03-04T11:46:00+00:00", "until": "2026-03-04T11:53:00+00:00"}
    assert layups.window(layup(window=short), VIEW) == "today 11:46 to 11:53"


def test_no_window() -> None:
    """Where no moment is surely inside it, a touch test is all that is left, and that is said."""
    touch = {"from": "2026-03-04T11:02:00+00:00", "until": "2026-03-04T20:58:00+00:00"}
    told = "\n".join(layups.shown(layup(window=None, touch_window=touch), VIEW))
    assert re.search(r"^window +only with a touch test today 11:05 to 20:55", told, re.MULTILINE)
    none = {"at": None, "why": "cold-stalled"}
    stalled = {**MILESTONES, "recoat_opens": none}
    told = "\n".join(layups.shown(layup(window=None, milestones=stalled), VIEW))
    assert not re.search(r"^window  ", told, re.MULTILINE)


def test_both_windows_in_one_line() -> None:
    """The sure one first, by whose end the layer is spread; then the wider one for a touch."""
    touch = {"from": "2026-03-04T11:02:00+00:00", "until": "2026-03-04T20:58:00+00:00"}
    told = "\n".join(
        layups.shown(layup(touch_window=touch, sign="recoat_touch", state=["recoat_touch"]), VIEW)
    )
    assert "today 11:50 to 20:10, spread by then; with a touch test today 11:05 to 20:55" in told
    assert "state    touch test" in told


BUDGET = {
    "of": "recoat_opens",
    "shares": [
        {"part": "temperature", "percent": 30.2}, {"part": "stage", "percent": 69.1},
        {"part": "order", "percent": 0.7},
    ],
    "would_help": [{"measure": "temperature", "percent": 14.4}],
}  # fmt: skip


def test_why_a_moment_is_so_unsure() -> None:
    """A line for each moment: its parts, without the least ones, and what would help."""
    wide = View(200, VIEW.now)
    told = "\n".join(layups.shown(layup(budget=[BUDGET]), wide))
    (line,) = [line for line in told.splitlines() if line.startswith("? ")]
    assert line.startswith("? window opens: the temperature 30 %, the stage beside its gel 69 %")
    assert "order" not in line
    assert "catalyst" not in line
    assert re.search(r"Would help: .*thermometer.*14 % narrower", line)
    assert "Would help" not in "\n".join(layups.shown(layup(), wide))


def test_the_whole_card() -> None:
    """State and what is next first; warnings and cautions last."""
    told = layups.shown(layup(), VIEW)
    assert told[:4] == [
        "layup 3  Plies, job D-7",
        "state    wet, stalled cold",
        "next     leave until today 09:45, in 45 min. Wet.",
        "window   today 11:50 to 20:10",
    ]
    assert told[-2:] == ["! It is damp.", "- Sign off."]


def test_what_hands_saw() -> None:
    """When, what and by whom, with the note; without words no heading either."""
    seen = [
        {"kind": "not_gelled", "at": "2026-03-04T09:30:00+00:00", "value": None, "who": "Ines"},
        {"kind": "hardness", "at": "2026-03-04T15:00:00+00:00", "value": 38, "who": "Rui",
         "note": "by the keel"},
    ]  # fmt: skip
    told = [line.split() for line in layups.shown(layup(observations=seen), VIEW)]
    assert ["today", "09:30", "not", "gelled", "Ines"] in told
    assert "today 15:00 hardness 38 Barcol 934-1 Rui by the keel" in map(" ".join, told)
    assert not any(line[:1] == ["seen"] for line in map(str.split, layups.shown(layup(), VIEW)))


def test_a_wet_film_with_its_mean_and_verdict() -> None:
    """By the build of its sheet; without one no verdict is printed."""
    film = {"kind": "wet_film", "at": "2026-03-04T09:30:00+00:00", "value": None, "who": "Ines",
            "wet_films": [{"value": 0.45, "unit": "mm"}, {"value": 0.5, "unit": "mm"}],
            "wet_film_mean": {"value": 0.475, "unit": "mm"}}  # fmt: skip
    for verdict, words in (("within", "within the sheet's build"), (None, "")):
        seen = [film | {"wet_film_verdict": verdict}]
        told = " ".join(" ".join(layups.shown(layup(observations=seen), VIEW)).split())
        assert f"0.45 mm, 0.5 mm; mean 0.47 mm{', ' + words if words else ''} Ines" in told


@pytest.mark.parametrize("state", ["late", "suspect", "unsettled", "cold_stalled"])
def test_no_window_is_called_uncertain_where_none_is_promised(state: str) -> None:
    """Nor is a touch test."""
    told = "\n".join(layups.shown(layup(window=None, touch_window=None, state=[state]), VIEW))
    assert not any(
        line.startswith("window  ")
        for line in told.splitlines()
        if "opens" not in line and "shuts" not in line
    )
    assert "touch test" not in told


@pytest.mark.parametrize("width", [40, 60, 80])
def test_it_fits(width: int) -> None:
    """From 40 columns on."""
    view = View(width, VIEW.now)
    lines = layups.shown(layup(), view) + layups.listed([layup()], view)
    assert max(map(len, lines)) <= width


def test_its_post_cure_and_what_it_lies_on() -> None:
    """Hours rounded down, with the band; done when they are enough. None where none is asked."""
    heat = {
        "from": {"value": 55, "unit": "degC"}, "to": {"value": 65, "unit": "degC"},
        "time": {"value": 15, "unit": "h"}, "measured": {"value": 14.999, "unit": "h"},
        "done": False, "done_at": None,
    }  # fmt: skip

    def told(**facts: Any) -> str:
        return "\n".join(layups.shown(layup(**facts), VIEW))

    assert "14 h 59 min of 15 h at 55 °C to 65 °C, measured" in told(post_cure=heat)
    done = {**heat, "measured": heat["time"], "done": True, "done_at": "2026-03-04T08:30:00+00:00"}
    assert "measured: done today 08:30" in told(post_cure=done)
    assert "old epoxy" in told(over_surface="old_epoxy")
    assert "post-cure" not in told()
