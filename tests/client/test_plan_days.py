"""What `plan days` asks, what it prints, and what it refuses before it asks."""

from __future__ import annotations

from typing import Any

import pytest

from .at_server import sent, typed

STEP = ("--step", "Ply 1", "LAM-PE@1.5", "90 min")


def planned(**changes: Any) -> dict[str, Any]:
    """One step of an answer."""
    return {
        "title": "Ply 1", "kind": "cure", "product": "LAM-PE",
        "start": "2030-03-20T08:00:00+00:00", "end": "2030-03-20T09:30:00+00:00",
        "abrade": None, "laid_from": "2030-03-20T08:00:00+00:00",
        "recoat_opens": "2030-03-20T14:37:00+00:00", "recoat_closes": "2030-03-20T20:44:00+00:00",
        "next_by": "2030-03-20T19:44:00+00:00",
        "prepare": [], "bound": "start", "why": "begins when the plan does", **changes,
    }  # fmt: skip


def answer(*steps: dict[str, Any], **changes: Any) -> dict[str, Any]:
    """A whole answer."""
    return {
        "bay": "SHED", "start": "2030-03-20T08:00:00+00:00", "steps": list(steps),
        "slot": {"value": 15, "unit": "min"}, "finish": "2030-03-20T09:30:00+00:00",
        "abrades": 0, "night_work": {"value": 0, "unit": "h"}, "advice": [], "warnings": [],
        "cautions": [], **changes,
    }  # fmt: skip


def test_as_asked(server: Any) -> None:
    """Steps in the order typed: a pair, a one-part, work, a wait and a hold."""
    asked = sent(
        server, "plan", "days", "SHED", *STEP, "--step", "Coat", "TOP+HARD@2%", "1 h",
        "--step", "Bond", "BEDDING", "20 min", "--step", "Sand", "work", "2 h",
        "--step", "Dry", "wait", "12 h", "--step", "Survey", "hold", "2030-03-21T09:00:00Z",
        "--abrade", "45 min", "--hours", "7:30-16:00", "--days", "fri-mon,wed",
        "--closed", "2030-03-25", "--after", "7",
    )  # fmt: skip
    assert (asked.method, asked.path) == ("POST", "/v1/plans")
    lay = {"abrade": "45 min"}
    assert asked.json == {
        "bay": "SHED", "after": 7,
        "hours": {"days": ["mon", "wed", "fri", "sat", "sun"], "from": "07:30", "until": "16:00",
                  "closed": ["2030-03-25"]},
        "steps": [
            {"title": "Ply 1", "product": "LAM-PE", "catalyst_percent": 1.5,
             "work": "90 min", **lay},
            {"title": "Coat", "product": "TOP", "catalyst": "HARD", "catalyst_percent": 2,
             "work": "1 h", **lay},
            {"title": "Bond", "product": "BEDDING", "work": "20 min", **lay},
            {"title": "Sand", "kind": "work", "work": "2 h"},
            {"title": "Dry", "kind": "wait", "wait": "12 h"},
            {"title": "Survey", "kind": "hold", "until": "2030-03-21T09:00:00Z"},
        ],
    }  # fmt: skip


def test_a_job_keeps_it(server: Any) -> None:
    """One PUT to the job, with a key, so that a lost answer can be asked for again."""
    asked = sent(server, "plan", "days", "SHED", *STEP, "--job", "J-1")
    assert (asked.method, asked.path) == ("PUT", "/v1/jobs/J-1/plan")
    assert asked.headers["Idempotency-Key"]


def test_printed(server: Any) -> None:
    """Windows inwards, reasons, what moved, what would help."""
    abraded = planned(
        title="Ply 2", abrade={"value": 0.75, "unit": "h"}, prepare=["grind to dull"],
        recoat_opens=None, recoat_closes=None, why="at the first hours of the shop that hold it",
    )  # fmt: skip
    moved = {"title": "Ply 1", "was": "2030-03-20T07:00:00+00:00",
             "now": "2030-03-20T08:00:00+00:00"}  # fmt: skip
    server.answer(
        server.reply(
            answer(planned(), abraded, abrades=1, job="J-1", who="Ines", moved=[moved],
                   advice=["Starting at 07:30 saves a day."], warnings=["Ply 2 on Ply 1: stop."])
        )
    )  # fmt: skip
    shown = typed(server, "job", "plan", "J-1").output
    for words in (
        "14:40 to 19:40", "0.75 h", "before 1 layer", "= Ply 1: begins when the plan does.",
        "~ Ply 1 moved from 2030-03-20 07:00 to 2030-03-20 08:00.", "! Ply 2 on Ply 1: stop.",
        "> Starting at 07:30 saves a day.", "- Before Ply 2: grind to dull.",
    ):  # fmt: skip
        assert words in shown


@pytest.mark.parametrize(
    ("option", "value"), [("--hours", "8 to 17"), ("--days", "mon-feast"), ("--days", "holidays")]
)
def test_what_is_no_hours_is_refused_at_once(server: Any, option: str, value: str) -> None:
    """Wrong usage, with an example; nothing is asked."""
    ran = typed(server, "plan", "days", "SHED", *STEP, option, value)
    assert ran.exit_code == 2
    assert "as in" in ran.output
    assert not server.requests


def test_what_is_no_product_is_refused_at_once(server: Any) -> None:
    """The step's middle is a product with its percent, or one of three words."""
    ran = typed(server, "plan", "days", "SHED", "--step", "A", "LAM@two", "1 h")
    assert ran.exit_code == 2
    assert "PRODUCT@PERCENT" in ran.output
