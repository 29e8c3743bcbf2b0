"""Pages of record in a real browser: on a screen, in a hand, and on a sheet of paper."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By

from .. import makers
from ..axe import violations
from ..browser import printed, show
from .conftest import Record, recorded

PAGES = ("/jobs", "/jobs/D-7", "/jobs/D-7/cuts", "/lots", "/lots/1", "/products", "/products/LAM",
         "/lots/99", "/docs/plan")  # fmt: skip
WIDTHS = (1280, 360)
A_RANGE = {"temperature": "20 degC", "catalyst_percent": 2, "from": "18 min", "to": "22 min"}
CURE = makers.sheet(gel_times=[A_RANGE, makers.gel_time("30 degC", "20 min", 1)])
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
    ("jobs/D-7/needs", {"needs": [{"product": "MAT", "pieces": [
        {"length": "1.4 m", "count": 3}, {"length": "0.9 m", "count": 2}]}]}),
    ("movements", makers.draw("BUB", "200 g")),
    ("movements", makers.draw("MAT", "1.4 m")),
    *(each for n in (1, 2, 3) for each in (
        ("batches", makers.pot("LAM", "1.5 kg")),
        ("layups", makers.layup(n, title=f"Plies {n}", over=n - 1 or None)),
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
    refused = [line for line in chrome.get_log("browser") if "404" not in line["message"]]
    assert refused == []


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
