"""A yard whose wall shows every sign: laid up over the interface, at moments gone by."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import requests

from ..waiting import HANGS_S

CURE: dict[str, Any] = {
    "with": ["PEROX"],
    "mix": {"kind": "catalysed"},
    "surface": "air_inhibited",
    "reference": {"temperature": "20 degC", "catalyst_percent": 2},
    "gel_times": [
        {"temperature": "15 degC", "catalyst_percent": 2, "time": "28 min"},
        {"temperature": "20 degC", "catalyst_percent": 2, "time": "20 min"},
        {"temperature": "25 degC", "catalyst_percent": 2, "time": "14.5 min"},
        {"temperature": "20 degC", "catalyst_percent": 1, "time": "40 min"},
    ],
    "catalyst_percent_min": 1,
    "catalyst_percent_max": 3,
    "apply_min": "12 degC",
    "cure_min": "8 degC",
    "milestones": {"recoat_opens": "2 h", "recoat_closes": "20 h", "sandable": "8 h",
                   "full_cure": "36 h"},
}  # fmt: skip


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
        asked = {
            "job": "D-7", "kind": "laminate", "bay": "SHED", "product": "LAM",
            "catalyst_percent": 2, "surface_temperature": "20 degC",
        } | facts  # fmt: skip
        asked = {name: fact for name, fact in asked.items() if fact is not None}
        return int(self.post("layups", title=title, applied_at=ago(hours), **asked)["id"])

    def two_pots(self) -> int:
        """A layup of two pots that are late, with looks of which one was taken back; its id."""
        pots = [
            self.post("batches", resin="LAM", amount=amount, job="D-7", temperature="20 degC",
                      catalyst_percent=percent, mixed_at=ago(hours))["id"]
            for hours, amount, percent in ((1.2, "500 g", 2), (1, "400 g", 1.5))
        ]  # fmt: skip
        layup = self.laid("Bow tabbing", 0.95, batches=pots, product=None, catalyst_percent=None)
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
    yard.post("products", code="PEROX", name="Peroxide", role="catalyst", density="1.15 kg/L")
    yard.post("products", code="LAM", name="Laminating resin", role="resin", chemistry="polyester",
              density="1.1 kg/L", cure=CURE)  # fmt: skip
    yard.post("products", code="MAT", name="Mat", role="reinforcement", areal_weight="450 g/m2",
              width="1.25 m", reorder_at="20 m")  # fmt: skip
    for code, night in (("SHED", "16 degC"), ("BARN", "4 degC")):
        yard.post("bays", code=code, title=code.title(), day="20 degC" if code == "SHED" else night,
                  night=night, day_from="07:00", day_until="19:00")  # fmt: skip
    readings = [
        {"at": ago(h / 2), "temperature": f"{18 + 2 * (h % 12) / 12:.1f} degC"} for h in range(60)
    ]
    yard.post("bays/SHED/readings", readings=readings)
    for number, structural in (("D-7", "no"), ("S-1", "yes")):
        yard.post("jobs", number=number, title="Stem", craft="the dory Teal", structural=structural,
                  authority="the surveyor")  # fmt: skip
    return yard


def stocked(yard: Yard) -> None:
    """Lots out of date, nearly so, and held, and a need that nothing serves."""
    for number, days in (("OLD-1", -30), ("SOON-2", 5)):
        yard.post("lots", product="LAM", number=number, quantity="8 kg", made_on=day(-400),
                  expires_on=day(days))  # fmt: skip
    held = yard.post("lots", product="PEROX", number="HOT-3", quantity="1 kg")
    answer = yard.session.patch(
        f"{yard.url}/v1/lots/{held['id']}", json={"held": True, "reason": "stood in the sun"},
        headers={"If-Match": "*"}, timeout=HANGS_S,
    )  # fmt: skip
    assert answer.status_code == 200, answer.text
    yard.post("jobs/D-7/needs", needs=[{"product": "MAT", "quantity": "4.5 m", "by": day(3)}])


def hung(yard: Yard) -> dict[str, int]:
    """A layup in each sign: what it is called, and its id."""
    ids = {
        "shuts": yard.laid("Plies 4 to 6, port bow", 10.6),
        "last minutes": yard.laid("Keel landing, outer skin", 11.9),
        "wet": yard.laid("Bulkhead tabbing", 0.1),
        "gelling": yard.laid("Fillet", 0.33),
        "before": yard.laid("Plies 1 to 3, transom", 1.2),
        "open": yard.laid("Rudder stock pad", 5, job="S-1"),
        "past": yard.laid("Hatch coaming", 26),
        "sandable": yard.laid("Flow coat under film", 24, kind="coat", cover="film"),
        "handling": yard.laid("Sole panel", 110, cover="peel_ply"),
        "cold": yard.laid("Locker lid", 20, bay="BARN", surface_temperature="4 degC"),
        "late": yard.laid("Stringer cap", 0.8),
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
        yard.post("lots", product=product, number=number, quantity="2 kg", expires_on=day(300))
    pot = yard.post("batches", resin="LAM", amount="500 g", job="D-7", temperature="20 degC",
                    catalyst_percent=2)  # fmt: skip
    return int(pot["id"])
