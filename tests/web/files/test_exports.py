"""Tables that go out: what a spreadsheet makes of them, and the way back in."""

from __future__ import annotations

import csv
import io
from decimal import Decimal
from types import SimpleNamespace

import pytest
from cureyard_service.core.amounts import quantities as q
from cureyard_service.store.engine.database import db
from cureyard_service.web.app import create_app
from cureyard_service.web.context.settings import Settings
from cureyard_service.web.files import cells, out
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from ...engines import Engine
from ..conftest import MORNING, new_yard
from .test_imports import BAY, CATALOGUE, LOG, SHELF, sent

KINDS = {"products": CATALOGUE, "lots": SHELF, "readings": LOG}
FORMULAS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")


def exported(client: FlaskClient, kind: str, **query: str) -> list[list[str]]:
    """A table as a spreadsheet reads it."""
    answer = client.get(f"/v1/exports/{address(kind)}", query_string=query)
    assert answer.status_code == 200, answer.text
    assert answer.mimetype == "text/csv"
    assert f'filename="{kind}' in answer.headers["Content-Disposition"]
    return list(csv.reader(io.StringIO(answer.text.removeprefix("\ufeff"), newline="")))


def address(kind: str) -> str:
    """Where a table is; readings are a bay's."""
    return f"{kind}/SHED" if kind == "readings" else kind


def filled(client: FlaskClient, tables: dict[str, str]) -> FlaskClient:
    """A yard with these tables taken in, and a product whose name would be a formula."""
    client.post("/v1/bays", json=BAY)
    for kind, table in tables.items():
        answer = sent(client, kind, table)
        assert answer.status_code == 200, answer.text
    return client


@pytest.mark.parametrize("units", ["metric", "us"])
def test_what_goes_out_comes_in_alike(engine: Engine, units: str) -> None:
    """Exported, taken into an empty store, and exported again: the same tables."""
    tables = {**KINDS, "products": CATALOGUE.replace("Peroxide", "=cmd|' /C calc'!A1")}
    for _round in range(3):
        with engine.copy(new_yard) as url:
            app = create_app(Settings(database=url, zone="UTC"), clock=lambda: MORNING)
            client = filled(app.test_client(), tables)
            found = {
                kind: client.get(f"/v1/exports/{address(kind)}?units={units}").text
                for kind in KINDS
            }
            db.close()
        if _round:
            assert found == tables
        tables = found
    assert "'=cmd" in tables["products"]


@given(st.integers(1, 2_000_000_000))
def test_no_milligram_is_lost_on_the_way_through_pounds(mass: int) -> None:
    """Up to two tonnes, to twelve figures."""
    written = out.figure(out.amount((mass, q.MASS), "us")[0] or Decimal(0))
    assert q.whole(q.parse(f"{written} lb", q.MASS)) == mass


@given(st.integers(1, 1_000_000_000))
def test_no_micrometre_is_lost_on_the_way_through_yards(length: int) -> None:
    """Up to a kilometre of cloth."""
    written = out.figure(out.amount((length, q.LENGTH), "us")[0] or Decimal(0))
    assert q.whole(q.parse(f"{written} yd", q.LENGTH)) == length


def test_cells_are_what_they_are(client: FlaskClient) -> None:
    """Units in the headings, plain numbers, ISO days; a moment on the yard's clock and in UTC."""
    filled(client, KINDS)
    head, resin = exported(client, "products")[:2]
    row = dict(zip(head, resin, strict=True))
    assert row["density (kg/L)"] == "1.1"
    assert row["shelf life (d)"] == "180"
    head, _, second, _ = exported(client, "lots")
    row = dict(zip(head, second, strict=True))
    assert (row["on hand"], row["unit"], row["expires on"]) == ("20.5", "kg", "2026-06-30")
    assert exported(client, "readings")[:2] == [
        ["at (Europe/Lisbon)", "at (UTC)", "temperature (degC)", "humidity (%)"],
        ["2026-03-19 07:00:00", "2026-03-19 07:00:00", "18.5", "61"],
    ]


