"""A phone in one hand, in a real browser of 390 × 844: taps that come twice, ways back, networks
that fail in mid-tap, passes that end, pages that mean harm.

Sizes: WCAG 2.2, 2.5.5 (target size, enhanced): 44 px.
"""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import requests
from selenium.common.exceptions import WebDriverException
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import WebDriverWait

from .. import makers
from ..axe import violations
from ..browser import show, sized
from ..waiting import HANGS_S
from ..waiting import until as wait_until
from .conftest import Hand, Record, recorded
from .hostile import Site

RECORD: Record = (
    ("products", makers.catalyst()),
    ("products", makers.resin(name="Laminating polyester", cure=makers.sheet())),
    ("bays", makers.bay("SHED", "21 degC", "18 degC")),
    ("lots", makers.lot("PEROX", "1 kg", "P-1")),
    ("lots", makers.lot("LAM", "90 kg", "B-1")),
    ("jobs", makers.job("D-7", title="Transom, inner skin")),
    (
        "jobs/D-7/findings",
        {
            "place": "keel",
            "side": "port",
            "kind": "blister",
            "length": "12 mm",
            "width": "8 mm",
            "found_by": "eye",
        },
    ),
    (
        "meters",
        {
            "code": "CAP-1",
            "title": "Capacitance",
            "kind": "capacitance",
            "scale_from": 0,
            "scale_to": 100,
            "modes": [{"name": "deep"}],
        },
    ),
)
PHONE = (390, 844)
WEIGH = (
    "/mix/weigh?resin=LAM&amount=1&amount.unit=kg&temperature=20&temperature.unit=degC"
    "&target_gel=20&target_gel.unit=min&job=D-7"
)
TAPED = datetime.now(UTC) - timedelta(days=2)
FILM = {"place": "keel", "taped_day": f"{TAPED:%m%d%Y}", "taped_at": "0730AM"}
READING = {
    "place": "keel", "first": "58", "second": "57", "third": "59", "surface_temperature": "15",
}  # fmt: skip
LEAK = {"place": "keel", "first": "880", "second": "380", "waited": "10"}
LEAST = 44
TARGETS = "a[href], button, input:not([type=hidden]), select, summary"
BOXES = """
return [...document.querySelectorAll(arguments[0])].filter(each => each.checkVisibility())
  .map(each => [each.getBoundingClientRect(), each.outerHTML.slice(0, 90)])
  .map(([box, what]) => [box.left, box.top, box.right, box.bottom, what]);
"""
BOX = "const b = arguments[0].getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom];"
Tokened = tuple[Hand, str, dict[str, str]]
"""The owner of a yard where everybody shows a token, its address, and the secrets by name."""
Box = tuple[float, float, float, float]


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, requests.Session]]:
    """A served open yard, and who asks its interface."""
    with recorded(tmp_path_factory.mktemp("thumb"), RECORD) as found:
        yield found


@pytest.fixture
def url(yard: tuple[str, requests.Session]) -> str:
    """Where the yard is."""
    return yard[0]


@pytest.fixture(autouse=True)
def phone(chrome: Chrome) -> None:
    """The browser is a phone's size, on a network, with scripts."""
    sized(chrome, *PHONE)
    chrome.implicitly_wait(0)


def ask(yard: tuple[str, requests.Session], path: str) -> Any:
    """What the interface answers."""
    return yard[1].get(f"{yard[0]}/v1/{path}", timeout=HANGS_S).json()


def new(yard: tuple[str, requests.Session], noun: str, body: dict[str, Any]) -> Any:
    """Something new by the interface."""
    answer = yard[1].post(f"{yard[0]}/v1/{noun}", json=body, timeout=HANGS_S)
    assert answer.status_code == 201, answer.text
    return answer.json()


def laid(yard: tuple[str, requests.Session], hours: float = 2) -> int:
    """A layup of so many hours ago."""
    at = datetime.now(UTC) - timedelta(hours=hours)
    body = makers.layup(product="LAM", catalyst_percent=2, title="Hatch coaming fillet",
                        applied_at=at.isoformat(timespec="seconds"))  # fmt: skip
    body.pop("batches", None)
    return int(new(yard, "layups", body)["id"])


def bagged(yard: tuple[str, requests.Session]) -> int:
    """A layup of two days ago, under a bag that is to come off."""
    layup = laid(yard, 48)
    at = (datetime.now(UTC) - timedelta(hours=47)).isoformat(timespec="seconds")
    new(yard, f"layups/{layup}/observations", {"kind": "bagged", "at": at})
    return layup


def drum(yard: tuple[str, requests.Session]) -> int:
    """A lot of its own."""
    number = f"T-{time.monotonic_ns()}"
    return int(new(yard, "lots", makers.lot("LAM", "20 kg", number))["id"])


