"""One repair from survey to signature, over HTTP: refused once at each gate, put right, signed.

A structural job under the profile `class`, at a server with tokens: Ines, a hand, writes what she
does; Ada, a lead, signs. What happened in the last month is entered with its moments.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
import requests

from .. import makers
from ..engines import Engine
from ..waiting import HANGS_S
from ..web.read_page import BROWSER, Page
from .conftest import Hand

JOB = "26-031"
KEEL = "keel, frame 4"
HARD = [44, 46, 43, 45, 47, 44, 42, 46, 45, 43]
"""Ten readings; the sheet wants 45, so 40.5 is needed."""
NEAR = [38, 41, 44, 40, 36, 43, 45, 39, 42, 37]
"""40.5 ± 0.957: at what is needed, so more readings may turn the answer."""
SOFT = [30, 31, 29, 30, 32, 30, 28, 31, 30, 29]
MET = ["thick_enough", "off_edges", "instrument_checked", "wax_off"]
LOG_DAYS = 29


@dataclass
class Yard:
    """Who writes to a server, and since when everything is counted.

    Attributes:
        folder: of a home for who types. secrets: of the tokens, by name.
        today: now; what is told happened some days after the log began.
    """

    url: str
    folder: Path
    secrets: dict[str, str]
    today: datetime = field(default_factory=lambda: datetime.now(UTC).replace(microsecond=0))

    def at(self, day: float, **more: float) -> str:
        """A moment, so many days after the log began, in ISO 8601."""
        moment = self.today - timedelta(days=LOG_DAYS) + timedelta(days=day, **more)
        return moment.isoformat(timespec="seconds")

    def ask(self, method: str, path: str, body: Any = None, by: str = "Ines") -> requests.Response:
        """One request, with somebody's token."""
        headers = {"Authorization": f"Bearer {self.secrets[by]}", "If-Match": "*"}
        return requests.request(
            method, f"{self.url}/v1/{path}", json=body, headers=headers, timeout=HANGS_S
        )

    def get(self, path: str) -> Any:
        """What the interface answers."""
        answer = self.ask("GET", path)
        assert answer.status_code == 200, answer.text
        return answer.json()

    def post(self, path: str, body: Any, by: str = "Ines") -> Any:
        """Something that is taken."""
        answer = self.ask("POST", path, body, by)
        assert answer.status_code == 201, f"{path} {body}\n{answer.text}"
        return answer.json()

    def change(self, path: str, body: Any, by: str) -> Any:
        """A change that is taken."""
        answer = self.ask("PATCH", path, body, by)
        assert answer.status_code == 200, answer.text
        return answer.json()

    def refused(self, path: str, body: Any, slug: str, status: int = 409, **asked: Any) -> Any:
        """Something that is refused in words, and changes nothing."""
        answer = self.ask(asked.pop("method", "POST"), path, body, **asked)
        told = answer.json()
        assert (answer.status_code, told.get("slug")) == (status, slug), told
        assert told["changed"] is False
        assert told["detail"]
        assert told["advice"]
        return told

    def of_job(self, noun: str, body: dict[str, Any]) -> Any:
        """A record of the job."""
        return self.post(f"jobs/{JOB}/{noun}", body)

    def read(self, place: str, day: float, *placements: float, dry: bool = False) -> Any:
        """A moisture reading."""
        return self.of_job("moisture-readings", {
            "place": place, "meter": "CAP-1", "mode": "deep", "placements": placements,
            "surface_temperature": "19 degC", "bay": "SHED", "dry_place": dry,
            "at": self.at(day),
        })  # fmt: skip

    def film(self, taped: float, looked: float, *, drops: bool = False) -> None:
        """Film that was taped over the wet place, from one day to another."""
        self.of_job("film-tests", {
            "place": KEEL, "taped_at": self.at(taped), "looked_at": self.at(looked),
            "drops": drops,
        })  # fmt: skip

    def pot(self, day: float, **more: float) -> dict[str, Any]:
        """A pot of a kilogram at a moment."""
        return makers.pot(job=JOB, mixed_at=self.at(day, **more), bay="SHED")

    def stopped(self, words: str, day: float, **more: float) -> None:
        """A pot of that moment is held back by one gate."""
        told = self.refused("batches", self.pot(day, **more), "gate-stop")
        assert words in told["detail"] + told["advice"]
        assert len(told["gates"]) == 1, told

    def verdict(self, gate: str) -> str:
        """What a gate says now."""
        gates = self.get(f"jobs/{JOB}/gates")["gates"]
        return str(next(each["verdict"] for each in gates if each["gate"] == gate))

    def open_items(self) -> list[str]:
        """What a signature still wants settled, by its names."""
        return [each["item"] for each in self.get(f"jobs/{JOB}/signature")["open"]]


