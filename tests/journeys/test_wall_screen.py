"""What is on the wall's screen: boxes, sizes, overlaps and contrasts, measured in a real browser.

A capital of the wall's type is 0.688 of its size; a px of a screen of 55 inches with 1080 lines is
0.634 mm. Contrast as WCAG 2.2 has it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By

from .. import axe
from ..browser import show
from . import hung
from .conftest import Hand

WALL, LAPTOP, PHONE = (1920, 1080), (1280, 800), (390, 844)
MM, CAPITAL = 0.634, 0.688
BOXES = """
const box = e => { const b = e.getBoundingClientRect();
  return {left: b.left, right: b.right, top: b.top, bottom: b.bottom}; };
const text = e => { const r = document.createRange(); r.selectNodeContents(e); return box(r); };
return [...document.querySelectorAll(".row:not([hidden])")].map(row => ({
  row: box(row), trouble: row.matches(".trouble"), near: row.matches(".hour, .minutes"),
  name: box(row.querySelector(".tape")), cut: text(row.querySelector(".tape .cut")),
  where: text(row.querySelector(".where .cut")), state: text(row.querySelector(".state > span")),
  do: text(row.querySelector(".do > span:first-child")), ribbon: box(row.querySelector(".ribbon")),
  blocks: [...row.querySelectorAll(".block.ground")].map(e => [e.classList[1], box(e)]),
  posts: [...row.querySelectorAll(".ribbon .post")].map(box),
  beads: [...row.querySelectorAll(".bead")].map(box),
  reads: row.textContent,
}));
"""
"""Of each row on the screen, where its parts are."""
PLACE = """
const b = document.querySelector(arguments[0]).getBoundingClientRect();
return {left: b.left, right: b.right, top: b.top, bottom: b.bottom};
"""
SIZE = "return parseFloat(getComputedStyle(document.querySelector(arguments[0])).fontSize)"
BEYOND = """
const d = document.documentElement;
return [d.scrollWidth - innerWidth, d.scrollHeight - innerHeight];
"""
LATER = (
    "const real = Date.now; Date.now = () => real() + arguments[0] * 1000; next = Infinity; tell();"
)
COLOURS = """
const rgb = (e, what) => getComputedStyle(e)[what].match(/[\\d.]+/g).slice(0, 3).map(Number);
const one = s => document.querySelector(s);
const ground = rgb(document.body, "backgroundColor");
const told = {
  text: [rgb(document.body, "color"), ground],
  link: [rgb(one(".axis a:not([aria-current])"), "color"), ground],
  alarm: [rgb(one(".alarm b"), "color"), ground],
  trouble: [rgb(one("b.trouble"), "color"), rgb(one("b.trouble"), "backgroundColor")],
  line: [rgb(one(".p-line"), "stroke"), rgb(one(".ground.window"), "fill")],
  wave: [rgb(one(".p-wave"), "stroke"), rgb(one(".ground.wet"), "fill")],
  barrier: [rgb(one(".p-yellow"), "fill"), rgb(one(".p-black"), "fill")],
  outline: [rgb(one(".block"), "stroke"), ground],
};
const tape = getComputedStyle(one(".row .tape"), "::before").backgroundColor;
told.name = [rgb(one(".row .tape"), "color"), tape.match(/[\\d.]+/g).slice(0, 3).map(Number)];
return told;
"""
"""Pairs of colours that must be told apart."""
Box = Mapping[str, float]


@pytest.fixture(scope="module", params=[4, 12, 26, 38])
def wall(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """A shop of so many rows: their number, and the address of its wall."""
    folder = tmp_path_factory.mktemp("wall")
    hand = Hand.at(folder, database=str(folder / "yard.sqlite"), zone="UTC", hand="Ada")
    with hand.serving() as url:
        yard = hung.furnished(url)
        hung.stocked(yard)
        hung.crowd(yard, request.param)
        yield request.param, url


@pytest.fixture(params=["light", "dark"])
def theme(request: pytest.FixtureRequest, chrome: Chrome) -> Iterator[str]:
    """What the screen asks for."""
    features = [{"name": "prefers-color-scheme", "value": request.param}]
    chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    yield request.param
    chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})


def boxes(chrome: Chrome) -> list[Any]:
    """The rows on the screen, from the top."""
    found: list[Any] = chrome.execute_script(BOXES)
    return found


def size(chrome: Chrome, selector: str) -> float:
    """The size of letters, px."""
    return float(chrome.execute_script(SIZE, selector))


def place(chrome: Chrome, selector: str) -> dict[str, float]:
    """Where a part is."""
    found: dict[str, float] = chrome.execute_script(PLACE, selector)
    return found


def apart(first: Box, second: Box) -> bool:
    """Whether one ends before the other begins, across the screen."""
    return first["right"] <= second["left"] + 0.5


@pytest.mark.parametrize("screen", [WALL, LAPTOP])
def test_all_is_on_one_screen(chrome: Chrome, wall: tuple[int, str], screen: Any) -> None:
    """Nothing has to be scrolled, and every row is whole, above the foot."""
    rows, url = wall
    show(chrome, url, *screen)
    across, down = chrome.execute_script(BEYOND)
    assert (across, down) == (0, 0)
    found = boxes(chrome)
    assert len(found) == min(rows, 26)
    foot = place(chrome, ".foot")
    for row in found:
        assert row["row"]["bottom"] <= foot["top"] + 0.5
        assert row["row"]["bottom"] - row["row"]["top"] >= (35 if screen == WALL else 26) - 0.01
    for upper, lower in pairwise(found):
        assert upper["row"]["bottom"] <= lower["row"]["top"] + 0.01


@pytest.mark.parametrize("screen", [WALL, LAPTOP])
def test_a_row_reads_from_left_to_right(chrome: Chrome, wall: tuple[int, str], screen: Any) -> None:
    """Name, state, what to do and ribbon do not cover each other."""
    rows, url = wall
    show(chrome, url, *screen)
    for row in boxes(chrome):
        assert apart(row["do"], row["ribbon"]), row["reads"]
        if rows > 13:
            assert apart(row["name"], row["where"]), row["reads"]
            assert apart(row["where"], row["state"]), row["reads"]
        if rows > 4:
            assert apart(row["name"], row["state"]), row["reads"]
        if row["state"]["bottom"] > row["do"]["top"] > row["state"]["top"] - 20:
            assert apart(row["state"], row["do"]), row["reads"]
        assert apart(row["cut"], row["ribbon"]), row["reads"]
        assert row["cut"]["right"] <= row["name"]["right"]


def test_letters_are_read_across_the_shop(chrome: Chrome, wall: tuple[int, str]) -> None:
    """At 4 m: a name's capital is 16 mm and more, nothing of a row under 12 mm."""
    rows, url = wall
    show(chrome, url, *WALL)
    name = 37 if rows > 13 else 43 if rows > 4 else 54
    assert size(chrome, ".row .tape") == pytest.approx(name)
    assert size(chrome, ".row .tape") * CAPITAL * MM >= 16
    for selector in (".do", ".do b", ".state", ".where"):
        assert size(chrome, f".row {selector}") * CAPITAL * MM >= 12, selector


