"""The wall and a layup's page: every sign in shape and word, what is hostile shown as text."""

from __future__ import annotations

import re
import shlex
from datetime import timedelta
from html import unescape
from typing import Any

import click
import pytest
from cureyard_client.main import program
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.jobs import need
from cureyard_service.acts.stock import change_lot
from cureyard_service.acts.yard import finding, moments
from cureyard_service.core.cure import signs
from flask import Flask
from flask.testing import FlaskClient

from ...acts import sample_yard as yard
from ...acts.sample_yard import HAND, NOW, H
from ..conftest import Clock
from ..tokened import given

HOSTILE = """<script>alert(1)</script>"'`{{ 7*7 }}&lt;"""
STEPS = re.compile(r"<span>([a-z ,]+) <b>(?:\w+ )?(\d\d):(\d\d)</b>")


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """The service on the acts' yard."""
    yard.set_up()
    return app.test_client()


def laid(hours: float, **facts: Any) -> int:
    """A layup that went on so many hours ago."""
    asked = {"product": "LAM", "catalyst_percent": 2, "now": int(NOW - hours * H)} | facts
    return int(yard.laid(**asked).id)


def lines(text: str) -> list[str]:
    """The rows of a wall, in order."""
    return re.findall(r"<li class=\"row .*?</svg>\n+</li>", text, re.DOTALL)


def read(text: str) -> str:
    """What somebody hears who has it read aloud: without what is only seen."""
    text = re.sub(r'<span class="cut" aria-hidden="true">.*?</span>', "", text)
    text = re.sub(r'<svg class="ribbon".*?</svg>', "", text, flags=re.DOTALL)
    words = " ".join(unescape(re.sub(r"<[^>]+>", " ", text)).split())
    return re.sub(r" ([,.:])", r"\1", words)


def test_every_sign_has_a_shape_and_a_word(app: Flask) -> None:
    """One of a kind each, so that none is told by its colour."""
    told = app.jinja_env.get_template("signs.html").make_module({"at": NOW, "size": None})
    shapes = dict(re.findall(r'<symbol id="s-(\w+)"[^>]*>(.*?)</symbol>', str(told.defs())))
    names = signs.Sign.__args__  # type: ignore[attr-defined]
    words = {told.WORDS[name] for name in names}
    assert len({shapes[name] for name in names}) == len(words) == len(names)


def test_a_row_is_a_sentence(client: FlaskClient) -> None:
    """Of each layup and pot, trouble first: what it is, how it stands, what to do."""
    wet, past, late = laid(0.1, title="Wet one"), laid(30, title="Past"), laid(2, title="Late")
    observe_layup(finding.layup(late), kind="not_gelled", now=NOW, hand=HAND)
    yard.stocked()
    pot = yard.pot()
    shown = lines(client.get("/").text)
    pages = [re.search(r'href="/(\w+)/(\d+)"', each) for each in shown]
    assert [found.groups() for found in pages if found] == [
        ("layups", str(late)), ("batches", str(pot.id)),
        ("layups", str(wet)), ("layups", str(past)),
    ]  # fmt: skip
    told = [read(each) for each in shown]
    word = client.application.jinja_env.get_template("signs.html").module.WORDS  # type: ignore[attr-defined]
    craft = finding.job("D-7").craft
    assert told[0].startswith(f"Late, {craft} D-7, SHED, laid")
    assert told[0].endswith(f": {word['suspect']}, do not cover: ask a lead.")
    assert re.search(r": pot, spread by \d\d:\d\d\. .*smokes or swells", told[1]), told[1]
    assert re.search(rf": {word['wet']}, leave until \d\d:\d[05]\.", told[2]), told[2]
    assert told[3].endswith(": {}, strip, then grind.".format(word["tacky"]))
    for each, sign in zip(shown, ("suspect", "pot", "wet", "tacky"), strict=True):
        assert f'href="#s-{sign}"' in each
        assert 'role="img" aria-label="' in each
    assert "1 in trouble" in client.get("/").text


def test_what_a_hand_saw_has_another_sign(client: FlaskClient) -> None:
    """A forecast is hollow and 'should be', what was seen is filled."""
    guessed, known = laid(1, title="Guessed"), laid(1, title="Known")
    observe_layup(finding.layup(known), kind="gelled", now=NOW, hand=HAND)
    first, second = lines(client.get("/").text)
    assert f"/layups/{guessed}" in first
    assert "should be gelled, touch it: gelled?" in read(first)
    assert 'class="mark hollow"' in first
    assert "gelled, next layer from" in read(second)
    assert "should be" not in second
    assert 'class="mark hollow"' not in second
    assert '<circle class="look"' in second


