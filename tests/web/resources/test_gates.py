"""Quality gates over HTTP: a day at a yard by class rules, and at one by plain good practice."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...putting import by_client, post
from ..conftest import MORNING, Clock

H, DAY = 3600, 86_400

CURE = makers.sheet(
    hardness_min=40,
    milestones={
        "recoat_opens": "2 h", "recoat_closes": "20 h", "sandable": "8 h", "full_cure": "20 h",
    },
)  # fmt: skip
CATALOGUE = [
    makers.catalyst(),
    makers.product("COBALT", "promoter"),
    makers.product("WIPE", "sundry", chemistry="acetone"),
    makers.resin(cure=CURE),
    makers.resin("TOP", cure={**CURE, "surface": "waxed"}),
    makers.resin("GEL", role="coating", cure=CURE),
    makers.mat("MAT-300", areal_weight="300 g/m2"),
    makers.mat("MAT-600", areal_weight="600 g/m2"),
]


@pytest.fixture
def yard(client: FlaskClient, clock: Clock) -> FlaskClient:
    """A yard with two bays, a day of readings in the shop, and one job."""
    clock.moment = MORNING - 5 * DAY
    by_client(
        client,
        products=CATALOGUE,
        bays=[makers.bay("SHED"), makers.bay("STORE")],
        jobs=[makers.job("J-1")],
        lots=[
            makers.lot("PEROX", "20 kg", "PEROX-1", bay="STORE"),
            *(makers.lot(code, "20 kg", f"{code}-1", bay="SHED") for code in ("LAM", "TOP", "GEL")),
            *(makers.lot(code, "20 m", f"{code}-1", bay="SHED") for code in ("MAT-300", "MAT-600")),
        ],
    )
    clock.moment = MORNING
    read(client, clock, [20.0] * 121)
    post(client, "jobs/J-1/needs", {"needs": [
        {"product": "LAM", "quantity": "5 kg"}, {"product": "MAT-300", "quantity": "2 m"},
    ]})  # fmt: skip
    return client


def read(client: FlaskClient, clock: Clock, hours: list[float], humidity: int = 60) -> None:
    """Hourly readings of the shop, in °C, the last one now."""
    readings = [
        {"at": f"{stamp(clock.moment - H * (len(hours) - 1 - n))}", "humidity_percent": humidity,
         "temperature": f"{celsius} degC", "replaces": True, "reason": "another thermometer"}
        for n, celsius in enumerate(hours)
    ]  # fmt: skip
    post(client, "bays/SHED/readings", {"readings": readings})


def stamp(moment: int) -> str:
    """A moment as the interface takes it."""
    return datetime.fromtimestamp(moment, UTC).isoformat()


def by_class(client: FlaskClient) -> None:
    """From now on the yard goes by the hard profile."""
    told = client.patch("/v1/yard", json={"profile": "class"}, headers={"If-Match": "*"})
    assert told.json["profile"] == "class"


def gates(client: FlaskClient, query: str = "?bay=SHED") -> dict[str, Any]:
    """Each gate's answer by its name."""
    told = client.get(f"/v1/jobs/J-1/gates{query}")
    assert told.status_code == 200, told.json
    return {each["gate"]: each for each in told.json["gates"]}


def verdicts(client: FlaskClient, query: str = "?bay=SHED") -> dict[str, str]:
    """The gates that don't pass."""
    found = gates(client, query).items()
    return {gate: each["verdict"] for gate, each in found if each["verdict"] != "pass"}


def pot(client: FlaskClient, status: int = 201, **more: Any) -> Any:
    """What mixing a pot answers."""
    return post(client, "batches", makers.pot(**{"job": "J-1", **more}), status)


def lay(client: FlaskClient, clock: Clock, product: str = "LAM", **more: Any) -> Any:
    """A layup of now."""
    coat = {"job": "J-1", "title": f"A coat of {product}", "product": product}
    return post(client, "layups", makers.layup(**coat, **more))