def noted(yard: tuple[str, requests.Session], layup: int) -> list[str]:
    """What is noted of a layup and counts, and after a stroke what was taken back."""
    told = ask(yard, f"layups/{layup}")
    return [seen["kind"] for seen in told["observations"]] + [
        f"/{seen['kind']}" for seen in told["taken_back"]
    ]


def awake(chrome: Chrome, selector: str) -> Any:
    """A part of the page, once it can be pressed; a page that is just left faults in any way."""
    patient = WebDriverWait(chrome, HANGS_S, 0.05, [WebDriverException])
    return patient.until(
        lambda seen: next(
            (e for e in seen.find_elements(By.CSS_SELECTOR, selector) if e.is_displayed()), False
        )
    )


def middle(chrome: Chrome, selector: str) -> tuple[float, float]:
    """Where a thumb presses something, px of the screen; it is scrolled to if need be."""
    found = awake(chrome, selector)
    chrome.execute_script("arguments[0].scrollIntoView({block: 'nearest'})", found)
    box = box_of(chrome, found)
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2


def press(chrome: Chrome, at: tuple[float, float]) -> None:
    """One press and release of that place, whatever is there by now."""
    for kind in ("mousePressed", "mouseReleased"):
        chrome.execute_cdp_cmd(
            "Input.dispatchMouseEvent",
            {"type": kind, "x": at[0], "y": at[1], "button": "left", "clickCount": 1},
        )


def tap(chrome: Chrome, selector: str, times: int = 1, apart: float = 0.25) -> None:
    """Tap something, perhaps several times at one place."""
    at = middle(chrome, selector)
    for number in range(times):
        if number:
            time.sleep(apart)
        press(chrome, at)


def told(chrome: Chrome, words: str) -> str:
    """What the board of the page that follows says, once it has those words."""
    patient = WebDriverWait(chrome, HANGS_S, 0.05, [WebDriverException])

    def board(seen: Chrome) -> str | bool:
        texts = [each.text for each in seen.find_elements(By.CSS_SELECTOR, ".board")]
        return next((text for text in texts if words in text), False)

    return str(patient.until(board))


def settled(chrome: Chrome) -> None:
    """Wait until all that can be pressed can be."""
    still = "return document.getAnimations().every(each => each.playState === 'finished')"
    wait_until(lambda: chrome.execute_script(still))


def box_of(chrome: Chrome, element: Any) -> Box:
    """Where something is on the screen: left, top, right, bottom, px."""
    found = chrome.execute_script(BOX, element)
    return found[0], found[1], found[2], found[3]


def boxes(chrome: Chrome, selector: str = TARGETS) -> list[tuple[Box, str]]:
    """The boxes of all that can be pressed, and what they are."""
    found = chrome.execute_script(BOXES, selector)
    return [((left, top, right, bottom), what) for left, top, right, bottom, what in found]


def furnished(chrome: Chrome, yard: tuple[str, requests.Session]) -> list[str]:
    """Every page with something for a thumb, in states that differ, by its address."""
    wet, seen, early, held, dated = laid(yard, 0), laid(yard), laid(yard, 0), drum(yard), drum(yard)
    new(yard, f"layups/{seen}/observations", {"kind": "gelled"})
    new(yard, f"layups/{early}/observations", {"kind": "sanded"})
    last = ask(yard, f"layups/{early}")["observations"][0]["id"]
    gelled = ask(yard, f"layups/{seen}")["observations"][0]["id"]
    reading = {"at": datetime.now(UTC).isoformat(timespec="seconds"),
               "temperature": "19 degC"}  # fmt: skip
    new(yard, "bays/SHED/readings", {"readings": [reading]})
    read = ask(yard, "bays/SHED/readings")["items"][0]["id"]
    etag = yard[1].get(f"{yard[0]}/v1/lots/{held}", timeout=HANGS_S).headers["ETag"]
    yard[1].patch(f"{yard[0]}/v1/lots/{held}", json={"held": True, "reason": "skin on top"},
                  headers={"If-Match": etag}, timeout=HANGS_S)  # fmt: skip
    pot = new(yard, "batches", makers.pot("LAM", "1 kg"))["id"]
    moist = new(yard, "jobs/D-7/moisture-readings", {
        "place": "keel", "meter": "CAP-1", "mode": "deep", "placements": [58, 57, 100],
        "surface_temperature": "15 degC",
    })["id"]  # fmt: skip
    taped = (datetime.now(UTC) - timedelta(hours=9)).isoformat(timespec="seconds")
    drops = {"place": "keel", "taped_at": taped, "drops": True}
    film = new(yard, "jobs/D-7/film-tests", drops)["id"]
    beads = {"kind": "washed", "water": "beads"}
    note = new(yard, "jobs/D-7/surface-notes", beads)["id"]
    began = (datetime.now(UTC) - timedelta(minutes=9)).isoformat(timespec="seconds")
    vacuum = {"place": "keel", "first": "880 hPa", "first_at": began, "second": "300 hPa"}
    leak = new(yard, "jobs/D-7/leak-tests", vacuum)["id"]
    new(yard, f"layups/{seen}/observations", {"kind": "bagged"})
    line = new(yard, "movements", makers.draw(product=None, lot=dated))["movements"][0]["id"]
    return [
        "/jobs/D-7", f"/layups/{bagged(yard)}",
        f"/layups/{wet}", f"/layups/{seen}", f"/layups/{seen}?noted={gelled}",
        f"/layups/{early}?noted={last}", f"/layups/{wet}/hardness",
        "/jobs/D-7/moisture", f"/jobs/D-7/moisture?noted={moist}",
        "/jobs/D-7/film", f"/jobs/D-7/film?noted={film}",
        "/jobs/D-7/surface", f"/jobs/D-7/surface?noted={note}",
        "/jobs/D-7/leak-test", f"/jobs/D-7/leak-test?noted={leak}",
        f"/lots/{dated}", f"/lots/{held}", f"/lots/{dated}?line={line}", f"/lots/{dated}/draw",
        f"/lots/{dated}/count", f"/lots/{dated}/hold", f"/lots/{held}/release",
        "/bays", "/bays/SHED", f"/bays/SHED?noted={read}", "/mix", WEIGH,
        f"/batches/{pot}", f"/batches/{pot}?mixed=1",
    ]  # fmt: skip