def test_the_bays_at_the_foot(client: FlaskClient, clock: Clock) -> None:
    """What was read and what is taken of it: no old reading stands there as if it were new."""
    laid(0.5, bay="BARN")
    reading = {"at": NOW - 35 * 60, "temperature": yard.heat("16.6 degC")}
    read_bay.read_bay(bay="BARN", readings=[reading], now=NOW, hand=HAND)
    told = read(client.get("/").text).replace("\xa0", " ")
    assert "BARN 12.9 °C assumed silent since 09:11" in told
    assert "SHED 20 °C assumed" in told
    clock.moment = NOW - 35 * 60
    told = read(client.get("/").text).replace("\xa0", " ")
    assert re.search(r"BARN 16\.6 °C(?! assumed)", told)


def test_air_and_heat_in_words(client: FlaskClient) -> None:
    """On a layup's page: how warm to keep what runs into the cold, and until when."""
    layup = laid(0.5, bay="BARN")
    reading = {"at": NOW - 35 * 60, "temperature": yard.heat("16.6 degC")}
    read_bay.read_bay(bay="BARN", readings=[reading], now=NOW, hand=HAND)
    text = " ".join(re.sub("<[^>]+>", "", client.get(f"/layups/{layup}").text).split())
    assert "read 16.6 °C at 09:11, assumed 12.9 °C now" in text.replace("\xa0", " ")
    assert re.search(r"hold at least \d+ °C until \w{3} \d\d:(00|15|30|45)\.", text), text


@pytest.mark.parametrize(
    ("before_s", "near"), [(3 * H, ""), (50 * 60, "hour"), (15 * 60, "minutes")]
)
def test_a_window_about_to_shut_stands_out(
    client: FlaskClient, clock: Clock, before_s: int, near: str
) -> None:
    """By a box or a flag; the moment is the same on its page."""
    layup = laid(5)
    until = client.get(f"/v1/layups/{layup}?as_known_at=2026-03-20T09:46:40Z").json["window"]
    shuts = moments.datetime.fromisoformat(until["until"])
    clock.moment = int(shuts.timestamp()) - before_s
    (line,) = lines(client.get("/").text)
    assert line.startswith(f'<li class="row  {near} ')
    (by,) = re.findall(r"layer down by <b>(\d\d:\d\d)</b>", line)
    assert shuts - timedelta(minutes=5) < shuts.replace(
        hour=int(by[:2]), minute=int(by[3:]), second=0
    ) <= shuts  # fmt: skip
    page = client.get(f"/layups/{layup}").text
    assert f"<b>Layer down by {by}</b>" in page
    assert f">shuts {by}</text>" in page


def test_moments_are_on_the_steps_of_a_clock(client: FlaskClient) -> None:
    """Five minutes, however far off they are."""
    for hours in (0.1, 0.2, 1, 1.3, 4, 5.2):
        laid(hours)
    found = STEPS.findall(client.get("/").text)
    assert {words for words, _, _ in found} >= {"leave until", "layer down by"}
    assert all(int(minute) % 5 == 0 for _, _, minute in found)


def test_the_store_is_told(client: FlaskClient) -> None:
    """Out of date, soon, held, and short, each with its own shape."""
    yard.receive("MICROS", "1 kg", number="OLD", expires_on=yard.day(-1))
    yard.receive("MICROS", "1 kg", number="NEAR", made_on=yard.day(-300), expires_on=yard.day(5))
    held = yard.receive("LAM", "1 kg", number="LUMPY")
    change_lot.change_lot(held, held=True, reason=HOSTILE, now=NOW, hand=HAND)
    wanted = [{"product": "MAT", "quantity": yard.q("4 m")}]
    need.add_needs(finding.job("D-7"), wanted=wanted, now=NOW, hand=HAND)
    text = client.get("/").text
    for sign, number in (("expired", "OLD/1"), ("soon", "soon out of date"), ("held", "LUMPY/1")):
        assert re.search(f'href="#s-{sign}"/>(?:(?!<li).)*{number}', text, re.DOTALL), sign
    assert "short MAT 4 m" in read(text).replace("\xa0", " ")
    assert "Nothing in cure, nothing in trouble" in text
    assert HOSTILE not in text


def test_a_long_list_of_stock_says_how_much_more(client: FlaskClient) -> None:
    """A wall is not a register: alarms have room before what is none."""
    for number in range(12):
        yard.receive("MICROS", "1 kg", number=f"OLD-{number}", expires_on=yard.day(-1))
        soon = {"made_on": yard.day(-300), "expires_on": yard.day(5)}
        yard.receive("MICROS", "1 kg", number=f"NEAR-{number}", **soon)
    text = read(client.get("/").text)
    shown = text.count("MICROS OLD-")
    assert 3 <= shown < 12
    assert f"and {12 - shown} more" in text
    assert "soon out of date 12" in text


def test_units_are_the_readers(client: FlaskClient) -> None:
    """Pounds and Fahrenheit, where the address asks for them."""
    yard.stocked()
    yard.pot()
    text = read(client.get("/?units=us").text).replace("\xa0", " ")
    assert re.search(r"SHED 68 °F", text)
    assert re.search(r"Pot 1, LAM [\d.]+ lb", text)
    assert "°C" not in text


