"""A whole day over real HTTP, and the same day by the door: the same answers, the same books.

The server's store is on PostgreSQL and the door's in an SQLite file, so it is also the same day
on both.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from ..engines import Engine
from .conftest import Done, Hand
from .story import DAY, filling

pytestmark = pytest.mark.only_on("postgresql")

Answers = Mapping[str, Done]

_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d")
_ADDRESS = re.compile(r"http://(localhost|127\.0\.0\.1:\d+)/")


@dataclass(frozen=True)
class Days:
    """The day as it was answered, over HTTP and by the door, and what came after it.

    Attributes:
        began, ended: a moment between them is that of the typing.
        at_work: what a server's own store says to whom while it is served.
        after: what was typed once the server had stopped.
    """

    http: Answers
    door: Answers
    began: datetime
    ended: datetime
    at_work: Answers
    after: Answers


def live(hand: Hand, words: dict[str, str]) -> dict[str, Done]:
    """Type the day, line by line."""
    return {
        step.name: hand.types(f"{step.line.format(**words)} --json", step.exits) for step in DAY
    }


def serve_a_day(
    folder: Path, database: str, words: dict[str, str]
) -> tuple[Answers, Answers, Answers]:
    """The day against a server in another process; then the server stops, and the books hold."""
    owner = Hand.at(folder, database=database, zone="Europe/Lisbon")
    with owner.serving() as url:
        hand = Hand.at(folder / "hand", url=url, hand="Ines")
        answers = live(hand, words)
        at_work = {
            "prove": hand.types("prove", exits=2),
            "words": hand.types("draw MICROS '1 kg' --job D-7", exits=1),
            "screen": hand.types("lot show MAT-450/M-7/1"),
        }
    after = {
        "prove": owner.types("prove --json"),
        "nobody": hand.types("now", exits=3),
        "lots": owner.types("lot list --json"),
    }
    return answers, at_work, after


@pytest.fixture(scope="module")
def days(tmp_path_factory: pytest.TempPathFactory, engine: Engine) -> Days:
    """Both days, lived side by side."""
    folder = tmp_path_factory.mktemp("days")
    began = datetime.now(UTC).replace(microsecond=0)
    words = filling(began, folder)
    alone = Hand.at(
        folder / "alone",
        database=str(folder / "alone.sqlite"), zone="Europe/Lisbon", hand="Ines",
    )  # fmt: skip
    with ThreadPoolExecutor(2) as both:
        served = both.submit(serve_a_day, folder / "served", engine.empty(), words)
        embedded = both.submit(live, alone, words)
        (http, at_work, after), door = served.result(), embedded.result()
    return Days(http, door, began, datetime.now(UTC), at_work, after)


def timeless(text: str, days: Days) -> str:
    """An answer in which the moments and the day of the typing are all one."""

    def moment(match: re.Match[str]) -> str:
        found = datetime.fromisoformat(match[0])
        return "<now>" if days.began <= found <= days.ended else match[0]

    plain = _ADDRESS.sub("http://yard/", _MOMENT.sub(moment, text))
    for when in {days.began, days.ended}:
        plain = plain.replace(f'"{when.date().isoformat()}"', '"<today>"')
    return plain


def near(one: datetime, other: datetime) -> bool:
    """Whether two moments are as near as they were typed; an hour to do is to five minutes."""
    apart, step = abs(one - other), timedelta(minutes=5)
    whole = all(each.minute % 5 == each.second == 0 for each in (one, other))
    return apart <= (step if whole else timedelta(minutes=2))


def test_over_http_and_by_the_door_alike(days: Days) -> None:
    """Every answer, every word of a refusal, and the moments as near as the two were typed.

    What is typed without a time is of then, and a reading or a look of then moves what follows.
    """
    for step in DAY:
        served, alone = days.http[step.name], days.door[step.name]
        one, other = timeless(served.out, days), timeless(alone.out, days)
        assert _MOMENT.sub("<moment>", one) == _MOMENT.sub("<moment>", other), step.line
        for told, again in zip(_MOMENT.findall(one), _MOMENT.findall(other), strict=True):
            assert near(datetime.fromisoformat(told), datetime.fromisoformat(again)), step.line
        assert timeless(served.err, days) == timeless(alone.err, days), step.line
        assert isinstance(served.json, dict), step.line


def value(quantity: dict[str, Any]) -> tuple[float, str]:
    """A quantity of an answer as a pair."""
    return quantity["value"], quantity["unit"]


def test_deliveries(days: Days) -> None:
    """The expired one is received, and says so; the held one says why."""
    assert days.http["drum"].json["state"] == "good"
    old = days.http["old drum"].json
    assert old["state"] == "expired"
    assert "can't be drawn" in old["warnings"][0]
    assert (days.http["hold"].json["state"], days.http["hold"].json["hold_reason"]) == (
        "held", "stood in the sun",
    )  # fmt: skip


def test_the_bays_air(days: Days) -> None:
    """The logger's file and a reading by hand."""
    assert (days.http["log"].json["added"], days.http["log"].json["known"]) == (7, 0)
    assert days.http["reading"].json["recorded"] == 1


