"""A pot's mix card: what the hand was told, what went in of which lot, and what became of it."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from ... import makers
from ...acts import sample_yard as yard
from ..conftest import Clock
from ..read_page import BROWSER, read
from ..tokened import given

POT = makers.pot(fillers=[{"product": "MICROS", "quantity": "60 g"}])
ANY = {"If-Match": "*"}


@pytest.fixture
def mixed(client: FlaskClient) -> FlaskClient:
    """A yard where a pot of two drums' resin, peroxide and microballoons was mixed."""
    yard.set_up()
    yard.receive("LAM", "0.4 kg", number="B-1", made_on=yard.day(-20))
    yard.receive("LAM", "20 kg", number="B-2", made_on=yard.day(-10))
    yard.receive("PEROX", "1 kg", number="P-1")
    yard.receive("MICROS", "1 kg", number="C-1")
    answer = client.post("/v1/batches", json=POT)
    assert answer.status_code == 201, answer.json
    return client


def pot(client: FlaskClient) -> dict[str, Any]:
    """The pot as the interface has it."""
    told: dict[str, Any] = client.get("/v1/batches/1").json
    return told


def test_grams_and_millilitres_of_each_lot(mixed: FlaskClient) -> None:
    """By the density that it was drawn with: 400 g at 1.1 kg/L are 363.6 mL, on a shop's measure
    363.5; what is kept without a density has grams alone."""
    parts = [
        (part["product"], part["number"], part["quantity"], part["volume"])
        for part in pot(mixed)["parts"]
    ]
    assert parts == [
        ("LAM", "B-1", {"value": 400, "unit": "g"}, {"value": 363.5, "unit": "mL"}),
        ("LAM", "B-2", {"value": 600, "unit": "g"}, {"value": 545.5, "unit": "mL"}),
        ("PEROX", "P-1", {"value": 20, "unit": "g"}, {"value": 17.4, "unit": "mL"}),
        ("MICROS", "C-1", {"value": 60, "unit": "g"}, None),
    ]
    assert [
        (row["what"], row["scale"].replace("\xa0", " "), row.get("measure", ""), row["lot"])
        for row in read(mixed, "/batches/1").having("scale")
    ] == [
        ("LAM", "400 g", "363.5 mL", "B-1/1"),
        ("LAM", "600 g", "545.5 mL", "B-2/1"),
        ("PEROX", "20 g", "17.4 mL", "P-1/1"),
        ("MICROS", "60 g", "", "C-1/1"),
    ]


def test_it_says_what_the_hand_was_told(mixed: FlaskClient) -> None:
    """The band outwards on the clock, until when to spread, who, for what, and every caution."""
    told, words = pot(mixed), read(mixed, "/batches/1").words
    assert "Pot 1 for job D-7" in words
    assert f"Stem, the dory Teal. Mixed 2026-03-20 09:46 by {told['who']}" in words
    earliest, latest = (told[f"gel_at_{end}"][11:16] for end in ("earliest", "latest"))
    begins, ends = words.split(" gels ")[1].split()[:3:2]
    assert begins <= earliest < latest <= ends
    assert {begins[-1], ends[-1]} <= {"0", "5"}
    minutes = told["pot"]["working_time"]["value"]
    spread = words.split("spread by ")[1][:5]
    shown = int(spread[3:]) + 60 * (int(spread[:2]) - 9)
    assert 46.7 + minutes - 1 < shown <= 46.7 + minutes
    assert all(caution in words for caution in (*told["cautions"], *told["warnings"]))
    for needed in ("explode", "goggles and gloves", "outdoors on bare ground", "Styrene", "mask",
                   "data and safety sheets rule", "licensed surveyor"):  # fmt: skip
        assert needed in words, needed


def test_what_changed_since_changes_nothing_told(mixed: FlaskClient) -> None:
    """Nor does a density that was set right later: the pot was measured by the old one."""
    before = pot(mixed)
    changed = mixed.patch("/v1/products/LAM", json={"density": "1.3 kg/L"}, headers=ANY)
    assert changed.status_code == 200, changed.json
    assert pot(mixed) == before


@pytest.mark.parametrize(
    ("kind", "state", "words"),
    [
        ("gelled", "mixed", "gelled"),
        ("lost", "lost", "Lost. It was not used."),
        ("not_mixed", "not_mixed", "Not mixed. The material drawn for it went back into stock."),
    ],
)
def test_what_became_of_it(
    mixed: FlaskClient, clock: Clock, kind: str, state: str, words: str
) -> None:
    """Marked, with who saw it and what they said; what had been drawn stands there still."""
    clock.moment += 600
    parts = pot(mixed)["parts"]
    assert pot(mixed)["state"] == "mixed"
    seen = {"kind": kind, "note": "<b>too warm</b>"}
    answer = mixed.post("/v1/batches/1/observations", json=seen)
    assert (answer.status_code, answer.json["state"]) == (201, state)
    assert answer.json["parts"] == parts
    (kept,) = pot(mixed)["observations"]
    assert (kept["kind"], kept["note"], kept["at"][11:19]) == (kind, "<b>too warm</b>", "09:56:40")
    page = read(mixed, "/batches/1")
    assert words in page.words
    assert f"2026-03-20 09:56: {kind.replace('_', ' ')}, “<b>too warm</b>”" in page.words
    assert len(page.having("scale")) == 4


def test_over_midnight_it_says_the_day(mixed: FlaskClient, clock: Clock) -> None:
    """A card is read as it was printed: Saturday's hour is not Friday's."""
    clock.moment += 14 * 3600
    assert mixed.post("/v1/batches", json={**POT, "fillers": []}).status_code == 201
    assert "gels Sat 00:" in read(mixed, "/batches/2").words


def test_labels_from_the_page(mixed: FlaskClient) -> None:
    """The interface's own; a browser that shows no pass is sent to the entrance."""
    links = [link for link in read(mixed, "/batches/1").links if "label" in link]
    assert links == ["/batches/1/label.svg", "/batches/1/label.png"]
    of_lot = [link for link in read(mixed, "/lots/1").links if "label" in link]
    assert of_lot == ["/lots/1/label.svg", "/lots/1/label.png"]
    for link in (*links, *of_lot):
        assert mixed.get(link).data == mixed.get(f"/v1{link}").data
    assert mixed.get("/lots/1/label.gif").status_code == 404
    viewer = given("Vera", "viewer")
    sent = mixed.get(links[0], headers=BROWSER)
    assert sent.status_code // 100 == 3
    assert sent.headers["Location"] == "/enter?to=/batches/1/label.svg"
    assert mixed.get(links[0], headers=viewer.bearer).status_code == 200
