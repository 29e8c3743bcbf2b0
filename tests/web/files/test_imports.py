"""Tables that come in: what they add, what they leave, and what is wrong in which row."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.store import tables
from cureyard_service.store.engine.database import db
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from ... import makers
from ...bare import holding
from ...putting import by_client
from ..sent_tables import BAY, CATALOGUE, LOG, PRICED, SHELF, sent


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A yard with a catalogue and a bay."""
    by_client(client, bays=[BAY])
    assert sent(client, "products", CATALOGUE).status_code == 200
    return client


def rows() -> list[int]:
    """How many rows each table of the store has that an import may write."""
    written = (tables.Product, tables.Lot, tables.LotEvent, tables.Movement, tables.Reading)
    return [model.select().count() for model in written]


def places(answer: TestResponse) -> list[str]:
    """Where the faults of an answer stand."""
    problem: dict[str, Any] = answer.json
    return [fault["pointer"] for fault in problem.get("errors", [problem])]


def test_a_catalogue(client: FlaskClient) -> None:
    """Semicolons and decimal commas, units in the headings, in any case."""
    answer = sent(client, "products", CATALOGUE)
    assert answer.json["added"] == 4
    assert answer.json["new"][0] == "LAM-PE Laminating, promoted"
    resin = client.get("/v1/products/LAM-PE").json
    assert resin["density"] == {"value": 1.1, "unit": "kg/L"}
    assert resin["shelf_life"] == {"value": 4320, "unit": "h"}
    assert resin["reorder_at"] == {"value": 20, "unit": "kg"}
    assert client.get("/v1/products/TOP").json["effects"] == ["waxes", "thins"]


def test_a_shelf(yard: FlaskClient) -> None:
    """Each container is received, and opened and held where its row says so."""
    assert sent(yard, "lots", SHELF).json["added"] == 3
    first, second, roll = yard.get("/v1/lots").json["items"]
    assert (first["cost"], first["bay"]) == ({"amount": 90, "currency": "EUR"}, "SHED")
    assert (second["container"], second["on_hand"]["value"]) == ("2", 20.5)
    assert (second["held"], second["hold_reason"]) == (True, "stood in the sun")
    assert (second["opened_on"], second["expires_on"]) == ("2026-03-02", "2026-06-30")
    assert (roll["number"], roll["on_hand"]) == ("0012", {"value": 30, "unit": "m"})


def test_a_shelf_with_prices(yard: FlaskClient) -> None:
    """A drum of 20 kg at 4.60 a kilogram; the same table again adds nothing."""
    assert sent(yard, "lots", PRICED).json["added"] == 1
    assert yard.get("/v1/lots/1").json["cost"] == {"amount": 92, "currency": "EUR"}
    assert sent(yard, "lots", PRICED).json["known"] == 1
    assert places(sent(yard, "lots", PRICED.replace("4.60", "4.70"))) == ["/row 2/cost per"]


@pytest.mark.parametrize(
    ("head", "cells", "currency"),
    [
        ("cost,currency", "92,CHF", "CHF"),
        ("cost", "92.00 EUR", "EUR"),
        ("cost", "92.00 chf", "CHF"),
        ("cost", "92", "EUR"),
        ("cost,currency", "92,", "EUR"),
        ("cost,currency", "92 CHF,chf", "CHF"),
        ("Cost (CHF)", "92", "CHF"),
        ("Cost (CHF),currency", "92,USD", "USD"),
        ("Cost (€)", "92", "EUR"),
        ("cost", "€92.00", "EUR"),
        ("cost", "92 £", "GBP"),
        ("cost per", "€4.60/kg", "EUR"),
        ("cost per", "£ 4.60 per kg", "GBP"),
        ("cost per", "4.60 CHF/kg", "CHF"),
        ("cost per", "4.60 CHF per kg", "CHF"),
        ("cost per (CHF/kg)", "4.60", "CHF"),
        ("cost per,per", "4.60 CHF,kg", "CHF"),
        ("cost per,per", "4.60,kg", "EUR"),
    ],
)
def test_money_as_people_write_it(yard: FlaskClient, head: str, cells: str, currency: str) -> None:
    """Its currency in the cell, over the column or in one of its own; else it is the yard's."""
    table = f"product,number,on hand,{head}\nLAM-PE,B-7,20 kg,{cells}\n"
    assert sent(yard, "lots", table).json["added"] == 1
    assert yard.get("/v1/lots/1").json["cost"] == {"amount": 92, "currency": currency}
    assert sent(yard, "lots", table).json["known"] == 1


def test_money_with_a_decimal_comma(yard: FlaskClient) -> None:
    """In a table whose cells are parted by semicolons."""
    assert sent(yard, "lots", "product;number;on hand;cost\nLAM-PE;B-7;20 kg;92,50 EUR\n")
    assert yard.get("/v1/lots/1").json["cost"] == {"amount": 92.5, "currency": "EUR"}