def test_targets_are_wide_enough_and_in_reach(
    chrome: Chrome, yard: tuple[str, requests.Session]
) -> None:
    """44 px or more each way; pages to begin at are one row; nothing beside the screen."""
    wrong = []
    for page in [*furnished(chrome, yard), "/", "/lots", "/jobs"]:
        show(chrome, yard[0] + page, *PHONE)
        awake(chrome, "main")
        settled(chrome)
        for (left, top, right, bottom), what in boxes(
            chrome, ".thumb button, .thumb a, .thumb input:not([type=hidden]), .thumb select, "
            ".thumb summary, header nav a, main button, .choices a, .stack [scope=row] a.code, "
            ".row .tape"
        ):  # fmt: skip
            if right - left < LEAST or bottom - top < LEAST:
                wrong.append((page, what, right - left, bottom - top))
        rows = {round(top) for (_, top, _, _), _ in boxes(chrome, "header nav a")}
        wide = chrome.execute_script("return document.documentElement.scrollWidth")
        if (len(rows) != 1 and page != "/") or wide > PHONE[0]:
            wrong.append((page, "nav", rows, wide))
    assert wrong == []


def test_mixed_is_on_the_first_screen(chrome: Chrome, yard: tuple[str, requests.Session]) -> None:
    """With what protects above it: a usual pot needs no scrolling."""
    furnished(chrome, yard)
    show(chrome, yard[0] + WEIGH, *PHONE)
    awake(chrome, "main")
    for each in (".before", ".weigh", ".press.large"):
        (((_, _, _, bottom), _),) = boxes(chrome, each)
        assert bottom <= PHONE[1], each


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_axe_finds_nothing(chrome: Chrome, yard: tuple[str, requests.Session], theme: str) -> None:
    """On any page for a thumb, in light and in dark."""
    features = [{"name": "prefers-color-scheme", "value": theme}]
    chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    found = {}
    try:
        for page in furnished(chrome, yard):
            show(chrome, yard[0] + page, *PHONE)
            settled(chrome)
            if faults := violations(chrome):
                found[page] = faults
    finally:
        chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    assert found == {}


def test_the_six_answers_are_in_fixed_places(
    chrome: Chrome, yard: tuple[str, requests.Session]
) -> None:
    """Within a hand's breadth whatever the layup's state, and on the first screen."""
    tops = set()
    for hours in (0, 2, 30):
        show(chrome, f"{yard[0]}/layups/{laid(yard, hours)}", *PHONE)
        (first, *_, last) = boxes(chrome, ".six .press")
        tops.add(round(first[0][1]))
        assert last[0][3] <= PHONE[1], last
    assert max(tops) - min(tops) <= 80, tops


def test_what_is_due_is_on_the_first_screen(
    chrome: Chrome, yard: tuple[str, requests.Session]
) -> None:
    """A bag that is to come off, and a job's forms: nothing is scrolled to."""
    show(chrome, f"{yard[0]}/layups/{bagged(yard)}", *PHONE)
    (((_, _, _, bottom), _),) = boxes(chrome, ".press.due[value=bag_off]")
    assert bottom <= PHONE[1]
    show(chrome, f"{yard[0]}/jobs/D-7", *PHONE)
    forms = boxes(chrome, ".four a.press")
    assert len(forms) == 4
    assert max(box[3] for box, _ in forms) <= PHONE[1]


