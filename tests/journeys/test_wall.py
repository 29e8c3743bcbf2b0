"""The wall in a real browser: judged by axe at both sizes, fresh, lost, printed, without script.

Only the browser's clock is turned, to not wait for it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import ImageStat
from selenium.common.exceptions import StaleElementReferenceException
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import WebDriverWait

from .. import axe
from ..browser import drawn, pdf, printed, sized, written
from ..waiting import HANGS_S
from . import hung
from .conftest import Hand

SIZES = {"wall": (1920, 1080), "phone": (360, 740)}
BEYOND = "return document.documentElement.scrollWidth - document.documentElement.clientWidth"
"""How far a page reaches beyond its screen, in px."""
LATER = "const real = Date.now; Date.now = () => real() + arguments[0] * 1000;"
"""The browser's clock, so many seconds on."""


@pytest.fixture(scope="module")
def hand(tmp_path_factory: pytest.TempPathFactory) -> Hand:
    """Who has the yard's file."""
    folder = tmp_path_factory.mktemp("wall")
    return Hand.at(folder, database=str(folder / "yard.sqlite"), zone="UTC", hand="Ada")


@pytest.fixture(scope="module")
def yard(hand: Hand) -> Iterator[hung.Yard]:
    """A served yard with a layup in each sign, and stock to see to."""
    with hand.serving() as url:
        furnished = hung.furnished(url)
        hung.stocked(furnished)
        hung.hung(furnished)
        hung.mixed(furnished)
        yield furnished


def words(chrome: Chrome, selector: str) -> str:
    """What stands in a part of the page."""
    return chrome.find_element(By.CSS_SELECTOR, selector).text


def until(chrome: Chrome, selector: str, wanted: str) -> None:
    """Wait until words stand in a part of the page, which may be renewed meanwhile."""
    patient = WebDriverWait(chrome, HANGS_S, ignored_exceptions=[StaleElementReferenceException])
    patient.until(lambda seen: wanted in words(seen, selector))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("page", ["/", "/layups/1"])
def test_a_page_is_for_everybody(chrome: Chrome, yard: hung.Yard, size: str, page: str) -> None:
    """axe finds nothing against WCAG 2.2 AA; nothing has to be pushed sideways."""
    sized(chrome, *SIZES[size])
    chrome.get(yard.url + page)
    assert axe.violations(chrome) == []
    assert chrome.execute_script(BEYOND) == 0


def test_every_state_hangs_there(chrome: Chrome, yard: hung.Yard) -> None:
    """In words, with its shape drawn, large enough across the shop."""
    sized(chrome, *SIZES["wall"])
    chrome.get(yard.url)
    rows = chrome.find_elements(By.CSS_SELECTOR, ".row")
    marks = {row.find_element(By.TAG_NAME, "use").get_dom_attribute("href") for row in rows}
    assert marks == {
        f"#s-{state}"
        for state in (
            "suspect", "late", "cold_stalled", "unsettled", "pot", "recoat_open", "recoat_touch",
            "wet", "gelled", "tacky", "sandable", "handling_cure",
        )
    }  # fmt: skip
    for word in ("out of date", "short", "held", "soon out of date"):
        assert word in words(chrome, "#yard"), word
    marks = chrome.find_elements(By.CSS_SELECTOR, ".row .mark")
    assert all(mark.size["height"] >= 24 for mark in marks)
    assert "in trouble" in words(chrome, ".summary")


def test_a_pot_not_laid_up_is_a_row(chrome: Chrome, yard: hung.Yard) -> None:
    """Among the layups, by its hour; it leads to its card, and its caution is read with it."""
    sized(chrome, *SIZES["wall"])
    chrome.get(yard.url)
    link = chrome.find_element(By.CSS_SELECTOR, ".row a[href='/batches/1']")
    row = link.find_element(By.XPATH, "ancestor::li")
    assert "Pot 1, LAM 500 g" in link.text
    assert re.search(r"spread by (\w+ )?\d\d:\d\d|spread no more", row.text), row.text
    assert "smokes or swells" in row.get_property("textContent")


def test_a_layup_of_two_pots_is_for_everybody(chrome: Chrome, yard: hung.Yard) -> None:
    """Each pot with its own gel and trouble, on a phone, on a wall and on one sheet of paper."""
    layup = yard.two_pots()
    page = f"{yard.url}/layups/{layup}"
    for size in SIZES.values():
        sized(chrome, *size)
        chrome.get(page)
        assert axe.violations(chrome) == []
        assert chrome.execute_script(BEYOND) == 0
    assert "suspect" in words(chrome, ".stack")
    assert "400 g LAM, SOON-2/1; 6 g PEROX, NEW-5/1" in words(chrome, ".stack").replace("\n", " ")
    assert len(printed(chrome, paperWidth=8.27, paperHeight=11.69)) == 1
    yard.seen(layup, "scraped_off")


def test_long_names_are_broken(chrome: Chrome, yard: hung.Yard) -> None:
    """One word as long as a title may be does not push a phone's page sideways."""
    sized(chrome, *SIZES["phone"])
    layup = yard.laid("W" * 200, 5)
    for page in ("/", f"/layups/{layup}"):
        chrome.get(yard.url + page)
        assert chrome.execute_script(BEYOND) == 0, page
    yard.seen(layup, "scraped_off")