def test_numbers_and_days_as_people_write_them(yard: FlaskClient) -> None:
    """A lot number with a slash and spaces; a day with its month by name."""
    table = "product,number,on hand,expires on\nLAM-PE,I-8841/2 A,20 kg,31 Jan 2027\n"
    assert sent(yard, "lots", table).json["added"] == 1
    lot = yard.get("/v1/lots/1").json
    assert (lot["number"], lot["expires_on"]) == ("I-8841/2 A", "2027-01-31")


def test_a_log(yard: FlaskClient) -> None:
    """What was taken for what is told, and the gap that the bay does not bridge."""
    told = sent(yard, "readings", LOG).json
    assert (told["added"], told["known"]) == (2, 0)
    assert "the clock of Europe/Lisbon" in told["notes"][0]
    assert "in degC" in told["notes"][1]
    assert "5 h" in told["notes"][2]


@pytest.mark.parametrize(
    ("kind", "table"),
    [("products", CATALOGUE), ("lots", SHELF), ("readings", LOG)],
)
def test_tried_then_done_then_again(yard: FlaskClient, kind: str, table: str) -> None:
    """A trial answers alike and writes nothing; a second time adds nothing."""
    before = rows()
    tried = sent(yard, kind, table, dry_run="true")
    assert rows() == before
    done = sent(yard, kind, table)
    assert done.json == tried.json
    after = rows()
    again = sent(yard, kind, table).json
    assert again["added"] == 0
    assert again["known"] == done.json["added"] + done.json["known"]
    assert rows() == after


def test_a_shelf_that_was_used_since(yard: FlaskClient) -> None:
    """The same delivery note changes nothing when some of it was drawn and it was moved."""
    sent(yard, "lots", SHELF)
    draw = makers.draw(product=None, lot=1, quantity="2 kg")
    by_client(yard, jobs=[makers.job()], movements=[draw])
    assert sent(yard, "lots", SHELF).json["known"] == 3


WRONG = [
    ("products", CATALOGUE.replace("resin", "gel"), ["/row 2/role"]),
    ("products", CATALOGUE.replace(";1,15;", ";heavy;"), ["/row 3/density"]),
    ("products", CATALOGUE.replace(";1,15;", ";1.001,5;"), ["/row 3/density"]),
    ("products", CATALOGUE.replace("1,15", "1,2"), ["/row 3/density"]),
    ("products", CATALOGUE.replace("TOP", "TO P").replace("waxes", "wax"),
     ["/row 4/effects/0", "/row 4/code"]),
    ("products", CATALOGUE.replace(";20;kg", ";20;"), ["/row 2/reorder at"]),
    ("products", CATALOGUE + "LAM-PE;Another;resin\n", ["/row 6/name"]),
    ("products", "code,name,role\nX,x,resin,1,5\n", ["/row 2"]),
    ("lots", SHELF.replace("B-1,,20,kg", "B-1,,20,"), ["/row 2/quantity"]),
    ("lots", SHELF.replace("B-1,,20,kg", "B-1,,0,kg"), ["/row 2/quantity"]),
    ("lots", SHELF.replace("LAM-PE,B-2", "LAM,B-2"), ["/row 3/product"]),
    ("lots", SHELF.replace("2026-06-30", "31 January"), ["/row 3/expires on"]),
    ("lots", SHELF.replace("2026-02-01", "2026-03-05"), ["/row 3/made on"]),
    ("lots", SHELF.replace("SHED", "TENT"), ["/row 2/bay"]),
    ("lots", SHELF.replace("yes,stood in the sun", "yes,"), ["/row 3/reason"]),
    ("lots", SHELF.replace("yes,stood", "perhaps,stood"), ["/row 3/held"]),
    ("lots", SHELF.replace("90,EUR", "90,euro"), ["/row 2/currency"]),
    ("lots", SHELF.replace("90,EUR", "90 USD,EUR"), ["/row 2/cost"]),
    ("lots", SHELF.replace("cost", "cost ($)").replace("90,EUR", "90,"), ["/row 2/currency"]),
    ("lots", SHELF.replace("90,EUR", "ninety,EUR"), ["/row 2/cost"]),
    ("lots", PRICED.replace("4.60,kg", "4.60 EUR/lb,kg"), ["/row 2/cost per"]),
    ("lots", PRICED.replace("4.60,kg", "4.60,"), ["/row 2/per"]),
    ("lots", PRICED.replace("4.60,kg", "4.60,firkin"), ["/row 2/per"]),
    ("lots", PRICED.replace("4.60,kg", ",kg"), ["/row 2/cost per"]),
    ("lots", PRICED.replace("20 kg", "20 oz"), ["/row 2/quantity"]),
    ("lots", SHELF.replace("30,m", "30,kg"), ["/row 4/quantity"]),
    ("lots", SHELF + "MAT,0012,1,30,m\n\nMAT,0012,1,31,m\n", ["/row 7/quantity"]),
    ("readings", LOG.replace("18.5", "hot"), ["/row 2/temperature"]),
    ("readings", LOG.replace("18.5", "450"), ["/row 2/temperature"]),
    ("readings", LOG.replace("61", "161"), ["/row 2/humidity"]),
    ("readings", LOG.replace("03-19 07", "13-19 07").replace("12:00,19", "12:00,18,5,7"),
     ["/row 2", "/row 3"]),
    ("readings", LOG.replace("2026-03-19 12", "2030-03-19 12"), ["/row 3/at"]),
    ("readings", LOG + "2026-03-19 12:00,20,\n", ["/row 4"]),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "table", "where"), WRONG)