@pytest.mark.parametrize("times", [1, 2, 3])
@pytest.mark.parametrize("apart", [0.02, 0.3])
def test_an_answer_tapped_often_is_noted_once(
    chrome: Chrome, yard: tuple[str, requests.Session], times: int, apart: float
) -> None:
    """Fast or slow; no tap too many takes it back, or presses what follows."""
    layup = laid(yard)
    show(chrome, f"{yard[0]}/layups/{layup}", *PHONE)
    tap(chrome, "button[value=gelled]", times, apart)
    assert "noted by Ada" in told(chrome, "Gelled")
    awake(chrome, "form[action*='/undo?'] button")
    assert chrome.current_url.startswith(f"{yard[0]}/layups/{layup}?noted=")
    assert noted(yard, layup) == ["gelled"]


def test_every_act_tapped_twice_is_done_once(
    chrome: Chrome, yard: tuple[str, requests.Session]
) -> None:
    """Early answers and their undo, lots, bays, pots: by two taps at one place each."""
    layup, lot = laid(yard, 0), drum(yard)
    show(chrome, f"{yard[0]}/layups/{layup}", *PHONE)
    tap(chrome, "button[value=sanded]", 2)
    told(chrome, "Very early")
    awake(chrome, "form[action*='/undo?'] button")
    assert noted(yard, layup) == ["sanded"]
    tap(chrome, "form[action*='/undo?'] button", 2)
    told(chrome, "Taken back")
    assert noted(yard, layup) == ["/sanded"]
    likely = laid(yard)
    show(chrome, f"{yard[0]}/layups/{likely}", *PHONE)
    tap(chrome, "button[value=gelled]", 2)
    told(chrome, "noted by")
    assert noted(yard, likely) == ["gelled"]

    show(chrome, f"{yard[0]}/lots/{lot}", *PHONE)
    tap(chrome, "form[action*='/open?'] button", 2)
    told(chrome, "Opened")
    awake(chrome, "form[action*='/undo?'] button")
    assert ask(yard, f"lots/{lot}")["opened_on"] is not None
    show(chrome, f"{yard[0]}/lots/{lot}/draw", *PHONE)
    awake(chrome, "#quantity").send_keys("2")
    awake(chrome, "option[value=D-7]").click()
    tap(chrome, "form button", 2)
    told(chrome, "Drawn 2 kg")
    awake(chrome, "form[action*='/undo?'] button")
    assert ask(yard, f"lots/{lot}")["on_hand"]["value"] == 18
    tap(chrome, "form[action*='/undo?'] button", 2)
    told(chrome, "Undone")
    assert ask(yard, f"lots/{lot}")["on_hand"]["value"] == 20

    show(chrome, f"{yard[0]}/layups/{laid(yard, 48)}/hardness", *PHONE)
    for name, text in (("readings", "38.41.44.40.36.43.45.39.42.37"),):
        awake(chrome, f"#{name}").send_keys(text)
    for name in ("thick_enough", "wax_off"):
        tap(chrome, f"input[name={name}]")
    tap(chrome, ".press.strong", 2)
    told(chrome, "40.5 ± 1.0 Barcol 934-1 of 10 readings, noted by Ada")
    awake(chrome, "form[action*='/undo?'] button")
    layup = int(chrome.current_url.partition("/layups/")[2].partition("?")[0])
    (seen,) = ask(yard, f"layups/{layup}")["observations"]
    assert (seen["readings"][:2], seen["met"]) == ([38, 41], ["thick_enough", "wax_off"])
    show(chrome, f"{yard[0]}/layups/{layup}/hardness", *PHONE)
    tap(chrome, "button[value=solvent_wipe]", 2)
    told(chrome, "Solvent wipe")
    awake(chrome, "form[action*='/undo?'] button")
    assert noted(yard, layup) == ["hardness", "solvent_wipe"]

    for page, button, words, typed in (
        ("moisture", ".press.strong", "58.0 points", READING),
        ("film", "button[value=yes]", "keel: drops", FILM),
        ("surface", "button[value=beads]", "Something greasy", {"place": "keel"}),
        ("leak-test", ".press.strong", "keel: not tight enough", LEAK),
    ):
        noun = {
            "moisture": "moisture-readings", "film": "film-tests", "leak-test": "leak-tests",
        }.get(page, "surface-notes")  # fmt: skip
        were = len(ask(yard, f"jobs/D-7/{noun}")["items"])
        show(chrome, f"{yard[0]}/jobs/D-7/{page}", *PHONE)
        for name, text in typed.items():
            field = awake(chrome, f"#{name}")
            field.clear()  # a form may begin with what was said last
            field.send_keys(text)
        tap(chrome, button, 2)
        told(chrome, words)
        awake(chrome, "form[action*='/undo?'] button")
        found = ask(yard, f"jobs/D-7/{noun}")["items"]
        assert (len(found), found[0]["withdrawn"], found[0]["place"]) == (were + 1, None, "keel")
        tap(chrome, "form[action*='/undo?'] button", 2)
        told(chrome, "Taken back")
        found = ask(yard, f"jobs/D-7/{noun}")["items"]
        assert (len(found), found[0]["withdrawn"]["reason"]) == (were + 1, "not so")

    before = len(ask(yard, "bays/SHED/readings")["items"])
    show(chrome, f"{yard[0]}/bays/SHED", *PHONE)
    awake(chrome, "#temperature").send_keys("19.5")
    tap(chrome, ".thumb form button", 2)
    told(chrome, "19.5 °C")
    awake(chrome, "form[action*='/undo?'] button")
    read = ask(yard, "bays/SHED/readings")["items"]
    assert len(read) == before + 1
    assert read[0]["withdrawn"] is None

    pots = len(ask(yard, "batches")["items"])
    show(chrome, yard[0] + WEIGH, *PHONE)
    tap(chrome, ".press.large", 2)
    told(chrome, "mixed")
    awake(chrome, "button[value=not_mixed]")
    after = ask(yard, "batches")["items"]
    assert len(after) == pots + 1
    assert ask(yard, f"batches/{after[0]['id']}")["observations"] == []


