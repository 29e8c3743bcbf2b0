"""What the program asks of a layer that is not sound, and what it says of pots not laid up."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from cureyard_client.rendering import now as now_page
from cureyard_client.rendering import now_all
from cureyard_client.rendering.columns import View

from .. import makers
from ..putting import by_commands
from .at_server import sent
from .conftest import Hand

VIEW = View(100, datetime(2026, 3, 4, 9, 0, tzinfo=UTC))


def test_a_word_may_carry_a_leads_reason(server: Any) -> None:
    """As with a layup itself."""
    asked = sent(server, "layup", "observe", "3", "covered", "--override", "surveyor's word")
    assert (asked.path, asked.json) == (
        "/v1/layups/3/observations",
        {"kind": "covered", "override": {"reason": "surveyor's word"}},
    )


def test_pots_not_laid_up_are_told_now() -> None:
    """With until when they can be worked; there is something to do then."""
    pot = {
        "id": 7, "job": "D-7", "resin": "LAM-PE", "amount": {"value": 1200, "unit": "g"},
        "text": "Mixed and not laid up: spread it.", "work_until": "2026-03-04T09:12:30+00:00",
        "craft": "Teal", "do": {"words": "spread by", "urgency": "ending", "near": "minutes",
                                "at": "2026-03-04T09:10:00+00:00"},
    }  # fmt: skip
    now: dict[str, Any] = {"actions": [], "layups": [], "lots": {}, "bays": [], "pots": [pot],
                           "order": [],
                           "at": "2026-03-04T09:00:00+00:00"}  # fmt: skip
    told = now_all.shown(now, VIEW)
    assert told[0] == "Mixed, not laid up"
    assert "spread it" in told[2]
    assert told[2].endswith("by 09:12")
    assert max(map(len, now_all.shown(now, View(40, VIEW.now)))) <= 40
    assert now_all.shown({**now, "pots": []}, VIEW) == ["Nothing to do now."]
    assert "cureyard" not in " ".join(told)
    note = {"words": "note: laid or lost?", "urgency": "wanted", "near": "", "at": None}
    now["pots"] = [pot, {**pot, "id": 4, "work_until": "2026-03-04T08:50:00+00:00", "do": note}]
    now["order"] = [{"layup": None, "pot": 7}, {"layup": None, "pot": 4}]
    assert now_all.shown(now, VIEW)[-1].endswith("cureyard batch observe 4 lost")
    told = [line.split() for line in now_page.shown(now, VIEW)[3:5]]
    assert told == [
        [">", "p7", "LAM-PE", "1.2", "kg,", "Teal", "pot", "*", "spread", "by", "09:10"],
        ["p4", "LAM-PE", "1.2", "kg,", "Teal", "pot", "*", "note:", "laid", "or", "lost?"],
    ]


def test_a_suspect_layer_typed_from_its_laying_to_its_end(embedded: Hand) -> None:
    """Refused with what would help; by leave it stays in trouble; scraped off it is finished."""
    ready = makers.one_part_sheet(
        gel_times=[makers.gel_time("20 degC", "30 min", None)],
        milestones={"recoat_opens": "3 h", "recoat_closes": "24 h"},
    )
    by_commands(
        embedded, products=[makers.epoxy("LAM-EP", cure=ready)], bays=[makers.bay("TENT")],
        jobs=[makers.job("26-013")],
    )  # fmt: skip
    start = ("layup", "start", "26-013", "Layer", "--kind", "laminate", "--bay", "TENT",
             "--product", "LAM-EP")  # fmt: skip
    embedded(*start, "--at", "5h ago")
    told = embedded("layup", "observe", "1", "not_gelled")
    assert "suspect" in told
    assert "not gelled  Ines" in told
    refused = embedded(*start, "--over", "1", exits=1)
    assert "is suspect" in refused
    assert "scrape it off" in refused
    embedded(*start, "--over", "1", "--override", "test piece")
    shown = embedded("layup", "show", "1")
    assert "left unsound" in shown
    assert "left unsound" in embedded("layup", "list", "--curing")
    assert "Suspect no catalyst" in embedded("now", "--all")
    assert "do not cover: ask a lead" in embedded("now")
    assert "finished" in embedded("layup", "observe", "1", "scraped_off", "--note", "down to wood")
    assert "Suspect no catalyst" not in embedded("now", "--all")
    assert "do not cover" not in embedded("now")
