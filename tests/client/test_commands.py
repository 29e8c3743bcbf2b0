"""What is typed becomes one request; what is answered becomes text, or JSON as it came."""

from __future__ import annotations

import io
import json
import shlex
from typing import Any

import pytest
from click.testing import Result

from .at_server import sent, typed

LOT = {"id": 7, "product": "LAM-PE", "number": "B-2207", "container": "1",
       "on_hand": {"value": 18.5, "unit": "kg"}, "state": "good"}  # fmt: skip


@pytest.mark.parametrize(
    ("line", "path", "body"),
    [
        (["draw", "MAT-450", "2.4 m", "--job", "D-7"], "/v1/movements",
         {"kind": "draw", "product": "MAT-450", "quantity": "2.4 m", "job": "D-7"}),
        (["draw", "all", "--lot", "id:7", "--job", "D-7", "--override", "tested"],
         "/v1/movements",
         {"kind": "draw", "lot": 7, "quantity": "all", "job": "D-7",
          "override": {"reason": "tested"}}),
        (["return", "id:7", "1.8 m", "--job", "D-7", "--length", "1.2 m", "--width", "0.6 m"],
         "/v1/movements",
         {"kind": "return", "lot": 7, "quantity": "1.8 m", "job": "D-7",
          "size": {"length": "1.2 m", "width": "0.6 m"}}),
        (["count", "id:7", "0 kg", "--at", "2026-03-04T10:00:00Z"], "/v1/movements",
         {"kind": "count", "lot": 7, "quantity": "0 kg", "counted_at": "2026-03-04T10:00:00Z"}),
        (["scrap", "id:7", "all", "--reason", "gelled"], "/v1/movements",
         {"kind": "scrap", "lot": 7, "quantity": "all", "reason": "gelled"}),
        (["job", "open", "D-7", "--title", "Stem", "--craft", "Teal", "--structural", "no"],
         "/v1/jobs", {"number": "D-7", "title": "Stem", "craft": "Teal", "structural": "no"}),
        (["lot", "receive", "LAM-PE", "20 kg", "--number", "B-2207", "--cost", "120.50 eur"],
         "/v1/lots",
         {"product": "LAM-PE", "quantity": "20 kg", "number": "B-2207",
          "cost": {"amount": 120.5, "currency": "EUR"}}),
        (["lot", "receive", "LAM-PE", "20 kg", "--number", "B-2207", "--cost-per", "4.60 eur/kg",
          "--at", "2026-03-04T10:00:00Z"],
         "/v1/lots",
         {"product": "LAM-PE", "quantity": "20 kg", "number": "B-2207",
          "at": "2026-03-04T10:00:00Z",
          "cost_per": {"amount": 4.6, "currency": "EUR", "per": "kg"}}),
        (["job", "open", "D-7", "--title", "Stem", "--craft", "Teal",
          "--at", "2026-03-04T10:00:00Z"],
         "/v1/jobs",
         {"number": "D-7", "title": "Stem", "craft": "Teal", "at": "2026-03-04T10:00:00Z"}),
        (["lot", "extend", "id:7", "--until", "2027-03-31", "--reason", "two cups"],
         "/v1/lots/7/extensions", {"until_on": "2027-03-31", "reason": "two cups"}),
        (["lot", "test", "id:7", "--catalyst-lot", "id:9", "--mass", "100 g", "--temperature",
          "21 degC", "--percent", "2", "--gel", "17 min", "--second-gel", "18 min"],
         "/v1/lots/7/cup-tests",
         {"catalyst_lot": 9, "mass": "100 g", "temperature": "21 degC", "catalyst_percent": 2,
          "gel_times": ["17 min", "18 min"]}),
        (["bay", "add", "SHED", "--title", "Shed", "--day", "20 degC", "--night", "14 degC",
          "--day-from", "07:00", "--day-until", "18:00", "--uncertainty", "2 K"],
         "/v1/bays",
         {"code": "SHED", "title": "Shed", "day": "20 degC", "night": "14 degC",
          "day_from": "07:00", "day_until": "18:00", "uncertainty": "2 K"}),
        (["bay", "read", "SHED", "19.5 degC", "--humidity", "62.5", "--replace", "misread",
          "--at", "2026-03-04T10:00:00Z"],
         "/v1/bays/SHED/readings",
         {"readings": [{"at": "2026-03-04T10:00:00Z", "temperature": "19.5 degC",
                        "humidity_percent": 62.5, "replaces": True, "reason": "misread"}]}),
        (["dose", "LAM-PE", "2 kg", "--bay", "SHED", "--gel", "25 min", "--filled"],
         "/v1/doses",
         {"resin": "LAM-PE", "amount": "2 kg", "bay": "SHED", "target_gel": "25 min",
          "filled": True}),
        (["mix", "LAM-PE", "2 kg", "--temperature", "19 degC", "--percent", "1.5", "--job",
          "D-7", "--resin-lot", "id:7", "--filler", "MICROS", "120 g", "--filler", "WAX", "20 g"],
         "/v1/batches",
         {"resin": "LAM-PE", "amount": "2 kg", "temperature": "19 degC",
          "catalyst_percent": 1.5, "job": "D-7", "resin_lot": 7,
          "fillers": [{"product": "MICROS", "quantity": "120 g"},
                      {"product": "WAX", "quantity": "20 g"}]}),
        (["batch", "observe", "12", "not_mixed", "--note", "spilt"],
         "/v1/batches/12/observations", {"kind": "not_mixed", "note": "spilt"}),
        (["layup", "start", "D-7", "Plies 1-3", "--kind", "laminate", "--bay", "SHED",
          "--batch", "1", "--batch", "2", "--cover", "peel_ply", "--over", "4"],
         "/v1/layups",
         {"job": "D-7", "title": "Plies 1-3", "kind": "laminate", "bay": "SHED",
          "batches": [1, 2], "cover": "peel_ply", "over": 4}),
        (["layup", "start", "D-7", "Core skin", "--kind", "laminate", "--bay", "SHED",
          "--product", "LAM-PE", "--on", "polystyrene"],
         "/v1/layups",
         {"job": "D-7", "title": "Core skin", "kind": "laminate", "bay": "SHED",
          "product": "LAM-PE", "over_surface": "polystyrene"}),
        (["layup", "observe", "3", "handed_over", "--override", "tap test"],
         "/v1/layups/3/observations",
         {"kind": "handed_over", "override": {"reason": "tap test"}}),
        (["mix", "LAM-PE", "2 kg", "--temperature", "19 degC", "--percent", "1.5", "--job",
          "D-7", "--promoter", "COBALT", "8 g"],
         "/v1/batches",
         {"resin": "LAM-PE", "amount": "2 kg", "temperature": "19 degC",
          "catalyst_percent": 1.5, "job": "D-7",
          "promoter": {"product": "COBALT", "quantity": "8 g"}}),
        (["job", "need", "D-7", "LAM-PE", "2 kg", "--override", "agreed"],
         "/v1/jobs/D-7/needs",
         {"needs": [{"product": "LAM-PE", "quantity": "2 kg"}],
          "override": {"reason": "agreed"}}),
        (["layup", "observe", "3", "bagged", "--pressure", "85 hPa", "--absolute",
          "--air-pressure", "1013 hPa"],
         "/v1/layups/3/observations",
         {"kind": "bagged", "pressure": "85 hPa", "absolute": True, "air_pressure": "1013 hPa"}),
        (["layup", "observe", "3", "hardness", "--value", "35"],
         "/v1/layups/3/observations", {"kind": "hardness", "value": 35}),
    ],
)  # fmt: skip
def test_an_act_is_one_post(server: Any, line: list[str], path: str, body: Any) -> None:
    """Only what was typed is sent, in the service's own names."""
    request = sent(server, *line)
    assert (request.method, request.path) == ("POST", path)
    assert request.json == body
    assert len(server.requests) == 1


