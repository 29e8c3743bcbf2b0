"""Tables that go out: what a spreadsheet makes of them, and the way back in."""

from __future__ import annotations

import csv
import io
import tracemalloc
from collections.abc import Iterator
from contextlib import contextmanager
from decimal import Decimal
from types import SimpleNamespace

import pytest
from cureyard_service.acts.bays.readings import read_bay
from cureyard_service.core.amounts import quantities as q
from cureyard_service.store import bays
from cureyard_service.store.engine.database import db
from cureyard_service.store.yard import withdrawals
from cureyard_service.store.yard.hands import Hand
from cureyard_service.web.app import create_app
from cureyard_service.web.context.settings import Settings
from cureyard_service.web.files import cells, out
from cureyard_service.web.resources import exports
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st

from ...engines import Engine
from ..conftest import MORNING, new_yard
from ..sent_tables import BAY, CATALOGUE, LOG, SHELF, sent

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
        ["at (Europe/Lisbon)", "at (UTC)", "temperature (degC)", "humidity (%)", "doubt"],
        ["2026-03-19 07:00:00", "2026-03-19 07:00:00", "18.5", "61", ""],
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
    text = "".join(out.table([out.Column("name")], [[SimpleNamespace(name=words)]], "metric"))
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


MANY = 20_000
"""Readings: whole they are 1 MB as a table, and 15 MB as rows."""


def logged(client: FlaskClient, count: int) -> None:
    """A bay with many readings, one a minute."""
    assert client.post("/v1/bays", json=BAY).status_code == 201
    first = MORNING - count * 60
    bays.write_readings(
        [
            {"bay_id": 1, "at": first + 60 * n, "temperature_mk": 290_000 + n % 97 * 100,
             "humidity_ppm": None, "replaces_id": None, "reason": None, "recorded_at": MORNING,
             "who": "Ada", "verified": False}
            for n in range(count)
        ]
    )  # fmt: skip


@contextmanager
def coming(client: FlaskClient, path: str) -> Iterator[Iterator[bytes]]:
    """An export as it comes."""
    with client.get(f"/v1/exports/{path}") as answer:
        assert answer.status_code == 200, answer.text
        yield answer.iter_encoded()


@pytest.mark.only_on("sqlite")  # what is measured is this program's memory
def test_a_long_table_is_never_whole_in_memory(client: FlaskClient) -> None:
    """A page or two at a time, however many there are: here forty."""
    logged(client, MANY)
    tracemalloc.start()
    try:
        size = 0
        with coming(client, "readings/SHED") as pieces:
            for piece in pieces:
                size += len(piece)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert size > 900_000
    assert peak < 2_500_000