@pytest.fixture
def yard(tmp_path: Path, engine: Engine) -> Iterator[Yard]:
    """A served yard with class rules, a hand's and a lead's token, and nothing else."""
    owner = Hand.at(tmp_path, database=engine.empty(), zone="UTC", hand="Ada")
    owner.types("yard set --profile class")
    secrets = {
        name: owner.types(f"token add {name} --role {role} --json").json["token"]
        for name, role in (("Ada", "admin"), ("Ines", "hand"))
    }
    with owner.serving() as url:
        yield Yard(url, tmp_path / "lead", secrets)


def furnish(yard: Yard) -> None:
    """A warm, dry shed with a log of a month, its stock, a meter, and the job."""
    sheet = makers.sheet(hardness_min=45, hardness_scale="barcol_934_1")
    for product in (makers.catalyst(), makers.resin(cure=sheet), makers.mat()):
        yard.post("products", product, "Ada")
    yard.post("bays", makers.bay(), "Ada")
    hours = [_hour(yard, hour) for hour in range(LOG_DAYS * 24 + 1)]
    yard.post("bays/SHED/readings", {"readings": hours})
    came = {"bay": "SHED", "received_on": yard.at(0)[:10]}
    told = yard.refused("lots", makers.lot() | came, "validation", 422)
    assert told["pointer"] == "/expires_on"
    came["expires_on"] = yard.at(LOG_DAYS + 90)[:10]
    for lot in (
        makers.lot("PEROX", "1 kg", "P-1"), makers.lot(), makers.lot("MAT", "30 m", "M-7"),
    ):  # fmt: skip
        yard.post("lots", lot | came)
    yard.post("meters", {
        "code": "CAP-1", "title": "Capacitance", "kind": "capacitance", "scale_from": 0,
        "scale_to": 100, "modes": [{"name": "deep"}],
    }, "Ada")  # fmt: skip
    yard.post("jobs", makers.job(JOB, title="Blisters by the keel", structural="yes",
                                 authority=None, at=yard.at(0.5)))  # fmt: skip


def _hour(yard: Yard, hour: int) -> dict[str, Any]:
    """A line of the log: 20 °C and 55 %, but for a day on which the door stood open."""
    heat, damp = ("13 degC", 88) if hour // 24 == 3 else ("20 degC", 55)
    return {"at": yard.at(0, hours=hour), "temperature": heat, "humidity_percent": damp}


def found_at(place: str, **changes: Any) -> dict[str, Any]:
    """A blister at a place."""
    return {
        "place": place, "side": "port", "kind": "blister", "length": "120 mm", "width": "80 mm",
        "found_by": "by tapping", **changes,
    }  # fmt: skip


def survey(yard: Yard) -> None:
    """Whose rules; what was found; a reference of dry places; and the place itself is wet."""
    yard.of_job("findings", found_at(KEEL, at=yard.at(1)))
    needs = {"needs": [{"product": "LAM", "quantity": "4 kg"},
                       {"product": "MAT", "quantity": "6 m"}]}  # fmt: skip
    yard.refused(f"jobs/{JOB}/needs", needs, "authority-missing")
    laid = makers.layup(job=JOB, applied_at=yard.at(1.2))
    yard.refused("layups", laid, "authority-missing")
    yard.change(f"jobs/{JOB}", {"authority": "the surveyor, report 12"}, "Ada")
    yard.of_job("needs", needs)
    for place in ("topside, frame 2", "topside, frame 6", "transom"):
        yard.read(place, 2, 12, 11, 13, dry=True)
    yard.read(KEEL, 2.1, 58, 57, 59)
    assert yard.verdict("dry") == "stop"
    yard.stopped("over 17.0 points", 2.2)