@pytest.mark.parametrize(
    ("line", "path", "body"),
    [
        (["job", "close", "D-7", "--reason", "handed over"], "/v1/jobs/D-7",
         {"state": "closed", "reason": "handed over"}),
        (["job", "set", "D-7", "--title", "Stem, port"], "/v1/jobs/D-7", {"title": "Stem, port"}),
        (["lot", "hold", "id:7", "--reason", "sun"], "/v1/lots/7", {"held": True, "reason": "sun"}),
        (["lot", "release", "id:7", "--reason", "fine"], "/v1/lots/7",
         {"held": False, "reason": "fine"}),
        (["lot", "open", "id:7", "--on", "2026-03-04"], "/v1/lots/7", {"opened_on": "2026-03-04"}),
        (["lot", "move", "id:7", "STORE"], "/v1/lots/7", {"bay": "STORE"}),
        (["lot", "set", "id:7", "--expires-on", "2027-01-31"], "/v1/lots/7",
         {"expires_on": "2027-01-31"}),
        (["lot", "set", "id:7", "--made-on", "2026-01-31", "--reason", "misread"], "/v1/lots/7",
         {"made_on": "2026-01-31", "reason": "misread"}),
        (["bay", "set", "SHED", "--night", "12 degC"], "/v1/bays/SHED", {"night": "12 degC"}),
        (["layup", "move", "3", "TENT", "--at", "2026-03-04T10:00:00Z"], "/v1/layups/3",
         {"bay": "TENT", "moved_at": "2026-03-04T10:00:00Z"}),
        (["layup", "set", "3", "--cover", "film"], "/v1/layups/3", {"cover": "film"}),
        (["bay", "set", "SHED", "--checked-on", "2026-03-01", "--indoors"],
         "/v1/bays/SHED", {"checked_on": "2026-03-01", "in_the_open": False}),
        (["product", "set", "LAM-PE", "--supplier", "Quay"], "/v1/products/LAM-PE",
         {"supplier": "Quay"}),
        (["product", "set", "LAM-PE", "--unpromoted"], "/v1/products/LAM-PE", {"promoted": False}),
        (["product", "set", "MAT-450", "--binder", "powder"], "/v1/products/MAT-450",
         {"binder": "powder"}),
        (["product", "set", "LAM-PE", "--post-cure", "55 degC", "65 degC", "15 h"],
         "/v1/products/LAM-PE",
         {"cure_change": {"post_cure": {"from": "55 degC", "to": "65 degC", "time": "15 h"}}}),
    ],
)  # fmt: skip
def test_a_change_is_of_what_stands(server: Any, line: list[str], path: str, body: Any) -> None:
    """A change looks first, and then names the version that it changes."""
    request = sent(server, *line, before=(server.reply({}, headers={"ETag": '"5"'}),))
    assert (request.method, request.path, request.json) == ("PATCH", path, body)
    assert request.headers["If-Match"] == '"5"'