def test_a_good_day_by_class_rules(yard: FlaskClient) -> None:
    """Only what nobody said is a caution: wetness, the surface, and what was never laid."""
    by_class(yard)
    unknown = ("dry", "surface-fresh", "cure-time", "hard-enough")
    assert verdicts(yard) == dict.fromkeys(unknown, "caution")
    prepared = f"?bay=SHED&prepared_at={stamp(MORNING - H)}".replace("+", "%2B")
    assert "surface-fresh" not in verdicts(yard, prepared)
    assert pot(yard)["id"] == 1


def test_a_cold_night_stops_a_pot(yard: FlaskClient, clock: Clock) -> None:
    """409 with its slug, nothing drawn; a lead's word lets it through, on record."""
    by_class(yard)
    read(yard, clock, [20.0] * 12 + [12.0] * 3 + [20.0] * 10)
    lay(yard, clock)  # tells where the job is worked on
    assert {"shop-warm", "shop-steady"} <= verdicts(yard).keys()
    refused = pot(yard, 409)
    assert refused["type"].endswith("/gate-stop")
    assert {"shop-warm", "shop-steady"} <= set(refused["gates"])
    assert "Heat it" in refused["advice"]
    assert (refused["changed"], yard.get("/v1/lots/2").json["on_hand"]["value"]) == (False, 20)
    card = pot(yard, override={"reason": "a fender, not the hull"})
    assert any("shop-warm says stop" in words for words in card["warnings"])
    trail = yard.get("/v1/overrides").json["items"]
    assert {(row["slug"], row["batch"], row["job"]) for row in trail} >= {
        ("gate-shop-warm", card["id"], "J-1"), ("gate-shop-steady", card["id"], "J-1")
    }  # fmt: skip


def test_by_plain_good_practice_nobody_is_held_up(yard: FlaskClient, clock: Clock) -> None:
    """The same night is a caution, and the pot is mixed."""
    read(yard, clock, [20.0] * 12 + [12.0] * 3 + [20.0] * 10)
    assert verdicts(yard)["shop-warm"] == "caution"
    assert yard.get("/v1/jobs/J-1/gates?bay=SHED").json["profile"] == "plain"
    pot(yard)


def test_a_layup_is_recorded_all_the_same(yard: FlaskClient, clock: Clock) -> None:
    """The part is wet already: the stop stands beside it as a warning."""
    by_class(yard)
    read(yard, clock, [20.0] * 25, humidity=90)
    told = lay(yard, clock)
    assert any("Gate humidity says stop" in words for words in told["warnings"])


def test_a_lead_overrides_a_gate_for_a_day(yard: FlaskClient, clock: Clock) -> None:
    """For this job; the verdict no longer counts it, the trail and the logbook have it."""
    by_class(yard)
    read(yard, clock, [20.0] * 25, humidity=90)
    assert yard.get("/v1/jobs/J-1/gates?bay=SHED").json["verdict"] == "stop"
    told = post(yard, "jobs/J-1/gates", {"gate": "humidity", "reason": "meter is out"})
    (gate,) = (each for each in told["gates"] if each["gate"] == "humidity")
    assert (gate["overridden"]["reason"], gate["overridden"]["who"]) == ("meter is out", "Ines")
    after = yard.get("/v1/jobs/J-1/gates?bay=SHED").json
    assert after["verdict"] == "caution"
    pot(yard, bay="SHED", temperature=None)
    (row,) = yard.get("/v1/overrides").json["items"]
    assert (row["slug"], row["job"]) == ("gate-humidity", "J-1")
    assert "gate-humidity: job J-1" in [e["about"] for e in yard.get("/v1/logbook").json["items"]]
    clock.moment += DAY
    read(yard, clock, [20.0] * 25, humidity=90)
    assert gates(yard)["humidity"]["overridden"] is None