def open_the_door(yard: Yard) -> None:
    """A cold, damp shop holds a pot back too, and its resin with it."""
    told = yard.refused("batches", yard.pot(3, hours=20), "gate-stop")
    assert set(told["gates"]) == {"shop-warm", "shop-steady", "humidity", "resin-warm", "dry"}


def dry_it(yard: Yard) -> None:
    """Once at the figure is not enough, nor twice without a film, with drops, or for half a day."""
    for day, reading in ((5, 40), (8, 24), (10, 16)):
        yard.read(KEEL, day, reading, reading, reading + 1)
    assert yard.verdict("dry") == "caution"
    wetness = yard.get(f"jobs/{JOB}/wetness")
    (again,) = [one["measure_again"] for each in wetness["places"] for one in each["series"]]
    assert again["why"] == "at_figure"
    yard.read(KEEL, 17, 15, 15, 16)
    assert yard.verdict("dry") == "caution"
    told = yard.refused(f"jobs/{JOB}/signature", {}, "still-open", by="Ada")
    (found,) = [each["found"] for each in told["open"] if each["item"] == "gate:dry"]
    assert "no film was taped on" in found
    yard.film(17, 17.5, drops=True)
    yard.stopped("drops were under the film", 17.6)
    yard.film(17.5, 18.2)
    assert yard.verdict("dry") == "stop"  # a film of 17 h hides no drops
    yard.film(18.2, 19.4)
    assert yard.verdict("dry") == "pass"


def prepare(yard: Yard) -> None:
    """Water beads; then rain comes, so it is read again; the solvent has not dried; it is fresh."""
    note = {"kind": "washed", "place": KEEL, "water": "beads", "at": yard.at(19.7)}
    yard.of_job("surface-notes", note)
    yard.stopped("beaded", 19.8)
    yard.of_job("surface-notes", note | {"water": "sheets", "at": yard.at(19.9)})
    ready = {"kind": "prepared", "place": KEEL}
    yard.of_job("surface-notes", ready | {"at": yard.at(20)})
    yard.of_job("surface-notes", {"kind": "rain", "at": yard.at(20.1)})
    yard.stopped("Rain came on it", 20.2)
    yard.of_job("surface-notes", ready | {"at": yard.at(21)})
    yard.stopped("Let the solvent dry", 21, minutes=5)
    yard.of_job("surface-notes", {"kind": "touched", "place": KEEL, "at": yard.at(21.1)})
    yard.stopped("hand's touch", 21.2)
    assert yard.verdict("dry") != "pass"  # for the rain
    yard.film(20.3, 21.6)
    yard.read(KEEL, 21.9, 15, 15, 15)
    assert yard.verdict("dry") == "pass"
    yard.of_job("surface-notes", ready | {"at": yard.at(22)})


def set_aside(yard: Yard) -> None:
    """A gate is set aside by a lead alone, with a reason."""
    aside = {"gate": "rolls-rested", "reason": "seen by the surveyor"}
    yard.refused(f"jobs/{JOB}/gates", aside, "not-allowed", 403)
    yard.post(f"jobs/{JOB}/gates", aside, "Ada")


def laminate(yard: Yard) -> list[int]:
    """The first plies; the next come too soon, then too late, then on a face that was sanded."""
    pot = yard.post("batches", yard.pot(22, minutes=30))["id"]
    yard.post("movements", makers.draw("MAT", "3 m", job=JOB, at=yard.at(22, minutes=25)))
    plies = {"job": JOB, "applied_at": yard.at(22, minutes=32), "cover": "peel_ply"}
    first = yard.post("layups", makers.layup(pot, title="Plies 1-3", **plies))["id"]
    second = {
        "job": JOB, "title": "Plies 4-6", "applied_at": yard.at(22, minutes=45), "over": first,
        "product": "LAM", "catalyst_percent": 2,
    }  # fmt: skip
    yard.refused("layups", makers.layup(**second), "unsound-below")
    seen = f"layups/{first}/observations"
    yard.post(seen, {"kind": "gelled", "at": yard.at(22, minutes=52)})
    yard.stopped("its window has shut", 23, hours=2)
    yard.post(seen, {"kind": "sanded", "at": yard.at(23, hours=3)})
    pot = yard.post("batches", yard.pot(23, hours=3.5))["id"]
    yard.post("movements", makers.draw("MAT", "2.5 m", job=JOB, at=yard.at(23, hours=3.4)))
    del second["product"], second["catalyst_percent"]
    second |= {"applied_at": yard.at(23, hours=3.55), "cover": "peel_ply"}
    upper = yard.post("layups", makers.layup(pot, **second))["id"]
    yard.post(f"layups/{upper}/observations", {"kind": "gelled", "at": yard.at(23, hours=4)})
    return [first, upper]