SHEET = [
    "--mix", "catalysed", "--surface", "air_inhibited", "--with", "PEROX-9", "--with", "PEROX-6",
    "--reference", "20 degC", "2", "--gel-time", "20 degC", "2", "15-20 min",
    "--gel-time", "25 degC", "1.5", "18 min", "--percent-min", "1", "--percent-max", "2.5",
    "--apply-min", "15 degC", "--recoat-opens", "2 h", "--gel-mass", "100 g",
]  # fmt: skip
SHEET_BODY = {
    "mix": {"kind": "catalysed"},
    "surface": "air_inhibited",
    "with": ["PEROX-9", "PEROX-6"],
    "reference": {"temperature": "20 degC", "catalyst_percent": 2},
    "gel_times": [
        {"temperature": "20 degC", "catalyst_percent": 2, "from": "15 min", "to": "20 min"},
        {"temperature": "25 degC", "catalyst_percent": 1.5, "time": "18 min"},
    ],
    "catalyst_percent_min": 1,
    "catalyst_percent_max": 2.5,
    "apply_min": "15 degC",
    "milestones": {"recoat_opens": "2 h"},
    "gel_mass": "100 g",
}
PRODUCT = ["product", "add", "LAM-PE", "--name", "Laminating", "--role", "resin"]


