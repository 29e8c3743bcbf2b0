"""Pages of record: they say what the interface answers, to whoever is known, and in words.

What is expected is put into words by the command line's rendering, which shares nothing with
the pages.
"""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_client.rendering.amounts import amount, taken
from cureyard_service.acts.yard import finding
from cureyard_service.core.errors import HeldLot, Invalid, NotAllowed, Refusals, Unsure
from cureyard_service.web.http.error_handlers import refused
from cureyard_service.web.problems import NotAuthenticated, NotReady
from flask import Flask
from flask.testing import FlaskClient

from ... import makers
from ...acts import sample_yard as yard
from ..conftest import Clock
from ..read_page import BROWSER, Page, read
from ..tokened import given

H = 3600
HOSTILE = "</title><script>alert(1)</script>{{7*7}}'\"&"
EVERY = ("/jobs", "/jobs/D-7", "/jobs/D-7/cuts", "/lots", "/lots/1", "/products", "/products/LAM")

NOT_THERE = [
    *((404, address) for address in (
        "/jobs/nope", "/jobs/a%20b", "/jobs/" + "x" * 40, "/lots/99", "/lots/0", "/lots/-1",
        "/lots/99999999999999999999", "/products/%00", "/products/NOPE", "/jobs/D-7/cuts/99.svg",
        "/nowhere", "/paper/thing/x.css", '/paper/job/a"b.css', "/jobs/nope/cuts",
    )),
    *((422, address) for address in (
        "/lots?after=%FF", "/jobs?after=9999", "/products?after=x", "/jobs/D-7?units=cubits",
        "/jobs?units=cubits", "/lots?state=zzz", "/jobs?state=held", "/lots?stat=held",
        "/products?role=resin",
    )),
]  # fmt: skip
"""What a browser may ask for in vain, and the status of its answer."""


def post(client: FlaskClient, address: str, **body: Any) -> Any:
    """What the interface answers to a change."""
    answer = client.post(f"/v1/{address}", json=body)
    assert answer.status_code in (200, 201), answer.text
    return answer.json


@pytest.fixture
def worked(app: Flask, client: FlaskClient, clock: Clock) -> FlaskClient:
    """A yard where a job had two pots and two layups, and has plies still to be cut."""
    yard.set_up()
    drum, bottle = yard.stocked()
    yard.receive("MAT", "20 m")
    stale = yard.receive("MICROS", "2 kg", expires_on=yard.day(-3), bay="BARN")
    post(
        client, f"lots/{drum.id}/cup-tests", catalyst_lot=bottle.id, mass="100 g",
        temperature="20 degC", catalyst_percent=2, gel_times=["21 min", "22 min"],
    )  # fmt: skip
    mix(client, clock)
    clock.moment += 26 * H
    mix(client, clock, over=1)
    post(client, "movements", kind="draw", lot=stale.id, quantity="150 g", job="D-7",
         override={"reason": "dry and free-flowing"})  # fmt: skip
    post(client, "movements", kind="scrap", lot=drum.id, quantity="0.4 kg", job="D-7",
         reason="spilt")  # fmt: skip
    pieces = [{"length": "1.4 m", "count": 2}, {"length": "0.9 m", "count": 1}]
    post(client, "jobs/D-7/needs", needs=[{"product": "MAT", "pieces": pieces}])
    clock.moment += H
    return client


def mix(client: FlaskClient, clock: Clock, **layup: Any) -> None:
    """A pot, and the layup that it went into."""
    pot = post(client, "batches", **makers.pot(amount="1.5 kg"))
    laid = post(client, "layups", **makers.layup(pot["id"], **layup))
    for _ in range(2):  # so early that it is said twice, a minute apart
        clock.moment += 60
        post(client, f"layups/{laid['id']}/observations", kind="gelled")


