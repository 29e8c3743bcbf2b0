"""The wall and a layup's sheet: every sign in shape and word, what is hostile shown as text."""

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
from cureyard_service.web.pages import wall as pages
from flask import Flask
from flask.testing import FlaskClient

from ...acts import sample_yard as yard
from ...acts.sample_yard import HAND, NOW, H
from ..conftest import Clock
from ..tokened import given

HOSTILE = """<script>alert(1)</script>"'`{{ 7*7 }}&lt;"""
STEPS = re.compile(r"<b>(By|Until|From|About) (?:\w+ )?(\d\d):(\d\d)</b>")


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """The service on the acts' yard."""
    yard.set_up()
    return app.test_client()


def laid(hours: float, **facts: Any) -> int:
    """A layup that went on so many hours ago."""
    asked = {"product": "LAM", "catalyst_percent": 2, "now": int(NOW - hours * H)} | facts
    return int(yard.laid(**asked).id)


def strips(text: str) -> list[str]:
    """The strips of a wall, in order."""
    return re.findall(r"<article.*?</article>", text, re.DOTALL)


def test_every_sign_has_a_shape_and_a_word(app: Flask) -> None:
    """One of a kind each, so that none is told by its colour."""
    told = app.jinja_env.get_template("signs.html").make_module({"at": NOW, "size": None})
    shapes = dict(re.findall(r'<symbol id="s-(\w+)"[^>]*>(.*?)</symbol>', str(told.defs())))
    names = signs.Sign.__args__  # type: ignore[attr-defined]
    words = {told.WORDS[name] for name in names}
    assert len({shapes[name] for name in names}) == len(words) == len(names)


def test_signs_and_what_to_do(client: FlaskClient) -> None:
    """Of each layup, the most urgent first."""
    wet, past, late = laid(0.1, title="Wet one"), laid(21, title="Past"), laid(0.75, title="Late")
    observe_layup(finding.layup(late), kind="not_gelled", now=NOW, hand=HAND)
    shown = strips(client.get("/").text)
    titles = [re.search(r"layups/(\d+)", each)[1] for each in shown]  # type: ignore[index]
    assert titles == [str(late), str(past), str(wet)]
    for each, sign, words in zip(
        shown, ("late", "recoat_past", "wet"), ("find out why", "grind to dull", "leave it alone"),
        strict=True,
    ):  # fmt: skip
        assert f'href="#s-{sign}"' in each
        assert words in each
        assert 'role="img" aria-label="Ribbon of time' in each


def test_air_and_heat_in_words(client: FlaskClient, clock: Clock) -> None:
    """What was read and what is taken of it; how warm to keep what runs into the cold, and until
    when: the same on the wall and on the layup's own sheet."""
    layup = laid(0.5, bay="BARN")
    reading = {"at": NOW - 35 * 60, "temperature": yard.heat("16.6 degC")}
    read_bay.read_bay(bay="BARN", readings=[reading], now=NOW, hand=HAND)
    for page in ("/", f"/layups/{layup}"):
        text = " ".join(re.sub("<[^>]+>", "", client.get(page).text).split())
        assert "read 16.6 °C at 09:11, assumed 12.9 °C now" in text.replace("\xa0", " ")
        assert re.search(r"hold at least 11 °C until \w{3} \d\d:(00|15|30|45)\.", text), text
    clock.moment = NOW - 35 * 60
    text = " ".join(re.sub("<[^>]+>", "", client.get("/").text).split())
    assert "BARN 16.6 °C measured" in text.replace("\xa0", " ")
    assert "SHED) 20 °C assumed, no recent reading" in text.replace("\xa0", " ")


