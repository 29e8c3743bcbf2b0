"""What an open job's page says before its record, and what an empty page says to do."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest
from cureyard_service.acts.yard import finding
from flask import Flask
from flask.testing import FlaskClient

from ... import makers
from ...acts import sample_yard as yard
from ...shown import unknown
from ..conftest import Clock
from ..read_page import BROWSER, Page, read

H = 3600
HEADS = ("Curing", "Wetness", "Short", "Needed", "Planned", "Spent")


def post(client: FlaskClient, address: str, method: str = "POST", **body: Any) -> Any:
    """What the interface answers to a change."""
    answer = client.open(f"/v1/{address}", method=method, json=body)
    assert answer.status_code in (200, 201), answer.text
    return answer.json


def sections(client: FlaskClient, number: str) -> dict[str, str]:
    """The words under each heading of what the job waits for, links and all."""
    text = client.get(f"/jobs/{number}", headers=BROWSER).text
    text = text[text.index('<section class="waits') : text.index("</section>")]
    heads, *parts = re.split(r"<h2>(\w+)</h2>", text)
    assert "<li>" not in heads
    return dict(zip(parts[::2], map(words, parts[1::2]), strict=True))


def words(html: str) -> str:
    """The words of a part of a page, as they are read."""
    return " ".join(unescape(re.sub(r"<[^>]+>", "", html)).replace("\u00a0", " ").split())


def commands(client: FlaskClient, address: str) -> list[str]:
    """The commands on a page."""
    text = client.get(address, headers=BROWSER).text
    return [words(each) for each in re.findall(r"<code>(.*?)</code>", text, re.DOTALL)]


def hold_to_program(client: FlaskClient, address: str) -> list[str]:
    """The commands on a page, each of which the program has."""
    found = commands(client, address)
    assert unknown("\n".join(f"`{each}`" for each in found)) == []
    return found


@pytest.fixture
def job(app: Flask, client: FlaskClient) -> FlaskClient:
    """A yard with stock, and a job that has only been opened."""
    yard.set_up()
    yard.stocked()
    return client


def test_a_new_job_says_how_to_begin(job: FlaskClient) -> None:
    """A sentence and a command under each heading but 'Short', in the order of urgency."""
    told = sections(job, "D-7")
    assert tuple(told) == HEADS
    for head, command in (
        (
            "Curing",
            "Nothing of this job cures. When something is laid up: cureyard layup start D-7",
        ),
        ("Wetness", "Nothing was found or measured. To note damage or wetness: cureyard finding"),
        ("Short", "Nothing is short, as nothing is needed."),
        ("Needed", "cureyard job need D-7 PRODUCT QUANTITY"),
        ("Planned", "No days are planned. To plan when each layer goes on: cureyard plan days BAY"),
        ("Spent", "Nothing is drawn yet. To take stock for the job: cureyard draw"),
    ):
        assert command in told[head], head
    assert len(hold_to_program(job, "/jobs/D-7")) == 5


def test_a_job_says_what_is_short_needed_planned_and_spent(job: FlaskClient, clock: Clock) -> None:
    """By the day of use; what is kept can be drawn, what is short be received."""
    yard.receive("MAT", "3 m", number="M-77")
    pieces = [{"length": "1.4 m", "count": 4}]
    needs = [
        {"product": "MAT", "pieces": pieces, "by": yard.day(5).isoformat()},
        {"product": "LAM", "quantity": "6 kg"},
        {"product": "PEROX", "quantity": "90 g"},
    ]
    post(job, "jobs/D-7/needs", needs=needs)
    post(job, "batches", **makers.pot(amount="1.5 kg"))
    hours = {"days": ["mon", "tue", "wed", "thu", "fri"], "from": "08:00", "until": "17:00"}
    steps = [{"title": f"Plies {n}", "product": "LAM", "catalyst_percent": 2, "work": "60 min"}
             for n in (1, 2)]  # fmt: skip
    post(job, "jobs/D-7/plan", "PUT", bay="SHED", hours=hours, steps=steps)
    told = sections(job, "D-7")
    short = f'2.8 m of MAT, by {yard.day(5)}. When it comes: cureyard lot receive MAT "2.8 m"'
    assert short in told["Short"]
    assert "5.6 m of MAT" in told["Needed"]
    assert 'kept for it: 2.8 m of lot M-77/1 cureyard draw MAT "1.4 m" --job D-7' in told["Needed"]
    assert "4.5 kg of LAM" in told["Needed"]
    assert 'cureyard mix LAM "1 kg" --job D-7' in told["Needed"]
    assert 'Plies 1, LAM cureyard mix LAM "1 kg" --job D-7 --lay "Plies 1"' in told["Planned"]
    assert "1.5 kg of LAM; 6 kg needed in all 30 g of PEROX" in told["Spent"]
    assert "cureyard job usage D-7" in told["Spent"]
    assert "pot 1, LAM: pot, spread by" in told["Curing"]
    hold_to_program(job, "/jobs/D-7")
    clock.moment += 4 * 24 * H
    assert "and not begun: Plies 1" in sections(job, "D-7")["Planned"]
    post(job, "layups", **makers.layup(1, title="plies 1", override={"reason": "late entry"}))
    assert "Plies 1" not in sections(job, "D-7")["Planned"]


def test_a_lot_that_goes_out_of_date_before_its_day_is_told(job: FlaskClient) -> None:
    """With the day that wants it."""
    old = yard.receive("MAT", "9 m", number="M-OLD", expires_on=yard.day(3))
    need = {"product": "MAT", "quantity": "2 m", "by": yard.day(5).isoformat()}
    post(job, "jobs/D-7/needs", needs=[need])
    told = f"out of date by {yard.day(5)}: 9 m of MAT, lot M-OLD/1, good until {yard.day(3)}"
    assert f"{told} cureyard lot show {old.id}" in sections(job, "D-7")["Short"]


MIX_OVER = "mix RESIN AMOUNT --job D-7 --lay TITLE --kind KIND --bay SHED --over 1"


@pytest.mark.parametrize(
    ("hours", "seen", "command"),
    [
        (0.1, (), "observe 1 gelled"),
        (3, ("not_gelled",), "layup show 1"),
        (5, (), "observe 1 no_transfer"),
        (
            5,
            ("no_transfer",),
            MIX_OVER,
        ),
        (30, ("sanded",), MIX_OVER),
        (8, ("not_gelled", "blush"), "layup show 1"),
        (30, (), "observe 1"),
    ],
)
def test_a_layup_says_what_to_note_next(
    job: FlaskClient, clock: Clock, hours: float, seen: tuple[str, ...], command: str
) -> None:
    """By its state, in the words of the wall."""
    post(job, "layups", **makers.layup(title="Plies"))
    clock.moment += int(hours * H)
    for kind in seen:
        post(job, "layups/1/observations", kind=kind)
    told = sections(job, "D-7")["Curing"]
    assert told.startswith("1, Plies:")
    assert f"cureyard {'layup ' if command.startswith('observe') else ''}{command}" in told
    hold_to_program(job, "/jobs/D-7")


def test_a_closed_job_is_its_record(job: FlaskClient) -> None:
    """It waits for nothing; it may be opened again."""
    row = finding.job("D-7")
    job.patch(f"/v1/jobs/{row.number}", json={"state": "closed"}, headers={"If-Match": "*"})
    page = read(job, "/jobs/D-7")
    assert "Closed: nothing more is booked to it." in page.words
    assert "Short" not in page.words
    assert hold_to_program(job, "/jobs/D-7") == ["cureyard job reopen D-7 --reason REASON"]


@pytest.mark.parametrize(
    ("address", "sentence"),
    [
        ("/jobs", "No job yet."), ("/jobs?state=open", "No job is open."),
        ("/lots", "No lot is in stock."), ("/lots?state=all", "No lot yet."),
        ("/lots?state=held", "No lot is held."), ("/lots?number=B-9", "No lot has the number B-9."),
        ("/products", "No product yet."),
    ],
)  # fmt: skip
def test_an_empty_list_says_what_to_do(
    app: Flask, client: FlaskClient, address: str, sentence: str
) -> None:
    """One sentence and one command, which the program has."""
    assert sentence in read(client, address).words
    assert len(hold_to_program(client, address)) == 1


def test_a_lot_and_a_layup_say_what_to_do(job: FlaskClient) -> None:
    """A lot that no bay and no job had; a layup that no hand touched."""
    lot = yard.receive("WAX", "1 kg")
    assert hold_to_program(job, f"/lots/{lot.id}") == [
        f"cureyard lot move {lot.id} BAY", f"cureyard draw --lot {lot.id} QUANTITY --job JOB",
    ]  # fmt: skip
    post(job, "layups", **makers.layup(title="Plies"))
    assert hold_to_program(job, "/layups/1") == ["cureyard layup observe 1 gelled"]


def test_an_empty_wall_says_what_to_add(app: Flask, client: FlaskClient) -> None:
    """Stock and bays among it."""
    text = Page(client.get("/", headers=BROWSER).text).words
    assert "nothing yet:" in text
    assert "none yet:" in text
    assert {"cureyard bay add --help", "cureyard lot receive --help"} <= set(commands(client, "/"))