def test_a_jobs_page_is_its_usage(worked: FlaskClient) -> None:
    """The same lots, amounts, dates, pots and temperatures; never the cost."""
    used, page = worked.get("/v1/jobs/D-7/usage").json, read(worked, "/jobs/D-7")
    lots = {row["lot"]: row for row in page.having("in date then")}
    assert len(lots) == len(used["lots"]) == 3
    for lot in used["lots"]:
        row = lots[f"{lot['number']}/{lot['container']}"]
        assert (row["product"], row["used"]) == (lot["product"], amount(lot["used"]))
        assumed = ", assumed from receipt" * (lot["good_until_basis"] == "received_on")
        assert row["good until"] == (lot["good_until_then"] or "no date") + assumed
        said = {True: "yes", False: "out of date", None: "no date known"}
        assert row["in date then"] == said[lot["in_date_then"]]
    assert [lots[each]["in date then"] for each in lots if "MICROS" in lots[each]["product"]] == [
        "out of date"
    ]
    for pot, row in zip(used["batches"], page.having("pot"), strict=True):
        assert (row["pot"], row["percent"]) == (str(pot["id"]), f"{pot['catalyst_percent']:.4g} %")
        assert row["resin at"] == amount(pot["temperature"])
        for draw in pot["draws"]:
            words = f"{amount(draw['quantity'])} {draw['product']}, {draw['number']}/"
            assert words in row["of"]
    for laid, row in zip(used["layups"], page.having("layup"), strict=True):
        low, mean, high = (amount(laid["cured"][name]) for name in ("min", "mean", "max"))
        warmth = f"{low} to {high}, mean {mean}; assumed from the bay’s pattern"
        assert row["cured at"].startswith(warmth)
        assert row["gel, window, seen"].startswith("gel seen 2026-03-2")
    laid_on = page.having("layup")[1]["laid on"]
    assert "layup 1, past its recoat window; needed first: confirm" in laid_on
    assert "no sanding noted" in laid_on
    parts = page.having("proof")
    assert len(parts) == len(used["acceptance"]) == 1
    (part,) = used["acceptance"]
    lacks = "; ".join(part["lacks"])
    assert parts[0]["accepted"] == ("yes" if part["accepted"] else f"no: {lacks}")
    assert "Not signed." in page.words
    (test,) = (test for lot in used["lots"] for test in lot["cup_tests"])
    for words in (
        "spoilt: 400 g of LAM", f"{test['factor']:.2f} of the sheet’s time: use", "expired lot",
        "“dry and free-flowing”", "No login proved this name",
    ):  # fmt: skip
        assert words in page.words, words
    assert "EUR" not in page.words


def test_a_signature_is_on_the_sheet(worked: FlaskClient) -> None:
    """Who, when, what was left open and why; voided it stays, crossed out; no certificate."""
    post(worked, "layups/2/observations", kind="hardness", value=41, scale="shore_d")
    open_now = worked.get("/v1/jobs/D-7/signature").json["open"]
    unsigned = read(worked, "/jobs/D-7").words
    assert all(each["item"] in unsigned for each in open_now)
    left = [{"item": each["item"], "reason": "the surveyor agreed"} for each in open_now]
    post(worked, "jobs/D-7/signature", left=left)
    words = read(worked, "/jobs/D-7").words
    assert "41 Shore D" in words
    for told in (
        "Signed 2026-03-2",
        "by Ines",
        "Unverified",
        "no certificate",
        "none named",
        "“the surveyor agreed”",
        "reopen D-7",
        *(each["item"] for each in open_now),
    ):
        assert told in words, told  # fmt: skip
    back = {"state": "open", "reason": "a blister"}
    assert worked.patch("/v1/jobs/D-7", json=back, headers={"If-Match": "*"}).status_code == 200
    again = read(worked, "/jobs/D-7").words
    assert "voided 2026-03-2" in again
    assert "“a blister”" in again


def test_a_lots_page_is_its_trace(worked: FlaskClient) -> None:
    """Each movement with what was left, the balance among them; where it stood and went."""
    told, page = worked.get("/v1/lots/1/trace").json, read(worked, "/lots/1")
    lines = page.having("amount")
    assert len(lines) == len(told["movements"]) == 4
    for line, row in zip(told["movements"], lines, strict=True):
        assert row["amount"].lstrip("-") == taken(line["quantity"])
        assert row["left"] == amount(line["on_hand"])
    assert lines[-1]["left"] == amount(told["lot"]["on_hand"]) == "16.6 kg"
    (went,) = page.having("layups")
    assert (went["craft"], went["pots"], went["layups"]) == (
        "the dory Teal", "1, 2", "1, Plies; 2, Plies",
    )  # fmt: skip
    assert "Cup test, 2026-03-20 09:46: gelled in 21 min and 22 min" in page.words
    stood = read(worked, "/lots/4")
    (stay,) = stood.having("measured or assumed")
    assert (stay["bay"], stay["temperature"]) == ("BARN, Barn", "4 °C to 4 °C, mean 4 °C")
    assert f"{yard.day(-3)} by its label" in stood.words
    assert "expired lot set aside for job D-7" in stood.words