@pytest.mark.parametrize(
    ("before_s", "said"), [(3 * H, None), (100 * 60, "shuts soon"), (15 * 60, "last minutes")]
)
def test_a_window_about_to_shut_stands_out(
    client: FlaskClient, clock: Clock, before_s: int, said: str | None
) -> None:
    """By a flag with its word, and the moment is the same wherever it stands."""
    layup = laid(5)
    until = client.get(f"/v1/layups/{layup}?as_known_at=2026-03-20T09:46:40Z").json["window"]
    shuts = moments.datetime.fromisoformat(until["until"])
    clock.moment = int(shuts.timestamp()) - before_s
    (strip,) = strips(client.get("/").text)
    assert ("s-shuts" in strip) is (said is not None)
    if said is not None:
        assert said in strip
        (by,) = re.findall(r"<b>By (\d\d:\d\d)</b>", strip)
        assert f">shuts {by}</text>" in strip
        step = 5 if said == "last minutes" else 15
        assert shuts - timedelta(minutes=step) < shuts.replace(
            hour=int(by[:2]), minute=int(by[3:]), second=0
        ) <= shuts  # fmt: skip


def test_moments_are_on_the_steps_of_a_clock(client: FlaskClient) -> None:
    """A gel on five minutes, what follows on fifteen."""
    for hours in (0.1, 0.2, 1, 1.3, 4, 5.2):
        laid(hours)
    found = STEPS.findall(client.get("/").text)
    assert {word for word, _, _ in found} == {"By", "Until"}
    assert all(int(minute) % 5 == 0 for _, _, minute in found)
    assert all(int(minute) % 15 == 0 for word, _, minute in found if word == "By")


def test_the_store_is_told(client: FlaskClient) -> None:
    """Out of date, soon, held, and short, each with its own shape."""
    yard.receive("MICROS", "1 kg", number="OLD", expires_on=yard.day(-1))
    yard.receive("MICROS", "1 kg", number="NEAR", made_on=yard.day(-300), expires_on=yard.day(5))
    held = yard.receive("LAM", "1 kg", number="LUMPY")
    change_lot.change_lot(held, held=True, reason=HOSTILE, now=NOW, hand=HAND)
    wanted = [{"product": "MAT", "quantity": yard.q("4 m")}]
    need.add_needs(finding.job("D-7"), wanted=wanted, now=NOW, hand=HAND)
    text = client.get("/").text
    for sign, number in (("expired", "OLD/1"), ("soon", "NEAR/1"), ("held", "LUMPY/1")):
        assert re.search(f'href="#s-{sign}"/>(?:(?!<section).)*{number}', text, re.DOTALL), sign
    assert "4 m to buy, for D-7" in re.sub(r"\s+", " ", text)
    assert "Nothing in cure, 1 out of date in the store, 1 short" in text
    assert HOSTILE not in text


def test_a_long_list_of_stock_says_how_much_more(client: FlaskClient) -> None:
    """A wall is not a register."""
    for number in range(pages.SHOWN + 3):
        yard.receive("MICROS", "1 kg", number=f"OLD-{number}", expires_on=yard.day(-1))
    text = client.get("/").text
    assert text.count("MICROS OLD-") == pages.SHOWN
    assert "and 3 more" in text


def test_thirty_layups_are_still_a_wall(client: FlaskClient) -> None:
    """The most urgent large, the rest in brief, each with its ribbon."""
    for number in range(30):
        laid(number / 2)
    text = client.get("/").text
    assert len(strips(text)) == 30
    assert text.count('class="ribbon"') == pages.LARGE
    assert text.count('class="ribbon slim"') == 30 - pages.LARGE
    assert "30 in cure" in text


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
    assert len(commands) >= 2
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
    observe_layup(
        finding.layup(layup), kind="gelled", at=NOW, note="a thumb", now=NOW, hand=HAND
    )  # fmt: skip
    text = re.sub(r"\s+", " ", client.get(f"/layups/{layup}").text)
    for words in (
        "Gel</th>", "Recoat opens</th>", "Recoat closes</th>", "tacky surface",
        "observed (forecast", "a thumb", "PEROX", "sign-off", 'href="/jobs/S-1"',
    ):  # fmt: skip
        assert words in text, words
    assert f'href="/lots/{pot.draws[0].lot}"' in text


def test_a_finished_layup_has_a_sheet(client: FlaskClient) -> None:
    """It left the wall, and is kept."""
    layup = laid(30)
    observe_layup(finding.layup(layup), kind="handed_over", now=NOW, hand=HAND)
    assert strips(client.get("/").text) == []
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
    for asset in ("wall.js", "wall.css", "yard.css"):
        with client.get(f"/static/{asset}") as answer:
            assert answer.status_code == 200