def test_spraying_wants_damper_air(yard: FlaskClient, clock: Clock) -> None:
    """A dry day passes for a brush and not for a gun."""
    by_class(yard)
    read(yard, clock, [20.0] * 25, humidity=30)
    assert "humidity" not in verdicts(yard)
    assert verdicts(yard, "?bay=SHED&spraying=true")["humidity"] == "stop"


def test_stock_where_it_stands(yard: FlaskClient, clock: Clock) -> None:
    """A roll just carried in; peroxide beside promoter or acetone, and carried away again."""
    by_class(yard)
    for lot in (2, 5):  # the resin and the roll, to a store and back
        move(yard, lot, "STORE")
        move(yard, lot, "SHED")
    found = verdicts(yard)
    assert (found["rolls-rested"], found["resin-warm"]) == ("stop", "caution")
    for product, quantity in (("COBALT", "1 kg"), ("WIPE", "1 piece")):
        lot = post(yard, "lots", {"product": product, "number": "X-1", "bay": "STORE",
                                  "quantity": quantity, "expires_on": "2027-06-30"})  # fmt: skip
        assert product in gates(yard)["stored-apart"]["found"]
        move(yard, lot["id"], "SHED")
        assert "stored-apart" not in verdicts(yard)
    move(yard, 1, "SHED")
    assert verdicts(yard)["stored-apart"] == "stop"


def move(client: FlaskClient, lot: int, bay: str) -> None:
    """Carry a lot to a bay."""
    told = client.patch(f"/v1/lots/{lot}", json={"bay": bay}, headers={"If-Match": "*"})
    assert told.status_code == 200


def test_what_lies_below(yard: FlaskClient, clock: Clock) -> None:
    """Wax is sanded off first; heavy mat never meets gel coat."""
    by_class(yard)
    waxed = lay(yard, clock, "TOP")
    assert verdicts(yard)["unwaxed"] == "stop"
    clock.moment += H
    seen = {"kind": "sanded"}
    for _ in range(2):  # so early that it is said twice, a minute apart
        clock.moment += 60
        post(yard, f"layups/{waxed['id']}/observations", seen)
    clock.moment += H
    assert not {"unwaxed", "surface-fresh"} & verdicts(yard).keys()
    lay(yard, clock, "GEL", kind="coat")
    assert "MAT-300" in gates(yard)["mat-on-gel-coat"]["found"]
    post(yard, "jobs/J-1/needs", {"needs": [
        {"product": "MAT-300", "quantity": "0 m", "replaces": 2},
        {"product": "MAT-600", "quantity": "2 m"},
    ]})  # fmt: skip
    assert verdicts(yard)["mat-on-gel-coat"] == "stop"


def test_two_warm_days_and_ten_readings(yard: FlaskClient, clock: Clock) -> None:
    """Moved on after 48 measured hours at 18 °C, a cold night not counted, and hard."""
    by_class(yard)
    laid = lay(yard, clock)["id"]
    clock.moment += 49 * H
    read(yard, clock, [20.0] * 50)
    assert "cure-time" not in verdicts(yard)
    read(yard, clock, [20.0] * 20 + [10.0] * 10 + [20.0] * 20)
    assert verdicts(yard)["cure-time"] == "stop"
    seen = {"kind": "hardness", "readings": [34] * 10}
    post(yard, f"layups/{laid}/observations", seen)
    assert verdicts(yard)["hard-enough"] == "stop"
    passing = {"readings": [30, 42, *[36] * 8], "met": ["off_edges", "instrument_checked"]}
    post(yard, f"layups/{laid}/observations", seen | passing)
    assert verdicts(yard)["hard-enough"] == "caution"  # 36 is needed, and u is 0.9
    passing["readings"] = [36] * 10
    post(yard, f"layups/{laid}/observations", seen | passing)
    assert verdicts(yard)["hard-enough"] == "caution"  # nobody said how thick the part is
    passing["met"] += ["thick_enough", "wax_off"]
    post(yard, f"layups/{laid}/observations", seen | passing)
    assert "hard-enough" not in verdicts(yard)