def test_nothing_lies_where_the_last_press_was(
    chrome: Chrome, yard: tuple[str, requests.Session]
) -> None:
    """On no page that follows, for no press of the flow, before the screen is scrolled."""
    under = []

    def pressed(page: str | None, selector: str, words: str, **typed: str) -> None:
        if page is not None:
            show(chrome, yard[0] + page, *PHONE)
        for name, text in typed.items():
            field = awake(chrome, f"#{name}")
            if field.get_attribute("type") == "text":
                field.clear()  # a form may begin with the only place
            field.send_keys(text)
        middle(chrome, selector)
        last = box_of(chrome, awake(chrome, selector))
        press(chrome, ((last[0] + last[2]) / 2, (last[1] + last[3]) / 2))
        told(chrome, words)
        settled(chrome)
        for (left, top, right, bottom), what in boxes(chrome):
            if left < last[2] and right > last[0] and top < last[3] and bottom > last[1]:
                under.append((page or "the page before", selector, what, top, last))

    for answer in ("gelled", "not_gelled", "no_transfer", "green", "sanded"):
        pressed(f"/layups/{laid(yard)}", f"button[value={answer}]", ", ")
        pressed(None, "form[action*='/undo?'] button", "Taken back")
    pressed(f"/layups/{laid(yard, 29)}", "button[value=green]", "white rag")
    pressed(f"/layups/{laid(yard, 0)}", "button[value=gelled]", "Very early")
    pressed(f"/layups/{laid(yard, 0)}", "button[value=sanded]", "Very early")
    pressed(None, "form[action*='/undo?'] button", "Taken back")
    hardness = f"/layups/{laid(yard, 48)}/hardness"
    pressed(hardness, ".press.strong", "noted by", readings="38.41.44.40.36.43.45.39.42.37")
    pressed(hardness, "button[value=solvent_wipe]", "Solvent wipe")
    for what in ("prepared", "sheets", "beads", "rain", "touched", "oil", "dust", "hauled_out"):
        pressed("/jobs/D-7/surface", f"button[value={what}]", ", ", place="keel")
        pressed(None, "form[action*='/undo?'] button", "Taken back")
    for drops in ("no", "yes"):
        pressed("/jobs/D-7/film", f"button[value={drops}]", "drops", **FILM)
        pressed(None, "form[action*='/undo?'] button", "Taken back")
    pressed("/jobs/D-7/moisture", "form button", "points", **READING)
    pressed(None, "form[action*='/undo?'] button", "Taken back")
    pressed("/jobs/D-7/leak-test", "form button", "tight enough", **LEAK)
    pressed(None, "form[action*='/undo?'] button", "Taken back")
    pressed(f"/layups/{laid(yard)}", "button[value=bagged]", "Bagged")
    pressed(None, "form[action*='/undo?'] button", "Taken back")
    pressed(f"/layups/{bagged(yard)}", "button[value=bag_off]", "Bag off")
    pressed(None, "form[action*='/undo?'] button", "Taken back")
    pressed(f"/lots/{drum(yard)}", "form[action*='/open?'] button", "Opened")
    pressed(None, "form[action*='/undo?'] button", "Not opened")
    pressed(f"/lots/{drum(yard)}/hold", "form button", "Held", reason="skin on top")
    pressed(None, "form[action*='/undo?'] button", "Released")
    pressed(f"/lots/{drum(yard)}/count", "form button", "Counted", quantity="19")
    pressed(f"/lots/{drum(yard)}/draw", "form button", "Drawn", quantity="2", job="D-7")
    pressed(None, "form[action*='/undo?'] button", "Undone")
    pressed("/bays/SHED", ".thumb form button", "noted by", temperature="19")
    pressed(None, "form[action*='/undo?'] button", "Taken back")
    pressed("/bays/SHED", ".thumb form button", "Nothing was changed", temperature="115")
    pressed(None, ".thumb form button", "noted by")
    pressed(None, "form[action*='/undo?'] button", "Taken back")
    pressed(WEIGH, ".press.large", "mixed")
    assert under == [], "\n".join(map(str, under))