def test_now_is_one_line_through_every_row(chrome: Chrome, wall: tuple[int, str]) -> None:
    """At the same place on each ribbon, from the axis to the last row; its hour hangs above it."""
    _, url = wall
    show(chrome, url, *WALL)
    plumb, found = place(chrome, ".plumb"), boxes(chrome)
    middle = (plumb["left"] + plumb["right"]) / 2
    for row in found:
        assert plumb["top"] <= row["row"]["top"]
        assert plumb["bottom"] >= row["row"]["bottom"] - 0.5
        ribbon = row["ribbon"]
        here = ribbon["left"] + (ribbon["right"] - ribbon["left"]) * 200 / 1040
        assert middle == pytest.approx(here, abs=0.6)
    hour = place(chrome, ".hours .here")
    assert (hour["left"] + hour["right"]) / 2 == pytest.approx(middle, abs=1)


def test_nothing_filled_stands_beyond_the_post(chrome: Chrome, wall: tuple[int, str]) -> None:
    """The window and a pot's waves end at their post, which is taller; beads are outside."""
    _, url = wall
    show(chrome, url, *WALL)
    posts = 0
    for row in boxes(chrome):
        kinds = {kind for kind, _ in row["blocks"]}
        assert len(row["posts"]) <= 1
        for post in row["posts"]:
            posts += 1
            if kinds & {"sand", "cured"}:
                continue
            for kind, block in row["blocks"]:
                assert block["right"] <= post["left"] + 2, (kind, row["reads"])
                assert post["bottom"] - post["top"] > block["bottom"] - block["top"]
        for _, block in row["blocks"]:
            for bead in row["beads"]:
                assert bead["right"] <= block["left"] + 2 or bead["left"] >= block["right"] - 2
    assert posts >= 1


@pytest.mark.parametrize("screen", [WALL, LAPTOP, PHONE])
def test_trouble_is_first_and_above_the_fold(
    chrome: Chrome, wall: tuple[int, str], screen: Any
) -> None:
    """It is named, and counted in the head."""
    _, url = wall
    show(chrome, url, *screen)
    found = [row["trouble"] for row in boxes(chrome)]
    count = sum(found)
    assert count >= 1
    assert found == [True] * count + [False] * (len(found) - count)
    assert place(chrome, ".row.trouble .tape")["bottom"] < screen[1]
    if screen != PHONE:
        assert boxes(chrome)[count - 1]["row"]["bottom"] < screen[1]
    head = chrome.find_element(By.CSS_SELECTOR, "b.trouble").text
    assert head == f"{count} in trouble"