def accept(yard: Yard, layup: int) -> None:
    """Not without a hardness, nor a soft one; near its least it wants more; by a lead alone."""
    seen, left = f"layups/{layup}/observations", {"kind": "handed_over"}
    yard.refused(seen, left, "not-allowed", 403)
    yard.refused(seen, left, "not-cured", by="Ada")
    read: dict[str, Any] = {"kind": "hardness", "met": MET}
    yard.refused(seen, read | {"readings": HARD, "scale": "shore_d"}, "validation", 422)
    yard.refused(seen, read | {"readings": HARD[:9]}, "validation", 422)
    yard.post(seen, read | {"readings": SOFT, "at": yard.at(25)})
    assert yard.verdict("hard-enough") == "stop"
    told = yard.refused(seen, left, "not-cured", by="Ada")
    assert "30.0 Barcol 934-1 was measured" in told["detail"]
    yard.post(seen, read | {"readings": NEAR, "at": yard.at(26)})
    assert yard.verdict("hard-enough") == "caution"
    assert f"acceptance:{layup}" in yard.open_items()
    yard.post(seen, read | {"readings": HARD, "at": yard.at(27), "met": MET[:2]})
    assert yard.verdict("hard-enough") == "caution"  # nobody said that it was checked that day
    yard.post(seen, read | {"readings": HARD, "at": yard.at(27, minutes=20)})
    assert yard.verdict("hard-enough") == "pass"
    assert yard.verdict("cure-time") == "pass"
    yard.post(seen, left | {"at": yard.at(28), "note": "to the owner"}, "Ada")


def test_from_the_survey_to_the_signature(yard: Yard) -> None:
    """Each refusal says why and changes nothing; the sheet says all; a reopening voids it."""
    furnish(yard)
    survey(yard)
    open_the_door(yard)
    dry_it(yard)
    prepare(yard)
    set_aside(yard)
    first, upper = laminate(yard)
    accept(yard, upper)

    signature = f"jobs/{JOB}/signature"
    yard.refused(signature, {}, "not-allowed", 403)
    told = yard.refused(signature, {}, "still-open", by="Ada")
    assert [each["item"] for each in told["open"]] == ["need:1", "need:2", "finding:1"]
    none = {"left": [{"item": "gate:dry", "reason": "seen to"}]}
    assert "is not open" in yard.refused(signature, none, "validation", 422, by="Ada")["detail"]
    left = [
        {"item": "need:1", "reason": "two pots were enough"},
        {"item": "need:2", "reason": "for the next boat"},
        {"item": "finding:1", "reason": "the surveyor had it dried as it was"},
    ]
    signed = yard.post(signature, {"left": left}, "Ada")
    assert signed["signature"]["verified"] is True
    assert signed["signature"]["authority"] == "the surveyor, report 12"
    assert len(signed["signature"]["head"]) == 64

    nothing_more_is_written(yard, first, upper)
    the_sheet_says_all(yard)

    opened = {"state": "open", "reason": "a blister by frame 9"}
    yard.refused(f"jobs/{JOB}", opened, "not-allowed", 403, method="PATCH")
    bare = {"state": "open"}
    yard.refused(f"jobs/{JOB}", bare, "validation", 422, method="PATCH", by="Ada")
    lead = Hand.at(yard.folder, url=yard.url, token=yard.secrets["Ada"])
    again = lead.types(f"job reopen {JOB} --reason 'a blister by frame 9'")
    assert again.err == "The signature of Ada is voided. Both stay on record.\n"
    assert yard.get(f"jobs/{JOB}")["signature"] is None
    yard.of_job("findings", found_at("keel, frame 9"))
    assert {"gate:dry", "finding:2"} <= set(yard.open_items())
    left.append({"item": "finding:2", "reason": "of the next visit"})
    left.append({"item": "gate:dry", "reason": "her owner has it dried elsewhere"})
    yard.post(signature, {"left": left}, "Ada")
    words = the_sheet(yard).words
    assert "“a blister by frame 9”" in words
    assert "keel, frame 9: no counted reading. “her owner has it dried elsewhere”" in words
    assert [each["voided"] is None for each in yard.get(signature)["signatures"]] == [False, True]