@pytest.mark.parametrize(
    ("query", "status"),
    [("?bay=NONE", 422), ("?bay=", 422), ("?spraying=perhaps", 422), ("?prepared_at=soon", 422),
     ("?colour=red", 422)],
)  # fmt: skip
def test_a_bad_question_is_a_problem(yard: FlaskClient, query: str, status: int) -> None:
    """In words, with its slug."""
    assert yard.get(f"/v1/jobs/J-1/gates{query}").status_code == status
    assert yard.get("/v1/jobs/NONE/gates").status_code == 404


@pytest.mark.parametrize(
    "body", [{}, {"gate": "humidity"}, {"gate": "lunch", "reason": "x"},
             {"gate": "humidity", "reason": ""}],
)  # fmt: skip
def test_a_bad_override_is_a_problem(yard: FlaskClient, body: dict[str, Any]) -> None:
    """And nothing stands on the trail."""
    post(yard, "jobs/J-1/gates", body, 422)
    assert yard.get("/v1/overrides").json["items"] == []


def noted(client: FlaskClient, clock: Clock, kind: str, ago: float, **more: Any) -> Any:
    """A surface note of some hours ago."""
    body = {"kind": kind, "at": stamp(round(clock.moment - ago * H)), **more}
    return post(client, "jobs/J-1/surface-notes", body)


def test_preparation_has_a_clock(yard: FlaskClient, clock: Clock) -> None:
    """Prepared an hour ago; spoilt since; prepared again; stale after a day."""
    by_class(yard)
    noted(yard, clock, "prepared", 1)
    assert "surface-fresh" not in verdicts(yard)
    rain = noted(yard, clock, "rain", 0.5, place="keel")
    assert "Rain came on it 30 min ago" in gates(yard)["surface-fresh"]["found"]
    assert verdicts(yard)["surface-fresh"] == "stop"
    assert pot(yard, 409)["slug"] == "gate-stop"
    post(yard, f"jobs/J-1/surface-notes/{rain['id']}/withdrawal", {"reason": "next door"})
    assert "surface-fresh" not in verdicts(yard)
    noted(yard, clock, "oil", 0.3)
    noted(yard, clock, "prepared", 0.26)
    assert "surface-fresh" not in verdicts(yard)
    clock.moment += DAY
    assert "stale" in gates(yard)["surface-fresh"]["change"]


def test_a_night_near_the_dew_point_spoils_a_prepared_surface(
    yard: FlaskClient, clock: Clock
) -> None:
    """By the bay's log since it was prepared: 20 °C and 90 % is 1.7 K over the dew point."""
    noted(yard, clock, "prepared", 6)
    assert "surface-fresh" not in verdicts(yard)
    read(yard, clock, [20.0] * 4, humidity=90)
    found = gates(yard)["surface-fresh"]
    assert (found["verdict"], "1.7 K over the dew point" in found["found"]) == ("caution", True)


def test_water_that_beads_stops_in_plain_practice_too(yard: FlaskClient, clock: Clock) -> None:
    """Until a wash runs off in a sheet; a wash of which nobody noted it changes nothing."""
    noted(yard, clock, "washed", 5, water="beads")
    noted(yard, clock, "washed", 4)
    noted(yard, clock, "prepared", 3)
    assert verdicts(yard)["surface-fresh"] == "stop"
    noted(yard, clock, "washed", 2, water="sheets")
    assert "surface-fresh" not in verdicts(yard)