def test_light_and_dark_are_read(chrome: Chrome, wall: tuple[int, str], theme: str) -> None:
    """By contrast, and by axe against WCAG 2.2 AA; the ground is that of the theme."""
    _, url = wall
    show(chrome, url, *WALL)
    assert axe.violations(chrome) == []
    for name, pair in chrome.execute_script(COLOURS).items():
        light, dark = sorted(map(luminance, pair), reverse=True)
        contrast = (light + 0.05) / (dark + 0.05)
        least = {"text": 12, "link": 7, "alarm": 7, "trouble": 5.5, "line": 4.5, "wave": 4,
                 "barrier": 10, "outline": 12, "name": 7}[name]  # fmt: skip
        assert contrast >= least, (name, contrast)
    ground = luminance(chrome.execute_script(COLOURS)["text"][1])
    assert (ground < 0.05) is (theme == "dark")


def luminance(colour: list[float]) -> float:
    """The relative luminance of an sRGB colour, as WCAG 2.2 defines it."""
    parts = [part / 255 for part in colour]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_an_old_wall_looks_old(chrome: Chrome, wall: tuple[int, str], theme: str) -> None:
    """After two minutes without word: another ground, a broken line, no flag and no box."""
    _, url = wall
    show(chrome, url, *WALL)
    before = chrome.execute_script(COLOURS)["text"][1]
    chrome.execute_script(LATER, 119)
    assert chrome.execute_script(COLOURS)["text"][1] == before
    chrome.execute_script(LATER, 2)
    assert chrome.execute_script(COLOURS)["text"][1] != before
    said = chrome.find_element(By.ID, "lost").text
    assert said.startswith("No word since ")
    assert said.endswith(": go and look.")
    shown = (
        "return getComputedStyle(document.querySelector(arguments[0]), arguments[1])[arguments[2]]"
    )
    assert "gradient" in chrome.execute_script(shown, ".plumb", None, "backgroundImage")
    assert chrome.execute_script(shown, ".ribbon", None, "opacity") == "0.6"
    for near in chrome.find_elements(By.CSS_SELECTOR, ".row.hour, .row.minutes"):
        style = "return getComputedStyle(arguments[0].querySelector('.do'), '::before').display"
        assert chrome.execute_script(style, near) == "none"
    assert axe.violations(chrome) == []
    assert chrome.execute_script(BEYOND) == [0, 0]


def test_what_has_no_room_turns_by_pages(chrome: Chrome, wall: tuple[int, str]) -> None:
    """Trouble stays; a touch stops it; who does not like motion sees all rows."""
    rows, url = wall
    show(chrome, url, *WALL)
    first = boxes(chrome)
    chrome.execute_script("turn()")
    second = boxes(chrome)
    if rows <= 26:
        assert [row["reads"] for row in first] == [row["reads"] for row in second]
        return
    trouble = [row["reads"] for row in first if row["trouble"]]
    assert [row["reads"] for row in second if row["trouble"]] == trouble
    assert "page 2 of" in chrome.find_element(By.CSS_SELECTOR, ".summary").text
    turned = {row["reads"] for row in first} | {row["reads"] for row in second}
    assert len(turned) == rows
    assert chrome.execute_script(BEYOND) == [0, 0]
    chrome.execute_script("turn()")
    assert [row["reads"] for row in boxes(chrome)] == [row["reads"] for row in first]
    chrome.find_element(By.TAG_NAME, "body").send_keys("x")
    chrome.execute_script("turn()")
    assert [row["reads"] for row in boxes(chrome)] == [row["reads"] for row in first]
    features = [{"name": "prefers-reduced-motion", "value": "reduce"}]
    chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    try:
        show(chrome, url, *WALL)
        assert len(boxes(chrome)) == rows
    finally:
        chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})


def test_a_link_has_its_whole_name(chrome: Chrome, wall: tuple[int, str]) -> None:
    """Where the name on the tape is cut, too; it is large enough to be hit."""
    rows, url = wall
    show(chrome, url, *LAPTOP)
    links = chrome.find_elements(By.CSS_SELECTOR, ".row:not([hidden]) .tape")
    names = {link.accessible_name for link in links}
    assert rows > 26 or "Outer skin of the rudder, plies 1 to 4 of 9" in names
    assert not any("…" in name for name in names)
    assert all(link.size["height"] >= 24 for link in links)


@pytest.mark.parametrize("screen", [WALL, LAPTOP, PHONE])
@pytest.mark.parametrize("begun", [True, False])
def test_a_wall_of_nothing(chrome: Chrome, tmp_path: Path, screen: Any, begun: bool) -> None:
    """The axis and the plumb line stay; it says what to do next."""
    hand = Hand.at(tmp_path, database=str(tmp_path / "yard.sqlite"), zone="UTC", hand="Ada")
    with hand.serving() as url:
        if begun:
            hung.furnished(url)
        show(chrome, url, *screen)
        assert chrome.execute_script(BEYOND)[0] == 0
        assert "cureyard" in chrome.find_element(By.CSS_SELECTOR, ".idle code").text
        assert axe.violations(chrome) == []
        if screen != PHONE:
            assert chrome.execute_script(BEYOND)[1] == 0
            assert chrome.find_element(By.CSS_SELECTOR, ".hours .here").is_displayed()
            plumb = place(chrome, ".plumb")
            assert plumb["bottom"] - plumb["top"] > screen[1] / 2
            assert apart(place(chrome, ".idle"), plumb)