def test_a_products_table_says_what_a_dose_says(app: Flask, client: FlaskClient) -> None:
    """At each percent and temperature that it has, of a lot that no cup was made of."""
    yard.set_up()
    text = client.get("/products/LAM", headers=BROWSER).text
    table = text[text.index("Gel time of the cup") :]
    for celsius, percent in ((15, 1), (20, 2), (25, 3)):
        dose = post(client, "doses", resin="LAM", amount="1 kg", temperature=f"{celsius} degC",
                    catalyst_percent=percent)  # fmt: skip
        row = next(line for line in table.splitlines() if f">{celsius}\u00a0°C<" in line)
        shown = Page(row).words.split(" °C ")[1].split()[percent - 1]
        assert float(shown) == pytest.approx(dose["gel"]["time"]["value"], abs=0.51)


def test_a_product_tells_fitted_from_assumed(worked: FlaskClient) -> None:
    """LAM's gel times tell both; EPOX has one, so its energy is the trade's."""
    lam, epoxy = read(worked, "/products/LAM"), read(worked, "/products/EPOX")
    assert "Fitted to these: activation energy" in lam.words
    assert "Assumed" not in lam.words
    assert "Assumed, since these do not show it: activation energy 50 kJ/mol." in epoxy.words
    assert "100 to 25 by mass" in epoxy.words
    assert {"svg", "path", "circle"} <= lam.tags
    assert "svg" not in read(worked, "/products/MAT").tags


def test_cuts_are_what_is_reserved(worked: FlaskClient) -> None:
    """The same roll and length as among the job's needs, one cut after the other."""
    (need,) = worked.get("/v1/jobs/D-7/needs").json["needs"]
    page = read(worked, "/jobs/D-7/cuts")
    (lot,) = need["lots"]
    assert f"From lot {lot['number']}/1: {amount(lot['quantity'])} of 20 m" in page.words
    assert "1 0 mm 1400 mm 2 1400 mm 1400 mm 3 2800 mm 900 mm" in page.words
    drawing = worked.get("/jobs/D-7/cuts/3.svg")
    assert drawing.mimetype == "image/svg+xml"
    assert "1400 mm × 1250 mm" in drawing.text
    assert "/jobs/D-7/cuts/3.svg" in page.links


def test_a_job_that_cuts_nothing_says_so(worked: FlaskClient) -> None:
    """No drawing of nothing; a closed job cuts nothing more."""
    assert "nothing to cut from" in read(worked, "/jobs/S-1/cuts").words
    assert read(worked, "/jobs/S-1/cuts/3.svg", 404).words
    row = finding.job("S-1")
    worked.patch(f"/v1/jobs/{row.number}", json={"state": "closed"}, headers={"If-Match": "*"})
    assert "The job is closed" in read(worked, "/jobs/S-1/cuts").words
    assert "Quality gates" not in read(worked, "/jobs/S-1").words


def test_units_are_those_asked_for(worked: FlaskClient) -> None:
    """In pounds, yards and Fahrenheit, figures and drawing alike."""
    page = read(worked, "/jobs/D-7?units=us")
    assert {row["resin at"] for row in page.having("pot")} == {"68 °F"}
    assert all(" lb" in row["of"] for row in page.having("pot"))
    assert "units=us" in next(
        x for x in read(worked, "/jobs/D-7/cuts?units=us").links if ".svg" in x
    )
    assert " in × " in worked.get("/jobs/D-7/cuts/3.svg?units=us").text