def test_the_way_back_is_the_same_form(chrome: Chrome, yard: tuple[str, requests.Session]) -> None:
    """Back shows what was typed; sent again it comes to the same page, and is done once."""
    lot = drum(yard)
    show(chrome, f"{yard[0]}/lots/{lot}/draw", *PHONE)
    awake(chrome, "#quantity").send_keys("3")
    awake(chrome, "option[value=D-7]").click()
    tap(chrome, "form button")
    told(chrome, "Drawn 3 kg")
    first = chrome.current_url
    chrome.back()
    assert awake(chrome, "#quantity").get_attribute("value") == "3"
    tap(chrome, "form button")
    told(chrome, "Drawn 3 kg")
    assert chrome.current_url == first
    assert ask(yard, f"lots/{lot}")["on_hand"]["value"] == 17


def test_the_way_back_to_the_answers(chrome: Chrome, yard: tuple[str, requests.Session]) -> None:
    """The same answer again is the same one; another says what was kept, and leads to its undo."""
    layup = laid(yard)
    show(chrome, f"{yard[0]}/layups/{layup}", *PHONE)
    tap(chrome, "button[value=gelled]")
    told(chrome, "Gelled")
    chrome.back()
    tap(chrome, "button[value=gelled]")
    told(chrome, "Gelled")
    assert noted(yard, layup) == ["gelled"]
    chrome.back()
    tap(chrome, "button[value=no_transfer]")
    assert "This form was sent before" in told(chrome, "Nothing more was noted.")
    assert "The first had: gelled." in chrome.find_element(By.TAG_NAME, "main").text
    assert noted(yard, layup) == ["gelled"]
    tap(chrome, "button[value=no_transfer]")
    told(chrome, "Glove clean")
    assert noted(yard, layup) == ["gelled", "no_transfer"]
    chrome.back()
    tap(chrome, "button[value=sanded]")
    told(chrome, "Nothing more was noted.")
    tap(chrome, "a.press[href*='noted=']")
    told(chrome, "Glove clean")
    tap(chrome, "form[action*='/undo?'] button")
    told(chrome, "Taken back: Glove clean")
    assert noted(yard, layup) == ["gelled", "/no_transfer"]


@contextmanager
def offline(chrome: Chrome) -> Iterator[None]:
    """The phone has no network."""
    chrome.execute_cdp_cmd("Network.enable", {})
    none = {"offline": True, "latency": 0, "downloadThroughput": 0, "uploadThroughput": 0}
    chrome.execute_cdp_cmd("Network.emulateNetworkConditions", none)
    try:
        yield
    finally:
        back = none | {"offline": False, "downloadThroughput": -1, "uploadThroughput": -1}
        chrome.execute_cdp_cmd("Network.emulateNetworkConditions", back)


def test_a_form_without_a_network_keeps_what_was_typed(
    chrome: Chrome, yard: tuple[str, requests.Session]
) -> None:
    """Behind the boat, where there is none: Back has it all, and sent again it is done."""
    lot = drum(yard)
    show(chrome, f"{yard[0]}/lots/{lot}/count", *PHONE)
    awake(chrome, "#quantity").send_keys("17.25")
    with offline(chrome):
        tap(chrome, "form button")
        wait_until(lambda: not chrome.find_elements(By.ID, "quantity"))
        chrome.back()
        assert awake(chrome, "#quantity").get_attribute("value") == "17.25"
    assert ask(yard, f"lots/{lot}")["on_hand"]["value"] == 20
    tap(chrome, "form button")
    told(chrome, "Counted")
    assert ask(yard, f"lots/{lot}")["on_hand"]["value"] == 17.25