def test_what_is_wrong_is_said_by_row_and_column(
    yard: FlaskClient, kind: str, table: str, where: list[str]
) -> None:
    """All of it at once, in words, in a trial and in earnest; nothing of the table is kept."""
    before = rows()
    for dry in ("true", "false"):
        answer = sent(yard, kind, table, dry_run=dry)
        assert answer.status_code in (409, 422), answer.text
        assert places(answer) == where
        assert answer.json["changed"] is False
        assert rows() == before
        if len(where) == 1:
            assert answer.json["detail"].startswith(where[0].lstrip("/").replace("r", "R", 1)[:5])


@pytest.mark.parametrize(
    ("kind", "table", "word"),
    [
        ("products", "", "names its columns"),
        ("products", "\n\n", "names its columns"),
        ("products", "colour,code,name,role\n", "'colour'"),
        ("products", "code,code,name,role\n", "Two columns"),
        ("lots", "number,quantity,on hand\n", "Two columns"),
        ("lots", "product,number,quantity,made on\nMAT,1,1 m,03/04/2026\n", "03/04/2026"),
        ("lots", "product," + "x," * 300, "more than 200 cells"),
        ("readings", "at,degrees\n", "temperature"),
        ("readings", "at,temp 1 (C),temp 2 (C)\n", "'temp 1 (C)' and 'temp 2 (C)'"),
        ("readings", "at,temperature (C)\n", "no readings"),
        ("readings", "at (Atlantis/Deep),temperature (C)\n2026-03-19 07:00,1\n", "Atlantis"),
    ],
)
def test_a_table_that_is_none(yard: FlaskClient, kind: str, table: str, word: str) -> None:
    """Headings that are missing, unknown, or there twice; dates that may be two days."""
    answer = sent(yard, kind, table)
    assert answer.status_code == 422
    assert word in answer.json["detail"]
    assert answer.json["advice"]


def test_which_comes_first_in_a_date(yard: FlaskClient) -> None:
    """Said by whoever sends it, or told by another date of the file."""
    table = "product,number,quantity,made on\nMAT,1,1 m,03/02/2026\n"
    assert sent(yard, "lots", table, dates="mdy").status_code == 200
    assert sent(yard, "lots", table + "MAT,2,1 m,27/02/2026\n").status_code == 409
    assert yard.get("/v1/lots/1").json["made_on"] == "2026-03-02"
    both = table + "MAT,2,1 m,27/02/2026\nMAT,3,1 m,02/27/2026\n"
    assert "some with the month" in sent(yard, "lots", both).json["detail"]


def test_readings_of_no_bay(yard: FlaskClient) -> None:
    """A bay that is not there is no address."""
    assert yard.post("/v1/imports/readings/TENT", json={"table": LOG}).status_code == 404


def test_a_table_inside_json(client: FlaskClient) -> None:
    """The same text may come as JSON; what is no text is refused."""
    told = client.post("/v1/imports/products", json={"table": CATALOGUE}).json
    assert told["added"] == 4
    assert client.post("/v1/imports/products", json={"table": 7}).status_code == 422


@pytest.mark.parametrize("kind", ["products", "lots", "readings"])
def test_a_trial_waits_for_nobody_and_keeps_nobody_waiting(client: FlaskClient, kind: str) -> None:
    """While another writes it is answered, and it leaves no row; in earnest it would wait."""
    tables_of = {"products": CATALOGUE, "lots": SHELF, "readings": LOG}
    client.post("/v1/bays", json=BAY)
    if kind == "lots":
        assert sent(client, "products", CATALOGUE).status_code == 200
    rows = {model: model.select().count() for model in tables.MODELS}
    with holding(db.obj):
        told = sent(client, kind, tables_of[kind], dry_run="true")
        assert told.status_code == 200, told.text
        assert told.json["added"] > 0
    assert {model: model.select().count() for model in tables.MODELS} == rows
    done = sent(client, kind, tables_of[kind])
    assert (done.status_code, done.json["added"]) == (200, told.json["added"])