def test_a_new_layup_comes_by_itself(chrome: Chrome, yard: hung.Yard) -> None:
    """Without the page being loaded again; a link that has the focus keeps it."""
    sized(chrome, *SIZES["wall"])
    chrome.get(yard.url)
    chrome.execute_script(
        "window.same = true; document.querySelector('a[href=\"/layups/2\"]').focus();"
    )
    yard.laid("Breasthook, two plies", 0.05)
    chrome.execute_script(LATER, 31)
    until(chrome, "#yard", "Breasthook")
    assert chrome.execute_script("return window.same")
    assert chrome.execute_script("return document.activeElement.pathname") == "/layups/2"
    assert words(chrome, "#lost") == ""


def test_a_tab_that_slept_says_so_at_once(chrome: Chrome, yard: hung.Yard) -> None:
    """Before anything is asked for, and not any longer once the answer is there."""
    chrome.get(yard.url)
    chrome.execute_script(
        "window.said = []; new MutationObserver(() => said.push([document.body.className,"
        " document.getElementById('lost').textContent]))"
        ".observe(document.getElementById('lost'), {childList: true});" + LATER,
        3600,
    )
    WebDriverWait(chrome, HANGS_S).until(lambda seen: len(seen.execute_script("return said")) >= 2)
    (slept, awake) = chrome.execute_script("return said")[:2]
    assert slept[0] == "wall old"
    assert re.match(r"No word since \d\d:\d\d\. It is \d\d:\d\d: go and look\.", slept[1])
    assert awake == ["wall", ""]


def test_a_lost_service_is_told_and_so_is_its_return(
    chrome: Chrome, hand: Hand, yard: hung.Yard
) -> None:
    """After two minutes without word it is dimmed and dated: no deadline stands out any more."""
    sized(chrome, *SIZES["wall"])
    with hand.serving() as url:
        chrome.get(url)
        assert "now" in words(chrome, ".hours")
    port = int(url.rpartition(":")[2])
    chrome.execute_script(LATER, 90)
    assert words(chrome, "#lost") == ""
    chrome.execute_script(LATER, 31)
    until(chrome, "#lost", "No word since")
    assert re.match(
        r"No word since \d\d:\d\d\. It is \d\d:\d\d: go and look\.", words(chrome, "#lost")
    )
    assert "now" not in words(chrome, ".hours")
    assert not chrome.find_element(By.CSS_SELECTOR, ".as-of").is_displayed()
    assert axe.violations(chrome) == []
    with hand.serving(port):
        chrome.execute_script(LATER, 10)
        WebDriverWait(chrome, HANGS_S).until(lambda seen: words(seen, "#lost") == "")
        assert "now" in words(chrome, ".hours")


def test_a_wall_that_is_locked_asks_for_a_token(chrome: Chrome, tmp_path: Path) -> None:
    """The first token was made while it hung there: it shows nothing of the yard any more."""
    keeper = Hand.at(tmp_path, database=str(tmp_path / "yard.sqlite"), zone="UTC", hand="Ada")
    with keeper.serving() as url:
        chrome.get(url)
        assert "an empty yard" in words(chrome, "#yard")
        keeper.types("token add Rui --role viewer")
        chrome.execute_script(LATER, 31)
        until(chrome, "main", "Your token")


def test_without_script_it_is_the_same_page(chrome: Chrome, yard: hung.Yard) -> None:
    """Drawn by the service, dated, and renewed by the browser itself."""
    chrome.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    try:
        chrome.get(yard.url)
        assert "Plies 4 to 6" in words(chrome, "#yard")
        assert chrome.find_element(By.CSS_SELECTOR, ".ribbon .band").is_displayed()
        assert chrome.find_elements(By.CSS_SELECTOR, "noscript meta[http-equiv=refresh]")
    finally:
        chrome.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})


@pytest.mark.parametrize(("page", "sheets"), [("/", 2), ("/layups/1", 1)])
def test_it_prints(chrome: Chrome, yard: hung.Yard, page: str, sheets: int, tmp_path: Path) -> None:
    """On A4: a dozen layups with the store on two sheets, a layup on one."""
    chrome.get(yard.url + page)
    assert 1 <= len(printed(chrome, paperWidth=8.27, paperHeight=11.69)) <= sheets


def test_a_layup_is_one_sheet_of_a4(chrome: Chrome, yard: hung.Yard) -> None:
    """As the page asks for it: its state, what to do, its times and pots; light for any screen."""
    layup = yard.two_pots()
    looked = ("the rim", "the keel", "under the tape", "the forefoot", "the hatch", "the stem")
    for place, where in enumerate(looked):
        seen = {
            "kind": "not_gelled",
            "at": hung.ago(0.04 - place / 1000),
            "note": f"wet at {where}",
        }
        yard.post(f"layups/{layup}/observations", **seen)
    features = [{"name": "prefers-color-scheme", "value": "dark"}]
    chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    try:
        chrome.get(f"{yard.url}/layups/{layup}")
        paper = pdf(chrome)
        sizes = [[round(side) for side in sheet] for sheet in printed(chrome)]
    finally:
        chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    assert sizes == [[210, 297]]
    (words,) = written(paper)
    for told in (
        "Bow tabbing", f"Layup {layup}, laminate, job D-7", "suspect", "Milestones", "Pots",
        "500 g LAM", "SOON-2/1", "Observations", "wet at the stem", "taken back by", "no licence",
    ):  # fmt: skip
        assert told in words, told
    grey = drawn(paper, 3).convert("L")
    assert grey.getpixel((3, 3)) == 255
    assert ImageStat.Stat(grey).mean[0] > 220
    yard.seen(layup, "scraped_off")