def test_other_units(client: FlaskClient) -> None:
    """Pounds and degrees Fahrenheit, in the headings too."""
    filled(client, KINDS)
    head, first = exported(client, "readings", units="us")[:2]
    assert (head[2], first[2]) == ("temperature (degF)", "65.3")
    head, first = exported(client, "lots", units="us")[:2]
    assert (first[3], first[4]) == ("44.0924524370", "lb") or first[3].startswith("44.09245")


def test_the_ledger(client: FlaskClient) -> None:
    """Lines newest first, of one job or lot; a draw is below zero and still a number."""
    filled(client, KINDS)
    client.post("/v1/jobs", json={"number": "D-7", "title": "Stem", "craft": "Teal"})
    draw = {"kind": "draw", "lot": 1, "quantity": "2.5 kg", "job": "D-7", "reason": "-- ply 1"}
    client.post("/v1/movements", json=draw)
    head, line = exported(client, "movements", job="D-7")
    row = dict(zip(head, line, strict=True))
    assert (row["quantity"], row["unit"], row["on hand"]) == ("-2.5", "kg", "17.5")
    assert row["reason"] == "'-- ply 1"
    assert len(exported(client, "movements")) == 5
    assert len(exported(client, "movements", lot="2")) == 2


def test_an_empty_lot_is_not_on_the_shelf(client: FlaskClient) -> None:
    """What was used up is left out."""
    filled(client, KINDS)
    client.post("/v1/movements", json={"kind": "scrap", "lot": 3, "quantity": "all", "reason": "x"})
    assert [row[1] for row in exported(client, "lots")] == ["number", "B-1", "B-2"]


@pytest.mark.parametrize(
    ("where", "status"),
    [("readings", 404), ("readings/NO", 404), ("movements?job=NO", 404), ("lots?x=1", 422)],
)
def test_what_can_not_go_out(client: FlaskClient, where: str, status: int) -> None:
    """No bay, no such bay or job, a query that nobody knows."""
    assert client.get(f"/v1/exports/{where}").status_code == status


@given(st.text(st.sampled_from("=+-@'\t\r＝＋－＠ ab1\",;\n"), max_size=12))
def test_no_words_become_a_formula(words: str) -> None:
    """However they begin, a spreadsheet reads words; and they come back as they were."""
    text = out.table([out.Column("name")], [SimpleNamespace(name=words)], "metric")
    ((_,), *rest) = csv.reader(io.StringIO(text, newline=""))
    (cell,) = rest[0] if rest and rest[0] else ("",)
    assert not cell.startswith(FORMULAS)
    assert cells.unguarded(cell) == words


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-10**12, max_value=10**12,
                   places=6))  # fmt: skip
def test_a_number_keeps_twelve_figures(value: object) -> None:
    """Written without an exponent, it is the number to twelve figures."""
    text = out.figure(value)  # type: ignore[arg-type]
    assert "e" not in text.lower()
    assert float(text) == pytest.approx(float(value), rel=1e-11, abs=1e-12)  # type: ignore[arg-type]


def test_ones_own_lines(client: FlaskClient) -> None:
    """`mine` lists what was recorded by who asks, and by nobody else."""
    filled(client, KINDS)
    body = {"kind": "scrap", "lot": 3, "quantity": "1 m", "reason": "torn"}
    client.post("/v1/movements", json=body, headers={"Cureyard-Hand": "Rui"})
    mine = client.get("/v1/movements?mine=true").json["items"]
    rui = client.get("/v1/movements?mine=true", headers={"Cureyard-Hand": "Rui"}).json["items"]
    assert [line["kind"] for line in mine] == ["receipt"] * 3
    assert [line["kind"] for line in rui] == ["scrap"]