def test_a_cure_sheet_by_its_lines(server: Any) -> None:
    """A data sheet typed line by line is the sheet that the service takes."""
    request = sent(server, *PRODUCT, "--effect", "thins", *SHEET)
    assert request.json == {
        "code": "LAM-PE", "name": "Laminating", "role": "resin", "effects": ["thins"],
        "cure": SHEET_BODY,
    }  # fmt: skip


def test_a_two_part_sheet(server: Any) -> None:
    """Parts, and no percent in the reference."""
    request = sent(server, *PRODUCT, "--mix", "two_part", "--parts", "100", "25", "--by", "mass",
                   "--surface", "amine_blush", "--reference", "25 degC", "-")  # fmt: skip
    assert request.json["cure"] == {
        "mix": {"kind": "two_part", "parts": [100, 25], "by": "mass"},
        "surface": "amine_blush",
        "reference": {"temperature": "25 degC"},
    }


def test_a_cure_sheet_from_a_file(server: Any) -> None:
    """A JSON file, or stdin, is passed on whole; two sheets as well."""
    request = sent(server, *PRODUCT, "--cure", "-", stdin=json.dumps([SHEET_BODY, SHEET_BODY]))
    assert request.json["cure"] == [SHEET_BODY, SHEET_BODY]


def test_one_figure_of_a_cure_sheet(server: Any) -> None:
    """What is set is what is sent: a figure as a change, a file as the whole sheet."""
    line = ("product", "set", "LAM-PE", "--sandable", "10 h")
    change = sent(server, *line, before=(server.reply({}),))
    assert change.json == {"cure_change": {"milestones": {"sandable": "10 h"}}}
    whole = sent(server, "product", "set", "LAM-PE", "--cure", "-", stdin=json.dumps(SHEET_BODY),
                 before=(server.reply({}),))  # fmt: skip
    assert whole.json == {"cure": SHEET_BODY}


def test_a_product_that_is_there(server: Any) -> None:
    """Adding it again says how it is changed instead; another refusal says what it said."""
    for more, named in (({"pointer": "/code"}, True), ({"pointer": "/cure"}, False)):
        server.answer(server.refusal(409, "already-exists", more))
        done = typed(server, *PRODUCT)
        assert done.exit_code == 1
        assert ("cureyard product set LAM-PE" in done.stderr) == named


def test_a_loggers_file_goes_as_it_is(server: Any, tmp_path: Any) -> None:
    """The file's own bytes, as a table."""
    file = tmp_path / "log.csv"
    file.write_bytes(b"at,temperature\r\n2026-03-04T10:00:00Z,19.5 degC\r\n")
    request = sent(server, "bay", "read", "SHED", "--csv", str(file))
    assert request.body == file.read_bytes()
    assert request.headers["Content-Type"] == "text/csv"
    assert "Idempotency-Key" in request.headers


def test_a_clock_time_is_the_yards(server: Any) -> None:
    """A clock time asks the yard for its zone, and goes out with that day's offset."""
    request = sent(server, "count", "id:7", "9 kg", "--at", "2026-07-01 14:35",
                   before=(server.reply({"zone": "Europe/Madrid"}),))  # fmt: skip
    assert server.requests[0].path == "/v1/yard"
    assert request.json["counted_at"] == "2026-07-01T14:35:00+02:00"


@pytest.mark.parametrize(
    "line",
    [
        ["draw", "2 kg", "--job", "D-7"],
        ["draw", "LAM-PE", "2 kg", "--lot", "7", "--job", "D-7"],
        ["draw", "LAM-PE", "2 kg"],
        ["bay", "read", "SHED"],
        ["bay", "read", "SHED", "20 degC", "--csv", "-"],
        ["bay", "read", "SHED", "--csv", "-", "--humidity", "3"],
        ["bay", "set", "SHED"],
        ["layup", "set", "3"],
        ["product", "set", "LAM-PE"],
        [*PRODUCT, "--cure", "-"],
        [*PRODUCT, "--percent-min", "nan"],
        [*PRODUCT, "--percent-min", "1e999"],
        ["lot", "receive", "LAM-PE", "20 kg", "--number", "B", "--cost", "120"],
        ["lot", "receive", "LAM-PE", "20 kg", "--number", "B", "--cost", "x EUR"],
        ["dose", "LAM-PE", "1 kg", "--units", "furlongs"],
        ["product", "show", ".."],
        ["layup", "show", "x"],
        ["lot", "list", "--limit", "0"],
    ],
)
def test_wrong_usage_asks_nobody(server: Any, line: list[str]) -> None:
    """What can't be meant ends with exit 2 before anything is sent."""
    done = typed(server, *line, stdin="no json")
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr
    assert server.requests == []