def test_lists_go_on_until_all_was_shown(worked: FlaskClient) -> None:
    """Sixty jobs more: each once, newest first, by the links alone."""
    for number in range(60):
        post(worked, "jobs", **makers.job(f"N-{number}"))
    shown, address = [], "/jobs"
    while address:
        page = read(worked, address)
        shown += [row["job"] for row in page.having("job")]
        address = next((link for link in page.links if "after=" in link), "")
    assert shown == [f"N-{n}" for n in range(59, -1, -1)] + ["S-1", "D-7"]


def test_lists_are_narrowed(worked: FlaskClient) -> None:
    """Lots are those in stock, unless all or one state is asked for."""
    used_up = yard.receive("WAX", "1 kg")
    post(worked, "movements", kind="draw", lot=used_up.id, quantity="all", job="D-7")
    found = {
        state: {row["state"].split(",")[0] for row in read(worked, f"/lots{state}").having("lot")}
        for state in ("", "?state=all", "?state=empty", "?state=expired")
    }
    assert found == {
        "": {"good", "out of date"}, "?state=all": {"good", "out of date", "empty"},
        "?state=empty": {"empty"}, "?state=expired": {"out of date"},
    }  # fmt: skip
    assert "No job is closed." in read(worked, "/jobs?state=closed").words


def test_a_lot_is_found_by_its_number(worked: FlaskClient) -> None:
    """As it stands on the drum, in any case of letters, empty or not; a stranger's is nowhere."""
    used_up = yard.receive("WAX", "1 kg", number="Wx-9")
    post(worked, "movements", kind="draw", lot=used_up.id, quantity="all", job="D-7")
    (row,) = read(worked, "/lots?number=+wX-9 ").having("lot")
    assert (row["lot"], row["state"]) == ("Wx-9/1", "empty")
    for number in ("nope", "%3Cb%3E", "%00", "x" * 500):
        assert "No lot has the number" in read(worked, f"/lots?number={number}").words


def test_what_is_not_there_is_said_in_words(worked: FlaskClient) -> None:
    """A browser reads a page, with the way on; a program the problem document."""
    for status, address in NOT_THERE:
        page = read(worked, address, status)
        assert {"/", "/jobs", "/lots", "/products", "/docs"} <= set(page.links)
        assert any(link.startswith("/static/yard.css") for link in page.links)
        assert "Nothing was changed." in page.words
        assert '"status"' not in page.words
        for accept in ("*/*", "application/json", ""):
            answer = worked.get(address, headers={"Accept": accept})
            assert (answer.status_code, answer.mimetype) == (status, "application/problem+json")


def test_a_filter_is_refused_as_the_interface_does(worked: FlaskClient) -> None:
    """In the same words, with what there is to choose."""
    for page, interface, choices in (
        ("/lots?state=zzz", "/v1/lots?state=zzz", "Use all, good, soon, expired, held, empty."),
        ("/jobs?state=zzz", "/v1/jobs?state=zzz", "Use open, closed."),
    ):
        told, said = read(worked, page, 422), worked.get(interface)
        assert said.status_code == 422
        assert said.json["detail"] in told.words
        assert choices in told.words
    assert worked.get("/v1/movements?lot=99").status_code == 404  # nor an empty list of no lot


def test_every_refusal_is_a_page_of_the_yard(app: Flask, client: FlaskClient) -> None:
    """Unknown, foreign, clashing or broken: what was wrong, what was changed, and what to do."""
    lost = Unsure("The store broke off.", advice="Look first.")
    for raised, status, words in (
        (NotAuthenticated("No token.", advice="Ask."), 401, "Nothing was changed. Ask."),
        (NotAllowed("A lead may.", advice="Ask one."), 403, "Nothing was changed. Ask one."),
        (HeldLot("It is held.", advice="Ask."), 409, "It is held. Nothing was changed."),
        (NotReady("Its disk is gone.", advice="Plug it in."), 503, "Plug it in."),
        (Refusals([Invalid("No unit."), Invalid("No day.")]), 422, "No unit. No day."),
        (lost, 503, "It is not known whether that was kept"),
    ):
        with app.test_request_context("/lots", headers=BROWSER):
            answer = refused(raised)
        page = Page(answer.get_data(as_text=True))
        assert (answer.status_code, answer.mimetype) == (status, "text/html")
        assert words in page.words
        assert {"/", "/jobs", "/lots"} <= set(page.links)
    assert "Nothing was changed" not in page.words
    given("Ada", "viewer")
    wrong = client.get("/lots", headers=BROWSER | {"Authorization": "Bearer cureyard_x"})
    assert (wrong.status_code, wrong.mimetype) == (401, "text/html")
    assert "not known here" in Page(wrong.text).words