def test_what_comes_while_a_table_is_read_is_not_in_it(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither a reading, a correction nor a withdrawal; the next table has them all."""
    monkeypatch.setattr(exports, "ROWS", 3)
    logged(client, 20)
    before = exported(client, "readings")
    with coming(client, "readings/SHED") as pieces:
        come = [next(pieces), next(pieces)]
        last = MORNING - 60
        hand = Hand("Ada", verified=False, role="lead")
        told = {"at": last, "temperature": Decimal(300), "humidity_percent": None}
        read_bay(bay="SHED", readings=[told | {"replaces": True, "reason": "misread"}],
                 now=MORNING, hand=hand)  # fmt: skip
        read_bay(bay="SHED", readings=[told | {"at": MORNING - 30}], now=MORNING, hand=hand)
        withdrawals.withdraw("reading", 15, "a lamp stood by it", now=MORNING, hand=hand)
        come += pieces
    text = b"".join(come).decode().removeprefix("\ufeff")
    assert list(csv.reader(io.StringIO(text, newline=""))) == before
    after = exported(client, "readings")
    assert len(after) == len(before) + 1 - 1
    assert after[-2][2] == "26.85"


@pytest.mark.parametrize("rows", [1, 2, 3, 4, 5, 100])
def test_corrections_stay_with_their_moment_across_pages(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch, rows: int
) -> None:
    """However the pages fall, each moment is there once, with its last word."""
    monkeypatch.setattr(exports, "ROWS", rows)
    logged(client, 3)
    hand = Hand("Ada", verified=False, role="lead")
    for kelvin in range(295, 300):
        told = {"at": MORNING - 120, "temperature": Decimal(kelvin), "humidity_percent": None}
        read_bay(bay="SHED", readings=[told | {"replaces": True, "reason": "misread"}],
                 now=MORNING, hand=hand)  # fmt: skip
    assert [row[2] for row in exported(client, "readings")[1:]] == ["16.85", "25.85", "17.05"]


def test_lines_of_the_ledger_come_in_pages(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same table as in one page, without what is drawn meanwhile."""
    filled(client, KINDS)
    whole = exported(client, "movements")
    monkeypatch.setattr(exports, "ROWS", 1)
    with coming(client, "movements") as pieces:
        come = [next(pieces)]
        scrap = {"kind": "scrap", "lot": 3, "quantity": "1 m", "reason": "torn"}
        assert client.post("/v1/movements", json=scrap).status_code == 201
        come += pieces
    text = b"".join(come).decode().removeprefix("\ufeff")
    assert list(csv.reader(io.StringIO(text, newline=""))) == whole
    for kind in ("products", "lots"):
        monkeypatch.setattr(exports, "ROWS", 1)
        one = exported(client, kind)
        monkeypatch.setattr(exports, "ROWS", 500)
        assert exported(client, kind) == one


def test_two_tables_are_made_at_once_and_no_more(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The third is refused with the seconds to wait, until one is read or was given up.

    RFC 9110, 15.6.4 and 10.2.3.
    """
    monkeypatch.setattr(exports, "ROWS", 1)
    logged(client, 5)
    with coming(client, "readings/SHED"), coming(client, "readings/SHED") as pieces:
        for kind in ("readings/SHED", "movements", "lots", "products"):
            refused = client.get(f"/v1/exports/{kind}")
            assert refused.status_code == 503
            assert refused.headers["Retry-After"] == "5"
            assert refused.json["type"].endswith("/problems/busy")
        assert client.get("/v1/lots").status_code == 200
        list(pieces)
        assert client.get("/v1/exports/lots").status_code == 200
    for _ in range(5):
        assert client.get("/v1/exports/readings/NO").status_code == 404
        assert client.head("/v1/exports/movements").status_code == 200
        assert client.get("/v1/exports/lots").status_code == 200


def test_a_table_has_its_time(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    """What changes is refused when it is not ready in time; what is read too slowly breaks off."""
    filled(client, KINDS)
    monkeypatch.setattr(exports, "SNAPSHOT_S", -1)
    refused = client.get("/v1/exports/lots")
    assert (refused.status_code, refused.headers["Retry-After"]) == (503, "5")
    monkeypatch.setattr(exports, "ROWS", 1)
    with coming(client, "movements") as pieces:
        next(pieces)
        monkeypatch.setattr(exports.time, "monotonic", lambda: 1e9)
        with pytest.raises(TimeoutError):
            list(pieces)
    monkeypatch.undo()
    for _ in range(3):
        assert client.get("/v1/exports/lots").status_code == 200


@pytest.mark.only_on("sqlite")
def test_a_table_that_is_read_slowly_lets_the_log_be_used_again(client: FlaskClient) -> None:
    """No read of the store is open between two pages: SQLite can write all of its log back.

    sqlite.org/wal.html, 'Avoiding Excessively Large WAL Files'.
    """
    logged(client, 3000)
    with coming(client, "readings/SHED") as pieces:
        next(pieces)
        busy, _, _ = db.execute_sql("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        assert busy == 0
        assert client.post("/v1/bays", json=BAY | {"code": "TENT"}).status_code == 201