def test_json_is_the_services_own(server: Any) -> None:
    """With --json the answer stands on stdout as it came, and units are asked for."""
    server.answer(server.reply('{"items": [{"a":1.50}],\n "next": null}'))
    done = typed(server, "lot", "list", "--json", "--units", "us", "--state", "soon")
    assert done.stdout == '{"items": [{"a":1.50}],\n "next": null}\n'
    assert done.stderr == ""
    assert server.requests[0].path == "/v1/lots?units=us&state=soon"


def test_a_refusal(server: Any) -> None:
    """Words on stderr, the exit of its status, nothing on stdout."""
    server.answer(server.refusal(422, "unit-missing", {"advice": "Units that fit: kg."}))
    done = typed(server, "draw", "LAM-PE", "2", "--job", "D-7")
    assert done.exit_code == 2
    assert done.stdout == ""
    assert done.stderr == "Refused: unit-missing!\nNothing was changed.\nUnits that fit: kg.\n"


@pytest.mark.parametrize(
    ("line", "advice", "told"),
    [
        ("product set LAM --surface waxed", "Leave mix.parts out, or set mix.kind to 'two_part'.",
         "Leave --parts out, or set --mix to 'two_part'."),
        ("product set LAM --surface waxed", "Leave 'with' out.", "Leave --with out."),
        ("product set LAM --surface waxed", "Check apply_min, catalyst_percent_max and cold_max.",
         "Check --apply-min, --percent-max and cold_max."),
        ("plan days SHED --step Plies LAM@2 '90 min'", "Give 'abrade' for the step.",
         "Give --abrade for the step."),
        ("layup list", "Give 'abrade' for the step.", "Give 'abrade' for the step."),
    ],
)  # fmt: skip
def test_advice_names_the_option_of_a_field(server: Any, line: str, advice: str, told: str) -> None:
    """Where this command has one; the interface's own name stays where it has none."""
    server.answer(server.refusal(422, "validation", {"advice": advice}))
    assert typed(server, *shlex.split(line)).stderr.splitlines()[-1] == told


def test_a_refusal_as_json(server: Any) -> None:
    """With --json the problem document itself stands on stdout, beside the words."""
    server.answer(server.refusal(409, "short-stock"))
    done = typed(server, "draw", "LAM-PE", "2 kg", "--job", "D-7", "--json")
    assert json.loads(done.stdout)["type"].endswith("/problems/short-stock")
    assert done.stderr.startswith("Refused: short-stock!")
    assert done.exit_code == 1


def test_a_page_and_the_next(server: Any) -> None:
    """A list says how to go on, beside the data."""
    server.answer(server.reply({"items": [LOT], "next": "c4"}))
    done = typed(server, "lot", "list", "--limit", "1")
    assert done.stdout.splitlines()[1].split() == ["7", "LAM-PE", "B-2207", "18.5", "kg", "good"]
    assert "--after c4" in done.stderr
    server.answer(server.reply({"items": [], "next": None}))
    done = typed(server, "lot", "list", "--after", "c4")
    assert (done.stdout, done.stderr) == ("", "There are none.\n")
    assert server.requests[-1].path == "/v1/lots?after=c4"


def looked_up(server: Any, text: str, *replies: Any) -> Result:
    """What `trace` asks for when a lot is named so."""
    server.requests.clear()
    server.answer(*replies, server.refusal(409, "job-closed"))
    return typed(server, "trace", text)