def test_a_refusal_of_a_stranger_has_its_style(client: FlaskClient) -> None:
    """The style sheet tells nothing of the store, so it is answered under any name."""
    strange = {"environ_overrides": {"HTTP_HOST": "yard.example"}}
    answer = client.get("/lots", headers=BROWSER, **strange)
    assert (answer.status_code, answer.mimetype) == (403, "text/html")
    for link in Page(answer.text).links:
        if link.startswith("/static/"):
            with client.get(link, **strange) as style:
                assert style.status_code == 200


def test_the_interface_answers_programs_whoever_asks(worked: FlaskClient) -> None:
    """A browser's own scripts ask it too."""
    answer = worked.get("/v1/jobs/nope", headers=BROWSER)
    assert answer.mimetype == "application/problem+json"


def test_hostile_words_stay_words(app: Flask, client: FlaskClient) -> None:
    """Titles, names, notes and reasons that would be script, markup or a template."""
    yard.set_up()
    post(client, "products", code="BAD", name=HOSTILE, role="filler", supplier=HOSTILE)
    post(client, "bays", code="LAIR", title=HOSTILE, day="20 degC", night="20 degC",
         day_from="07:00", day_until="18:00")  # fmt: skip
    post(client, "jobs", number="X-1", title=HOSTILE, craft=HOSTILE, authority=HOSTILE)
    lot = post(client, "lots", product="BAD", number="B", quantity="1 kg", bay="LAIR",
               supplier=HOSTILE)["id"]  # fmt: skip
    yard.stocked()
    pot = post(client, "batches", resin="LAM", amount="1 kg", temperature="20 degC",
               catalyst_percent=2, job="X-1")  # fmt: skip
    laid = post(client, "layups", job="X-1", title=HOSTILE, kind="laminate", bay="LAIR",
                batches=[pot["id"]])  # fmt: skip
    post(client, f"batches/{pot['id']}/observations", kind="gelled", note=HOSTILE)
    post(client, f"layups/{laid['id']}/observations", kind="sanded", note=HOSTILE)
    post(client, "movements", kind="scrap", lot=lot, quantity="100 g", job="X-1", reason=HOSTILE)
    for address, least in (
        ("/jobs", 2), ("/jobs/X-1", 5), ("/jobs/X-1/cuts", 2), (f"/lots/{lot}", 3),
        ("/products", 1), ("/products/BAD", 3), ("/lots", 0),
    ):  # fmt: skip
        page = read(client, address)
        assert "script" not in page.tags
        assert page.words.count("<script>alert(1)</script>{{7*7}}") >= least, address


def test_pages_need_no_script_and_every_link_leads_somewhere(worked: FlaskClient) -> None:
    """Nor any style of their own, which the policy would not let in."""
    links: set[str] = set()
    for address in EVERY:
        page = read(worked, address)
        assert not page.tags & {"script", "style"}
        assert not page.attributes & {"style", "onclick", "onload"}
        links |= {link for link in page.links if not link.startswith("#")}
    for link in links:
        assert link.startswith("/")
        with worked.get(link, headers=BROWSER) as linked:
            assert linked.status_code == 200, link


def test_a_sheet_of_paper_says_what_it_is_of(worked: FlaskClient) -> None:
    """At its foot, by a style sheet of the page's own."""
    (link,) = [link for link in read(worked, "/jobs/D-7").links if "/paper/" in link]
    answer = worked.get(link)
    assert answer.mimetype == "text/css"
    assert 'content: "job D-7"' in answer.text


def test_a_stranger_is_sent_to_the_entrance(worked: FlaskClient) -> None:
    """Once somebody has a token; and whoever shows it reads the same page."""
    viewer = given("Ada", "viewer")
    for address in (*EVERY, "/jobs/D-7/cuts/3.svg", "/paper/job/D-7.css"):
        assert worked.get(address).status_code == 303
        assert worked.get(address, headers=viewer.bearer).status_code == 200