class Deaf:
    """A network in front of a service that passes on what is sent, and loses some answers."""

    def __init__(self, port: int) -> None:
        self._behind, self.lost, self.sent = port, 0, 0
        self._socket = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._socket.getsockname()[1])
        threading.Thread(target=self._serve, daemon=True).start()

    def _serve(self) -> None:
        while True:
            try:
                came, _ = self._socket.accept()
            except OSError:
                return
            threading.Thread(target=self._pass_on, args=(came,), daemon=True).start()

    def _pass_on(self, came: socket.socket) -> None:
        """One request a connection; its Host is kept, as the browser wrote it."""
        with came, socket.create_connection(("127.0.0.1", self._behind)) as there:
            asked = b""
            while b"\r\n\r\n" not in asked:
                part = came.recv(65536)
                if not part:
                    return
                asked += part
            head, _, body = asked.partition(b"\r\n\r\n")
            lines = head.split(b"\r\n")
            size = next((int(line.split(b":")[1]) for line in lines
                         if line.lower().startswith(b"content-length:")), 0)  # fmt: skip
            while len(body) < size:
                body += came.recv(65536)
            kept = [line for line in lines if not line.lower().startswith(b"connection:")]
            there.sendall(b"\r\n".join([*kept, b"Connection: close", b"", b""]) + body)
            answer = b""
            while part := there.recv(65536):
                answer += part
            if head.startswith(b"POST"):
                self.sent += 1
                if self.lost:
                    self.lost -= 1
                    return  # the answer is lost
            came.sendall(answer)

    def close(self) -> None:
        """No more network."""
        self._socket.close()


@pytest.mark.parametrize("lost", [1, 9])
def test_lost_answers_are_found_again(
    chrome: Chrome, yard: tuple[str, requests.Session], lost: int
) -> None:
    """The act was done, its answer never came: the browser's own retry, or the hand's, finds it."""
    layup, port = laid(yard), int(yard[0].rpartition(":")[2])
    network = Deaf(port)
    try:
        show(chrome, f"http://127.0.0.1:{network.port}/layups/{layup}", *PHONE)
        network.lost = lost
        tap(chrome, "button[value=gelled]")
        wait_until(lambda: noted(yard, layup) == ["gelled"])
        wait_until(lambda: not chrome.find_elements(By.CSS_SELECTOR, ".six"))
        if not chrome.find_elements(By.CSS_SELECTOR, ".board"):  # the browser gave up
            network.lost = 0
            chrome.back()
            tap(chrome, "button[value=gelled]")
        assert "noted by Ada" in told(chrome, "Gelled")
        assert network.sent > 1
    finally:
        network.close()
    assert noted(yard, layup) == ["gelled"]


def test_without_scripts(chrome: Chrome, yard: tuple[str, requests.Session]) -> None:
    """Every act is a plain form; and no page lets a script in from elsewhere."""
    layup = laid(yard)
    chrome.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    try:
        show(chrome, f"{yard[0]}/layups/{layup}", *PHONE)
        chrome.find_element(By.CSS_SELECTOR, "button[value=no_transfer]").click()
        wait_until(lambda: noted(yard, layup) == ["no_transfer"])
        awake(chrome, "form[action*='/undo?'] button").click()
        wait_until(lambda: noted(yard, layup) == ["/no_transfer"])
        show(chrome, f"{yard[0]}/mix", *PHONE)
        for name, text in (("amount", "1"), ("temperature", "20"), ("target_gel", "20")):
            awake(chrome, f"#{name}").send_keys(text)
        awake(chrome, "option[value=LAM]").click()
        awake(chrome, "option[value=D-7]").click()
        awake(chrome, "form button").click()
        wait_until(lambda: "/mix/weigh" in chrome.current_url)
        awake(chrome, ".press.large").click()
        told(chrome, "Pot")
    finally:
        chrome.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})
    for page in ("/layups/1", "/lots/1", "/mix", "/bays/SHED"):
        answer = requests.get(yard[0] + page, timeout=HANGS_S)
        policy = answer.headers["Content-Security-Policy"]
        assert policy.startswith("default-src 'self'")
        assert "script-src" not in policy


FORGED = """<!doctype html><title>waiting</title>
<form method="post" action="{target}/layups/1" target="hole"><input name="answer" value="gelled">
<input name="form" value="x"><input name="key" value="0123456789abcdefghijkl"></form>
<iframe name="hole"></iframe>
<script>
const body = new URLSearchParams(new FormData(document.forms[0]));
const tried = [fetch("{target}/layups/1", {{method: "POST", mode: "no-cors",
                                            credentials: "include", body}}).catch(() => 0),
  new Promise(done => {{ document.querySelector("iframe").onload = done; setTimeout(done, 20000);
                         document.forms[0].submit(); }})];
Promise.all(tried).then(() => document.title = "done");
</script>"""