def test_a_lot_by_number(server: Any) -> None:
    """A number is looked up, in its product if that is named."""
    page = server.reply({"items": [LOT], "next": None})
    looked_up(server, "B-2207", page)
    assert [r.path for r in server.requests] == [
        "/v1/lots?number=B-2207&limit=200", "/v1/lots/7/trace",
    ]  # fmt: skip
    looked_up(server, "LAM-PE/B-2207", page)
    assert server.requests[0].path == "/v1/lots?number=B-2207&product=LAM-PE&limit=200"


def test_a_number_with_several_containers(server: Any) -> None:
    """Several containers are listed with their ids; naming the container chooses."""
    page = server.reply({"items": [LOT, {**LOT, "id": 8, "container": "2"}], "next": None})
    done = looked_up(server, "B-2207", page)
    assert done.exit_code == 2
    assert "id:7 is LAM-PE/B-2207/1; id:8 is LAM-PE/B-2207/2" in done.stderr
    looked_up(server, "LAM-PE/B-2207/2", page, page)
    assert server.requests[-1].path == "/v1/lots/8/trace"


def test_a_number_alone_is_not_its_offcut(server: Any) -> None:
    """It is the lot that listings show by it; an offcut is named by its container."""
    offcut = {**LOT, "id": 8, "container": "1.1", "parent": 7}
    page = server.reply({"items": [LOT, offcut], "next": None})
    for text, lot in (("B-2207", 7), ("LAM-PE/B-2207", 7), ("LAM-PE/B-2207/1.1", 8)):
        looked_up(server, text, *[page] * text.count("/") or [page])
        assert server.requests[-1].path == f"/v1/lots/{lot}/trace"
    looked_up(server, "B-2207", server.reply({"items": [offcut], "next": None}))
    assert server.requests[-1].path == "/v1/lots/8/trace"
    second = {**LOT, "id": 9, "container": "2"}
    several = server.reply({"items": [LOT, offcut, second], "next": None})
    assert "may be 2 lots" in looked_up(server, "B-2207", several).stderr


def test_digits_may_be_an_id_or_a_number(server: Any) -> None:
    """An id that is no number, a number that is no id, and one that is both of two lots."""
    none = server.reply({"items": [], "next": None})
    looked_up(server, "7", none, server.reply(LOT))
    assert server.requests[-1].path == "/v1/lots/7/trace"
    numbered = server.reply({"items": [{**LOT, "id": 40, "number": "7"}], "next": None})
    looked_up(server, "7", numbered, server.refusal(404, "not-found"))
    assert server.requests[-1].path == "/v1/lots/40/trace"
    done = looked_up(server, "7", numbered, server.reply(LOT))
    assert done.exit_code == 2
    assert "'7' may be 2 lots" in done.stderr


def test_no_such_lot(server: Any) -> None:
    """Exit 1, as the store's own 404."""
    nothing = server.reply({"items": [], "next": None})
    done = looked_up(server, "B-1", nothing, nothing)
    assert done.exit_code == 1
    assert "no lot 'B-1'" in done.stderr


@pytest.mark.parametrize("name", ["serve", "prove", "demo"])
def test_what_opens_a_store_itself(server: Any, name: str) -> None:
    """With a server set, these say where to run them; exit 2."""
    done = typed(server, name)
    assert done.exit_code == 2
    assert server.url in done.stderr
    assert "on the machine that has the store" in done.stderr
    assert server.requests == []


def test_stdin_is_read_as_bytes(server: Any) -> None:
    """A logger's file may come through a pipe."""
    request = sent(server, "bay", "read", "SHED", "--csv", "-",
                   stdin=io.BytesIO(b"at,temperature\n"))  # fmt: skip
    assert request.body == b"at,temperature\n"


def test_a_mistyped_lot(server: Any) -> None:
    """The nearest ones are offered, by product and number."""
    none, some = server.reply({"items": []}), server.reply({"items": [LOT]})
    server.answer(none, some)
    done = typed(server, "lot", "show", "B-2270")
    assert done.exit_code == 1
    assert "Did you mean LAM-PE/B-2207?" in done.stderr
    server.answer(none, some)
    assert "lot list" in typed(server, "lot", "show", "xyzzy").stderr