def the_sheet_says_all(yard: Yard) -> None:
    """Findings, readings with meter and reference, stack, lots, temperatures, acceptance,
    overrides, signature."""
    sheet = the_sheet(yard)
    (finding,) = sheet.having("found")
    assert (finding["place"], finding["size"]) == (f"{KEEL}, port", "120 mm × 80 mm, not opened")
    readings = sheet.having("reads")
    assert [each["reads"].split(" ")[0] for each in readings if each["place"] == KEEL] == [
        "58.0", "40.3", "24.3", "16.3", "15.3", "15.0",
    ]  # fmt: skip
    assert {each["meter"] for each in readings} == {"CAP-1 deep"}
    assert "3 dry places of the boat read 12.0 points ± 1.0; at or under 17.0" in sheet.words
    assert "drops under it" in sheet.words
    assert "water beads" in sheet.words
    lots = {each["lot"]: each["used"] for each in sheet.having("used")}
    assert lots == {"B-1/1": "2 kg", "M-7/1": "5.5 m", "P-1/1": "40 g"}
    first, upper = sheet.having("laid on")
    assert first["cured at"].endswith("mean 20 °C; measured")
    assert upper["laid on"].startswith("layup 1, past its recoat window")
    (accepted,) = sheet.having("accepted")
    assert "44.5 ± 0.5 Barcol 934-1 of 10 readings" in accepted["proof"]
    assert accepted["accepted"].startswith("yes; handed over")
    assert "gate rolls rested, “seen by the surveyor”" in sheet.words
    assert "Signed" in sheet.words
    assert "Authority: the surveyor, report 12." in sheet.words
    assert "need:2: 0.5 m of MAT is needed and was not drawn. “for the next boat”" in sheet.words
    assert "A yard's record, no certificate" in sheet.words


def nothing_more_is_written(yard: Yard, first: int, upper: int) -> None:
    """409 `signed` for a record of each kind; bays and stock go on."""
    for path, body in (
        ("batches", yard.pot(29)),
        ("layups", makers.layup(job=JOB)),
        (f"layups/{upper}/observations", {"kind": "hardness", "value": 41}),
        (f"layups/{first}/observations/1/withdrawal", {"reason": "a slip"}),
        ("movements", makers.draw("MAT", "1 m", job=JOB)),
        (f"jobs/{JOB}/findings/1/withdrawal", {"reason": "a slip"}),
        (f"jobs/{JOB}/surface-notes", {"kind": "rain"}),
        (f"jobs/{JOB}/gates", {"gate": "dry", "reason": "it is"}),
        (f"jobs/{JOB}/signature", {}),
    ):
        yard.refused(path, body, "signed", by="Ada")
    yard.refused(f"jobs/{JOB}", {"title": "Another"}, "signed", method="PATCH", by="Ada")
    now = {"at": yard.at(LOG_DAYS, minutes=1), "temperature": "20 degC"}
    yard.post("bays/SHED/readings", {"readings": [now]})
    yard.post("movements", {"kind": "count", "lot": 2, "quantity": "17 kg"})


def the_sheet(yard: Yard) -> Page:
    """The surveyor's sheet, as Ada's browser reads it."""
    with requests.Session() as browser:
        come_in = browser.post(
            f"{yard.url}/enter", data={"token": yard.secrets["Ada"]},
            headers=BROWSER | {"Origin": yard.url, "Sec-Fetch-Site": "same-origin"},
            timeout=HANGS_S,
        )  # fmt: skip
        assert come_in.status_code == 200, come_in.text
        page = browser.get(f"{yard.url}/jobs/{JOB}", headers=BROWSER, timeout=HANGS_S)
    assert page.status_code == 200
    return Page(page.text)