@pytest.mark.parametrize(
    ("count", "form", "pages"), [(1, "few", 1), (5, "some", 1), (14, "many", 1), (30, "many", 2)]
)
def test_the_form_is_that_of_so_many_rows(
    client: FlaskClient, count: int, form: str, pages: int
) -> None:
    """Thirty layups are still a wall: all are there, by pages."""
    for number in range(count):
        laid(number / 2)
    text = client.get("/").text
    assert len(lines(text)) == count
    assert text.count('class="ribbon"') == count
    assert f'<div id="yard" class="{form}{" pages" if pages > 1 else ""}"' in text
    assert f'data-pages="{pages}"' in text
    assert f"{count} in cure" in text


def test_more_trouble_than_stays_is_told(client: FlaskClient) -> None:
    """Twelve stay on each page, and a line says how many more there are."""
    for number in range(28):
        layup = laid(1.2, title=f"Frame {number}")
        if number < 14:
            observe_layup(finding.layup(layup), kind="not_gelled", now=NOW, hand=HAND)
    text = client.get("/").text
    assert "14 in trouble" in text
    assert "and 2 more in trouble" in text
    assert len(re.findall(r'<li class="row trouble[^>]* data-page="1"', text)) == 2


@pytest.mark.parametrize("page", ["/", "/layups/1"])
def test_what_is_hostile_is_text(client: FlaskClient, page: str) -> None:
    """A title of markup stays words; nothing on the page is of another place or inline."""
    layup = laid(5, title=HOSTILE)
    observe_layup(
        finding.layup(layup), kind="thumbnail", note=HOSTILE, now=NOW, hand=HAND
    )  # fmt: skip
    text = client.get(page).text
    assert "alert(1)" in text
    assert "<script>" not in text
    assert HOSTILE in unescape(text)
    assert "style=" not in text
    for link in re.findall(r'(?:src|href)="([^"]+)"', text):
        assert link.startswith(("/", "#")), link


@pytest.mark.parametrize("begun", [False, True])
def test_an_empty_yard_invites(app: Flask, begun: bool) -> None:
    """With commands that there are."""
    if begun:
        yard.set_up()
    text = unescape(app.test_client().get("/").text).replace("\\\n", "")
    commands = [shlex.split(line) for line in re.findall(r"cureyard ([a-z][^<\n]*)", text)]
    assert len(commands) >= (1 if begun else 2)
    for words in commands:
        found: Any = program
        context = click.Context(program)
        for word in words[: 2 if words[0] != "mix" else 1]:
            found = found.get_command(context, word)
            assert found is not None, words
        known = {name for option in found.params for name in option.opts} | {"--help"}
        assert {word for word in words if word.startswith("--")} <= known, words


def test_a_layups_sheet(client: FlaskClient) -> None:
    """Its bands and what they rest on, its pots, what hands saw."""
    yard.stocked()
    pot = yard.pot()
    layup = yard.laid(pot.id, job="S-1").id
    for at in (NOW, NOW + 60):  # so early that it is said twice
        observe_layup(finding.layup(layup), kind="gelled", at=at, note="a thumb", now=at, hand=HAND)
    text = re.sub(r"\s+", " ", client.get(f"/layups/{layup}").text)
    for words in (
        "gel</th>", "window opens</th>", "window shuts</th>", "tacky surface",
        "observed (forecast", "a thumb", "PEROX", "sign-off", 'href="/jobs/S-1"',
    ):  # fmt: skip
        assert words in text, words
    assert f'href="/lots/{pot.draws[0].lot}"' in text


def test_a_finished_layup_has_a_sheet(client: FlaskClient) -> None:
    """It left the wall, and is kept."""
    layup = laid(30)
    observe_layup(finding.layup(layup), kind="handed_over", now=NOW, hand=HAND)
    assert lines(client.get("/").text) == []
    text = client.get(f"/layups/{layup}").text
    assert 'href="#s-finished"' in text
    assert "Watch ended" in text


def test_there_is_no_such_layup(client: FlaskClient) -> None:
    """As anywhere."""
    assert client.get("/layups/99").status_code == 404
    assert client.get(f"/layups/{10**30}").status_code == 404


def test_a_wall_is_for_who_is_known(client: FlaskClient) -> None:
    """Once there are tokens; what it is drawn with tells nothing, and is for anybody."""
    given("Rui", "viewer")
    for page in ("/", "/layups/1"):
        answer = client.get(page)
        assert (answer.status_code, answer.headers["Location"]) == (303, f"/enter?to={page}")
    for asset in ("wall.js", "wall.css", "fresh.css", "yard.css"):
        with client.get(f"/static/{asset}") as answer:
            assert answer.status_code == 200