def test_each_place_answers_for_itself(yard: FlaskClient, clock: Clock) -> None:
    """A good word on the deck says nothing of the keel."""
    noted(yard, clock, "prepared", 6)
    noted(yard, clock, "washed", 5, water="beads", place="keel")
    noted(yard, clock, "washed", 4, water="sheets", place="deck")
    assert gates(yard)["surface-fresh"]["found"].startswith("keel: The water beaded")
    noted(yard, clock, "washed", 3, water="sheets", place="keel")
    assert "surface-fresh" not in verdicts(yard)
    noted(yard, clock, "rain", 2, place="keel")
    noted(yard, clock, "prepared", 1, place="deck")
    assert gates(yard)["surface-fresh"]["found"].startswith("keel: Rain came on it")
    noted(yard, clock, "prepared", 0.5, place="Keel")
    assert "surface-fresh" not in verdicts(yard)


@pytest.mark.parametrize("kind", ["washed", "opened", "hauled_out"])
def test_what_wets_or_opens_a_prepared_face_spoils_it(
    yard: FlaskClient, clock: Clock, kind: str
) -> None:
    """It is prepared again."""
    noted(yard, clock, "prepared", 3)
    noted(yard, clock, kind, 1)
    assert verdicts(yard)["surface-fresh"] == "caution"


def test_what_was_noted_of_the_whole_boat_stands_for_the_rest(
    yard: FlaskClient, clock: Clock
) -> None:
    """Beads without a place, then sheets on the deck: the keel is still greasy."""
    noted(yard, clock, "washed", 5, water="beads")
    noted(yard, clock, "prepared", 4)
    noted(yard, clock, "washed", 3, water="sheets", place="deck")
    assert verdicts(yard)["surface-fresh"] == "stop"
    noted(yard, clock, "washed", 2, water="sheets")
    assert "surface-fresh" not in verdicts(yard)
    noted(yard, clock, "oil", 1)
    noted(yard, clock, "prepared", 0.5, place="deck")
    assert "Oil came on it" in gates(yard)["surface-fresh"]["found"]


def test_a_place_that_was_found_is_asked_for(yard: FlaskClient, clock: Clock) -> None:
    """Nobody prepared the keel, however fresh the deck is."""
    found = {"place": "keel", "side": "port", "kind": "blister", "length": "10 mm",
             "width": "10 mm", "found_by": "tapped"}  # fmt: skip
    post(yard, "jobs/J-1/findings", found)
    noted(yard, clock, "prepared", 1, place="deck")
    assert gates(yard)["surface-fresh"]["found"].startswith("keel: Nobody said")


@pytest.mark.parametrize("kind", ["hauled_out", "rain", "oil", "washed"])
def test_what_came_before_a_place_was_prepared_spoils_nothing(
    yard: FlaskClient, clock: Clock, kind: str
) -> None:
    """The stem is prepared today; the whole boat was hauled out weeks before that."""
    noted(yard, clock, "prepared", 1, place="stem")
    assert "surface-fresh" not in verdicts(yard)
    noted(yard, clock, kind, 27 * 24)
    assert "surface-fresh" not in verdicts(yard)
    noted(yard, clock, "rain", 0.5)
    assert gates(yard)["surface-fresh"]["found"].startswith("stem: Rain came on it")


def test_who_says_nothing_is_asked_for_a_note_that_is_kept(yard: FlaskClient) -> None:
    """Not only for a moment that one look takes along."""
    change = gates(yard)["surface-fresh"]["change"]
    assert change.index("'prepared'") < change.index("'prepared_at'")
    assert "keeps nothing" in change


def test_rain_on_an_open_layer_is_not_hidden_by_a_prepared_place(
    yard: FlaskClient, clock: Clock
) -> None:
    """The layer bonds by its open window alone; the stem's preparation says nothing of it."""
    lay(yard, clock)
    clock.moment += 3 * H
    read(yard, clock, [20.0] * 5)
    noted(yard, clock, "rain", 0.5)
    noted(yard, clock, "prepared", 0.4, place="stem")
    assert "Rain came on it" in gates(yard)["surface-fresh"]["found"]
