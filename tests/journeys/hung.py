"""A yard whose wall shows every sign: laid up over the interface, at moments gone by."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import requests

from .. import makers
from ..putting import by_http
from ..waiting import HANGS_S

CURE = makers.sheet(
    milestones={
        "recoat_opens": "2 h", "recoat_closes": "20 h", "sandable": "8 h", "full_cure": "36 h",
    }
)  # fmt: skip


class Yard:
    """Somebody with a program that asks a service."""

    def __init__(self, url: str) -> None:
        self.url = url
        self.session = requests.Session()

    def post(self, where: str, **body: Any) -> dict[str, Any]:
        """Do something; the answer."""
        answer = self.session.post(f"{self.url}/v1/{where}", json=body, timeout=HANGS_S)
        assert answer.status_code < 300, answer.text
        told: dict[str, Any] = answer.json()
        return told

    def laid(self, title: str, hours: float, **facts: Any) -> int:
        """A layup that went on so many hours ago; its id."""
        asked = {"title": title, "applied_at": ago(hours), "surface_temperature": "20 degC"}
        return int(self.post("layups", **makers.layup(**(asked | facts)))["id"])

    def two_pots(self) -> int:
        """A layup of two pots that are late, with looks of which one was taken back; its id."""
        pots = [
            self.post("batches", **makers.pot("LAM", amount, catalyst_percent=percent,
                                              mixed_at=ago(hours)))["id"]
            for hours, amount, percent in ((3.2, "500 g", 2), (3, "400 g", 1.5))
        ]  # fmt: skip
        layup = self.laid("Bow tabbing", 2.95, batches=pots, product=None, catalyst_percent=None)
        self.seen(layup, "not_gelled", 0.2)
        felt = self.post(f"layups/{layup}/observations", kind="hardness", value=20, at=ago(0.1))
        wrong = felt["observations"][-1]["id"]
        self.post(f"layups/{layup}/observations/{wrong}/withdrawal", reason="the panel beside it")
        wet = "wet at the forefoot, where the second pot went; the rest is warm and firm"
        self.post(f"layups/{layup}/observations", kind="not_gelled", at=ago(0.05), note=wet)
        return layup

    def now(self) -> dict[str, Any]:
        """What there is to do."""
        told: dict[str, Any] = self.session.get(f"{self.url}/v1/now", timeout=HANGS_S).json()
        return told

    def seen(self, layup: int, kind: str, hours: float = 0) -> None:
        """What a hand saw of it so many hours ago."""
        self.post(f"layups/{layup}/observations", kind=kind, at=ago(hours))


def ago(hours: float) -> str:
    """The moment so many hours ago."""
    return (datetime.now(UTC) - timedelta(hours=hours)).isoformat(timespec="seconds")


def day(days: int) -> str:
    """The day so many days off."""
    return (datetime.now(UTC) + timedelta(days=days)).date().isoformat()


def furnished(url: str) -> Yard:
    """A yard with a catalogue, a warm and a cold bay, readings and a job; nothing is laid up."""
    yard = Yard(url)
    by_http(
        url,
        products=[makers.catalyst(), makers.resin(cure=CURE), makers.mat(reorder_at="20 m")],
        bays=[makers.bay("SHED", "20 degC", "16 degC"), makers.bay("BARN", "4 degC")],
        jobs=[makers.job(), makers.job("S-1", "yes")],
    )
    readings = [
        {"at": ago(h / 2), "temperature": f"{18 + 2 * (h % 12) / 12:.1f} degC"} for h in range(60)
    ]
    yard.post("bays/SHED/readings", readings=readings)
    return yard


def stocked(yard: Yard) -> None:
    """Lots out of date, nearly so, and held, and a need that nothing serves."""
    for number, days in (("OLD-1", -30), ("SOON-2", 5)):
        old = {"made_on": day(-400), "expires_on": day(days)}
        by_http(yard.url, lots=[makers.lot("LAM", "8 kg", number, **old)])
    (held,) = by_http(yard.url, lots=[makers.lot("PEROX", "1 kg", "HOT-3")])
    answer = yard.session.patch(
        f"{yard.url}/v1/lots/{held['id']}", json={"held": True, "reason": "stood in the sun"},
        headers={"If-Match": "*"}, timeout=HANGS_S,
    )  # fmt: skip
    assert answer.status_code == 200, answer.text
    yard.post("jobs/D-7/needs", needs=[{"product": "MAT", "quantity": "4.5 m", "by": day(3)}])


def hung(yard: Yard) -> dict[str, int]:
    """A layup in each sign: what it is called, and its id."""
    ids = {
        "shuts": yard.laid("Plies 4 to 6, port bow", 15.2),
        "last minutes": yard.laid("Keel landing, outer skin", 15.55),
        "touch": yard.laid("Hull patch", 17),
        "wet": yard.laid("Bulkhead tabbing", 0.1),
        "gelling": yard.laid("Fillet", 0.33),
        "before": yard.laid("Plies 1 to 3, transom", 1.2),
        "open": yard.laid("Rudder stock pad", 5, job="S-1"),
        "past": yard.laid("Hatch coaming", 26),
        "sandable": yard.laid("Flow coat under film", 24, kind="coat", cover="film"),
        "handling": yard.laid("Sole panel", 110, cover="peel_ply"),
        "cold": yard.laid("Locker lid", 20, bay="BARN", surface_temperature="4 degC"),
        "late": yard.laid("Stringer cap", 1.2),
        "suspect": yard.laid("Skeg shoe", 3),
    }
    yard.seen(ids["late"], "not_gelled")
    yard.seen(ids["suspect"], "not_gelled")
    ids["unsettled"] = yard.laid("Frame 3, plies 1 and 2", 9)
    yard.laid("Frame 3, plies 3 and 4", 8.9, over=ids["unsettled"],
              override={"reason": "the tide would not wait"})  # fmt: skip
    return ids


def mixed(yard: Yard) -> int:
    """A pot that nobody laid up; its id."""
    for product, number in (("LAM", "NEW-4"), ("PEROX", "NEW-5")):
        by_http(yard.url, lots=[makers.lot(product, "2 kg", number, expires_on=day(300))])
    (pot,) = by_http(yard.url, batches=[makers.pot(amount="500 g")])
    return int(pot["id"])


CRAFTS = ("Teal", "Curlew", "Dunlin", "Plover", "Heron", "Queen of the North")
CROWD: tuple[tuple[str, float, dict[str, Any], tuple[tuple[str, float], ...]], ...] = (
    ("Transom knees", 20, {"bay": "BARN", "surface_temperature": "4 degC"}, ()),
    ("Sheer clamp tabbing", 15.55, {}, (("no_transfer", 1.1),)),
    ("Engine bed, plies 1 to 4", 0.1, {}, ()),
    ("Outer skin of the rudder, plies 1 to 4 of 9", 5, {}, ()),
    ("Rudder cheek, starboard", 1.6, {}, (("not_gelled", 0.02),)),
    ("Outer plies 4 to 6", 15.2, {}, ()),
    ("Hull patch, plies 1 to 3", 17, {}, ()),
    ("Hatch coaming fillet", 1.2, {}, ()),
    ("Fairing coat 1, port", 7, {}, (("no_transfer", 2.0),)),
    ("Skeg, outer plies", 26, {}, ()),
    ("Fairing coat 2, starboard", 24, {"kind": "coat", "cover": "film"}, (("thumbnail", 1.0),)),
    ("Deck core, inner skin", 1.4, {}, (("gelled", 0.4),)),
    ("Keel stub, plies 3 to 5", 3, {}, (("not_gelled", 0.1),)),
    ("Cockpit sole bond", 1.5, {"kind": "bond"}, ()),
    ("Chainplate knee", 2.6, {}, (("gelled", 1.0),)),
    ("Stringer caps", 0.2, {}, ()),
    ("Foam pour, lift 2", 1.1, {"kind": "pour"}, (("gelled", 0.3),)),
    ("Bow thruster tube tabs", 8.5, {}, ()),
    ("Bulkhead 3 tabbing", 4.5, {}, (("no_transfer", 0.5),)),
    ("Gelcoat patch, stem", 27, {}, (("gelled", 25.0),)),
    ("Locker lid", 24.5, {"cover": "film"}, ()),
    ("Mast step pad", 25.5, {"cover": "film"}, ()),
    ("Rubbing strake scarf", 110, {"cover": "peel_ply"}, ()),
    ("Cabin sole panel", 120, {"cover": "peel_ply"}, ()),
)
"""Layups of a full shop: title, how many hours ago, the rest of its facts, what hands saw when."""


def crowd(yard: Yard, rows: int) -> None:
    """A shop of so many rows on the wall: from 12 on two of them are pots, the rest layups."""
    pots = 2 if rows >= 12 else 0
    for number, craft in enumerate(CRAFTS if rows else ()):
        by_http(yard.url, jobs=[makers.job(f"26-{number}", craft=craft)])
    for number in range(rows - pots):
        title, hours, facts, looks = CROWD[number % len(CROWD)]
        again = number // len(CROWD)
        job = f"26-{number % len(CRAFTS)}"
        named = f"{title}, again" if again else title
        layup = yard.laid(named, hours + again / 20, job=job, **facts)
        for kind, ago_h in looks:
            yard.seen(layup, kind, ago_h)
    if pots:
        for product, number in (("LAM", "NEW-4"), ("PEROX", "NEW-5")):
            by_http(yard.url, lots=[makers.lot(product, "9 kg", number, expires_on=day(300))])
        for amount, minutes in (("3 kg", 2), ("800 g", 0)):
            pot = makers.pot(amount=amount, job="26-0", mixed_at=ago(minutes / 60))
            by_http(yard.url, batches=[pot])
