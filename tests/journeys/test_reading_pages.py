"""Pages of record in a real browser: on a screen, in a hand, and on a sheet of paper."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By

from .. import makers
from ..axe import violations
from ..browser import printed, show
from .conftest import Record, recorded
from .test_wall_screen import luminance

PAGES = ("/jobs", "/jobs/D-7", "/jobs/D-7/cuts", "/lots", "/lots/1", "/products", "/products/LAM",
         "/lots/99", "/lots?state=zzz", "/lots?state=held", "/batches/1", "/layups/1",
         "/docs/plan", "/docs/topics", "/docs/examples", "/problems/", "/problems/held-lot",
         "/jobs/26-014-STARBOARD-QUARTER")  # fmt: skip
WIDTHS = (1280, 360)
SCREENS = ((1920, 1080), (1280, 800), (390, 844))
BROKEN = r"""
const lines = node => { const range = document.createRange(); range.selectNodeContents(node);
  return new Set([...range.getClientRects()].map(each => Math.round(each.top / 4))).size; };
const parts = node => { const found = [];
  for (const match of node.data.matchAll(/[A-Z0-9][A-Z0-9]*[-\/][A-Z0-9\/-]+/g)) {
    const range = document.createRange();
    range.setStart(node, match.index); range.setEnd(node, match.index + match[0].length);
    const tops = [...range.getClientRects()].map(each => Math.round(each.top / 4));
    if (new Set(tops).size > 1) found.push(match[0]);
  } return found; };
const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
const broken = [];
while (walk.nextNode()) {
  if (walk.currentNode.parentElement.closest("pre, svg, script, noscript") === null)
    broken.push(...parts(walk.currentNode));
}
const codes = [...document.querySelectorAll(".code")];
broken.push(...codes.filter(each => lines(each) > 1).map(each => each.textContent));
return [codes.length, broken];
"""
"""How many codes a page has, and those that break over a line, marked as one or not."""
DARK = """
const rgb = what => getComputedStyle(document.body)[what].match(/[\\d.]+/g).slice(0, 3).map(Number);
return [rgb("color"), rgb("backgroundColor")];
"""
A_RANGE = {"temperature": "20 degC", "catalyst_percent": 2, "from": "18 min", "to": "22 min"}
CURE = makers.sheet(gel_times=[A_RANGE, makers.gel_time("30 degC", "20 min", 1)])


def ago(hours: float) -> str:
    """So many hours before the tests began."""
    return (datetime.now(UTC) - timedelta(hours=hours)).isoformat(timespec="seconds")


RECORD: Record = (
    ("products", makers.catalyst()),
    ("products", makers.resin(name="Laminating polyester", cure=CURE)),
    ("products", makers.mat()),
    ("products", makers.product("BUB", "filler", name="Glass bubbles")),
    ("bays", makers.bay("SHED", "21 degC", "18 degC")),
    ("lots", makers.lot(bay="SHED")),
    ("lots", makers.lot("PEROX", "1 kg", "P-1")),
    ("lots", makers.lot("MAT", "30 m", "M-1")),
    ("lots", makers.lot("MAT", "12 m", "M-2")),
    ("lots", makers.lot("BUB", "2 kg", "F-1")),
    ("jobs", makers.job("D-7", "yes", title="Transom, inner skin")),
    ("products", makers.product("MICRO-BALLOONS-K20-WHITE", "filler", name="Microballoons")),
    ("lots", makers.lot("MICRO-BALLOONS-K20-WHITE", "2 kg", "2026-04-STARBOARD-77-B")),
    ("jobs", makers.job("26-014-STARBOARD-QUARTER", title="Quarter")),
    ("movements", makers.draw("MICRO-BALLOONS-K20-WHITE", "200 g")),
    ("jobs/26-014-STARBOARD-QUARTER/needs", {"needs": [
        {"product": "MICRO-BALLOONS-K20-WHITE", "quantity": "1 kg", "by": "2036-04-02"},
        {"product": "MICRO-BALLOONS-K20-WHITE", "quantity": "90 kg"}]}),
    ("jobs/D-7/needs", {"needs": [{"product": "MAT", "pieces": [
        {"length": "1.4 m", "count": 3}, {"length": "0.9 m", "count": 2}]}]}),
    ("movements", makers.draw("BUB", "200 g")),
    ("movements", makers.draw("MAT", "1.4 m")),
    *(each for n in (1, 2, 3) for each in (
        ("batches", makers.pot("LAM", "1.5 kg", mixed_at=ago(12 - 3 * n))),
        ("layups", makers.layup(n, title=f"Plies {n}", over=n - 1 or None,
                                applied_at=ago(12 - 3 * n))),
        (f"layups/{n}/observations", {"kind": "gelled"}),
    )),
)  # fmt: skip
"""A normal job: three pots and three layups, of four lots."""


@pytest.fixture(scope="module")
def url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A service that has such a job on record."""
    with recorded(tmp_path_factory.mktemp("yard"), RECORD) as (served, _):
        yield served