@pytest.fixture(scope="module")
def tokened(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Tokened]:
    """A yard where everybody shows a token: its owner, its address, and secrets by name."""
    folder = tmp_path_factory.mktemp("tokened")
    file = folder / "yard.sqlite"
    hand = Hand.at(folder, database=str(file), zone="UTC", hand="Ada")
    for line in (
        "bay add SHED --title Shed --day 21C --night 18C --day-from 07:00 --day-until 18:00",
        "product add LAM-EP --name Epoxy --role resin --chemistry epoxy --mix two_part "
        "--parts 100 30 --by mass --surface amine_blush --reference 20C - "
        "--gel-time 20C - 30min --recoat-opens 3h --recoat-closes 24h",
        "job open D-7 --title Stem --craft Teal",
        "layup start D-7 'First layer' --kind laminate --bay SHED --product LAM-EP --at '2 h ago'",
    ):
        hand.types(line)
    secrets = {}
    for name, role in (("Ada", "admin"), ("Rui", "hand"), ("Tim", "hand")):
        secrets[name] = hand.types(f"token add {name} --role {role} --json").json["token"]
    with hand.serving() as url:
        yield hand, url, secrets


def come_in(chrome: Chrome, url: str, secret: str) -> None:
    """The browser gets a pass."""
    chrome.get(f"{url}/leave-not")
    chrome.delete_all_cookies()
    show(chrome, f"{url}/enter", *PHONE)
    awake(chrome, "#token").send_keys(secret)
    awake(chrome, "form button").click()
    wait_until(lambda: "/enter" not in chrome.current_url)


def observations(tokened: Tokened) -> list[str]:
    """What is noted of the layup, and by whom."""
    _, url, secrets = tokened
    bearer = {"Authorization": f"Bearer {secrets['Ada']}"}
    told = requests.get(f"{url}/v1/layups/1", headers=bearer, timeout=HANGS_S).json()
    return [f"{seen['kind']} by {seen['who']}" for seen in told["observations"]]


def test_a_page_elsewhere_changes_nothing(chrome: Chrome, tokened: Tokened) -> None:
    """Of another site, and of another port of this very host, which gets the pass along."""
    _, url, secrets = tokened
    come_in(chrome, url, secrets["Rui"])
    page = FORGED.format(target=url)
    site = _paged(page)
    try:
        for name in ("evil.example", "127.0.0.1"):
            chrome.get(f"http://{name}:{site.port}/")
            WebDriverWait(chrome, HANGS_S).until(lambda seen: seen.title == "done")
    finally:
        site.shutdown()
        site.server_close()
    assert observations(tokened) == []


def _paged(page: str) -> Site:
    """A site that answers every question with a page."""
    from http.server import BaseHTTPRequestHandler

    class Tells(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(page.encode())

        def log_message(self, *_: Any) -> None:
            return

    site = Site()
    site.RequestHandlerClass = Tells
    threading.Thread(target=site.serve_forever, daemon=True).start()
    return site


def test_a_pass_signs_and_a_revoked_one_does_nothing(chrome: Chrome, tokened: Tokened) -> None:
    """What is tapped is under its name; once it is revoked, the form that lay open says so."""
    _, url, secrets = tokened
    come_in(chrome, url, secrets["Tim"])
    show(chrome, f"{url}/layups/1", *PHONE)
    tap(chrome, "button[value=gelled]")
    assert "noted by Tim" in told(chrome, "Gelled")
    assert observations(tokened) == ["gelled by Tim"]
    show(chrome, f"{url}/layups/1", *PHONE)
    bearer = {"Authorization": f"Bearer {secrets['Ada']}"}
    gone = requests.post(f"{url}/v1/tokens/3/revocation", json={}, headers=bearer, timeout=HANGS_S)
    assert gone.status_code == 201
    tap(chrome, "button[value=no_transfer]")
    patient = WebDriverWait(chrome, HANGS_S, 0.05, [WebDriverException])
    patient.until(lambda seen: "no longer" in seen.find_element(By.TAG_NAME, "main").text)
    text = awake(chrome, "main").text
    assert "Nothing was changed." in text
    assert observations(tokened) == ["gelled by Tim"]
    chrome.get(f"{url}/layups/1")
    assert "/enter" in chrome.current_url


def test_the_stream_rings_in_a_page(chrome: Chrome, tokened: Tokened) -> None:
    """A page's EventSource is let in by the pass, and nothing else of the interface is."""
    _, url, secrets = tokened
    come_in(chrome, url, secrets["Rui"])
    opened = chrome.execute_async_script(
        "const done = arguments[arguments.length - 1];"
        "const bell = new EventSource('/v1/milestones');"
        "bell.onopen = () => { bell.close(); done('open'); }; bell.onerror = () => done('shut');"
    )
    assert opened == "open"
    status = chrome.execute_async_script(
        "const done = arguments[arguments.length - 1];"
        "fetch('/v1/now').then(answer => done(answer.status));"
    )
    assert status == 401