@pytest.mark.parametrize(
    ("name", "slug", "status", "words"),
    [
        ("expired", "expired-lot", 409, "is out of date since 2020-01-31"),
        ("held", "held-lot", 409, "stood in the sun"),
        ("unitless", "unit-missing", 422, "unit"),
        ("too much", "validation", 422, "did not draw so much"),
        ("still cures", "job-closed", 409, "still cure"),
    ],
)
def test_a_refusal_says_what_and_that_nothing_changed_and_what_to_do(
    days: Days, name: str, slug: str, status: int, words: str
) -> None:
    """On the screen in that order; for a program as a problem document on stdout."""
    told = days.http[name]
    assert told.json["type"].endswith(f"/problems/{slug}")
    assert (told.json["status"], told.json["changed"]) == (status, False)
    assert words in told.json["detail"]
    first, *rest = told.err.splitlines()
    assert first == f"Refused: {told.json['detail']}"
    assert rest == ["Nothing was changed.", told.json["advice"]]


def test_the_pot_is_what_the_dose_said(days: Days) -> None:
    """The same sum, drawn: from the drum that is in date, the others passed over aloud."""
    dose, pot = days.http["dose"].json, days.http["pot"].json
    assert pot["catalyst"] == dose["catalyst"]
    assert dose["gel"]["time"]["value"] == pytest.approx(25, abs=0.5)
    assert [(d["number"], value(d["quantity"])) for d in pot["draws"]] == [
        ("B-2207", (-1.5, "kg")),
        ("P-14", (-pot["catalyst"]["mass"]["value"] / 1000, "kg")),
        ("C-3", (-0.06, "kg")),
    ]
    assert len([word for word in pot["warnings"] if word.startswith("Passed over lot")]) == 2


def test_the_layup(days: Days) -> None:
    """Gel as a hand saw it, a window that has opened, sandable under its peel ply."""
    laid, shown = days.http["layup"].json, days.http["shown"].json
    assert laid["milestones"]["gel"]["basis"] != "observed"
    assert shown["milestones"]["gel"]["basis"] == "observed"
    order = [shown["milestones"][name]["at"] for name in ("gel", "recoat_opens", "recoat_closes")]
    assert [datetime.fromisoformat(at) for at in order] == sorted(
        datetime.fromisoformat(at) for at in order
    )
    assert {"gelled", "recoat_open"} <= set(shown["state"])
    assert shown["milestones"]["sandable"]["at"] is not None
    (action,) = days.http["now"].json["actions"]
    assert (action["layup"], action["action"]) == (1, "coat")
    assert [lot["number"] for lot in days.http["now"].json["lots"]["held"]] == ["B-2100"]
    assert days.http["handed over"].json["state"] == ["finished"]
    assert days.http["closed"].json["state"] == "closed"


def test_an_offcut_is_a_lot_of_its_own(days: Days) -> None:
    """Five metres drawn, two came back: the roll has 25, the piece 2."""
    (line,) = days.http["return"].json["movements"]
    lots = {lot["id"]: lot for lot in days.http["lots"].json["items"]}
    piece = lots[line["lot"]]
    roll = lots[piece["parent"]]
    assert (roll["number"], value(roll["on_hand"])) == ("M-7", (25.0, "m"))
    assert (value(piece["on_hand"]), value(piece["length"])) == ((2.0, "m"), (2.0, "m"))


def test_stock_at_the_end_of_the_day(days: Days) -> None:
    """What was counted stands, what was scrapped is gone, refusals took nothing."""
    held = {
        (lot["number"], lot["container"]): value(lot["on_hand"])[0]
        for lot in days.http["lots"].json["items"]
    }
    catalyst = days.http["pot"].json["catalyst"]["mass"]["value"] / 1000
    assert held == {
        ("B-2207", "1"): 18.0, ("B-1911", "1"): 0.0, ("B-2100", "1"): 5.0,
        ("P-14", "1"): pytest.approx(1 - catalyst), ("M-7", "1"): 25.0, ("M-7", "1.1"): 2.0,
        ("C-3", "1"): 1.94,
    }  # fmt: skip
    (count,) = days.http["count"].json["movements"]
    assert value(count["quantity"]) == (-0.5, "kg")


def test_two_years_on_somebody_asks(days: Days) -> None:
    """Job, craft, pot, layup and hand, from the lot alone."""
    trace = days.http["trace"].json
    assert [line["kind"] for line in trace["movements"]] == ["receipt", "draw", "count"]
    assert {line["who"] for line in trace["movements"]} == {"Ines"}
    assert [(job["number"], job["craft"]) for job in trace["jobs"]] == [("D-7", "the dory Teal")]
    assert [pot["id"] for pot in trace["batches"]] == [1]
    assert [layup["title"] for layup in trace["layups"]] == ["Plies 1-3"]


def test_the_store_itself_is_not_opened_through_a_server(days: Days) -> None:
    """`prove` says where to run it."""
    told = days.at_work["prove"].err
    assert "a server is set" in told
    assert "CUREYARD_URL unset" in told


def test_words_for_a_person(days: Days) -> None:
    """Without --json: amounts in the yard's units on stdout, refusals on stderr alone."""
    assert "25 m" in days.at_work["screen"].out
    refused = days.at_work["words"]
    assert refused.out == ""
    assert refused.err.startswith("Refused: Job D-7 is closed.\nNothing was changed.\n")


def test_stopped_and_proved(days: Days) -> None:
    """After SIGTERM the books on the same file hold, and have all that was answered."""
    proofs = days.after["prove"].json["proofs"]
    assert proofs
    assert all(proof["ok"] for proof in proofs)
    assert days.after["lots"].json == days.http["lots"].json


def test_no_server_any_more(days: Days) -> None:
    """Exit 3: what was asked, that it does not answer, what to do; no trace of a fault."""
    told = days.after["nobody"]
    assert told.out == ""
    assert told.err.startswith("Error: ")
    assert "127.0.0.1" in told.err
    assert len(told.err.splitlines()) >= 2