@pytest.mark.parametrize("width", WIDTHS)
def test_pages_are_for_everybody_and_for_any_screen(chrome: Chrome, url: str, width: int) -> None:
    """Nothing for the engine to find, nothing beside the screen, nothing that was not let in."""
    for page in PAGES:
        show(chrome, url + page, width)
        assert violations(chrome) == [], page
        wide = chrome.execute_script("return document.documentElement.scrollWidth")
        assert wide <= width, (page, wide)
    refused = [
        line
        for line in chrome.get_log("browser")
        if "404" not in line["message"] and "422" not in line["message"]
    ]
    assert refused == []


@pytest.fixture(params=["light", "dark"])
def theme(request: pytest.FixtureRequest, chrome: Chrome) -> Iterator[str]:
    """What the screen asks for."""
    features = [{"name": "prefers-color-scheme", "value": request.param}]
    chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    yield request.param
    chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})


@pytest.mark.parametrize("screen", SCREENS)
def test_every_page_is_light_or_dark(
    chrome: Chrome, url: str, theme: str, screen: tuple[int, int]
) -> None:
    """As the screen asks, with the contrasts of the wall; axe finds nothing in either."""
    for page in (*PAGES, "/", "/docs"):
        show(chrome, url + page, *screen)
        if page == "/docs":
            assert chrome.find_elements(By.CSS_SELECTOR, "#viewer .opblock-tag-section")
        text, ground = chrome.execute_script(DARK)
        light, dark = sorted((luminance(text), luminance(ground)), reverse=True)
        assert (light + 0.05) / (dark + 0.05) > 12, page
        assert (luminance(ground) < 0.05) is (theme == "dark"), page
        assert violations(chrome) == [], page


@pytest.mark.parametrize("width", [360, 390, 1280])
def test_no_code_breaks_over_a_line(chrome: Chrome, url: str, width: int) -> None:
    """Wherever it stands; nor does one push the page sideways."""
    seen = 0
    for page in (*PAGES, "/"):
        show(chrome, url + page, width, 844)
        count, broken = chrome.execute_script(BROKEN)
        assert broken == [], page
        wide = chrome.execute_script("return document.documentElement.scrollWidth")
        assert wide <= width, (page, wide)
        seen += count
    assert seen > 100


def test_the_drawing_of_the_cuts_is_seen(chrome: Chrome, url: str) -> None:
    """An image of its own, that came, and lies on white."""
    show(chrome, f"{url}/jobs/D-7/cuts", 1280)
    (image,) = chrome.find_elements(By.CSS_SELECTOR, "img.drawing")
    assert chrome.execute_script("return arguments[0].naturalWidth", image) > 300
    assert "M-2/1" in (image.get_attribute("alt") or "")


def test_a_person_gets_from_a_lot_to_the_craft_and_back(chrome: Chrome, url: str) -> None:
    """By links alone, with no script."""
    chrome.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    try:
        show(chrome, f"{url}/lots", 360)
        for link in ("B-1/1", "D-7", "B-1/1", "LAM", "Jobs", "D-7"):
            chrome.find_element(By.LINK_TEXT, link).click()
        assert chrome.current_url == f"{url}/jobs/D-7"
    finally:
        chrome.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})


@pytest.mark.parametrize(
    ("page", "most"),
    [("/jobs/D-7", 1), ("/lots/1", 1), ("/products/LAM", 2), ("/jobs/D-7/cuts", 1)],
)
def test_on_paper_it_is_one_sheet(chrome: Chrome, url: str, page: str, most: int) -> None:
    """A4, upright, as a person would print it; of a product whose promises are scored, two."""
    show(chrome, url + page, 1280)
    sheets = printed(chrome)
    assert 1 <= len(sheets) <= most
    for sheet in sheets:
        assert [round(side / 25.4 * 72) for side in sheet] == [595, 842]
