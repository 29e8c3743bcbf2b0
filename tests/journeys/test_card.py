"""A mix card and labels in a real browser: in a hand, on paper, and before a reader."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO

import pytest
import zxingcpp
from PIL import Image
from selenium.webdriver import Chrome

from .. import makers
from ..axe import violations
from ..browser import printed, show
from .conftest import Record, recorded

MICROS = {"product": "MICROS", "quantity": "120 g"}
RECORD: Record = (
    ("products", makers.catalyst()),
    ("products", makers.resin(cure=makers.sheet(pot_max="5 kg"))),
    ("products", makers.product("MICROS", "filler", name="Microballoons")),
    ("products", makers.product("SILICA", "filler", name="Fumed silica")),
    ("products", makers.product("COBALT", "promoter", name="Cobalt, 6 %")),
    ("lots", makers.lot("PEROX", "1 kg", "P-14")),
    ("lots", makers.lot("LAM", "1 kg", "B-2207")),
    ("lots", makers.lot("LAM", "3 kg", "B-2208")),
    ("lots", makers.lot("MICROS", "3 kg", "C-3")),
    ("lots", makers.lot("SILICA", "3 kg", "S-9")),
    ("lots", makers.lot("COBALT", "1 kg", "K-1")),
    ("jobs", makers.job("26-014", title="Transom, inner skin")),
    ("batches", makers.pot("LAM", "2 kg", job="26-014", temperature="19 degC",
                           catalyst_percent=1.8, fillers=[MICROS])),
    ("batches/1/observations", {
        "kind": "lost", "note": "gelled in the cup while the mat was still being cut"}),
    ("batches", makers.pot("LAM", "1.9 kg", job="26-014", temperature="12 degC",
                           catalyst_percent=1.1, promoter={"product": "COBALT", "quantity": "8 g"},
                           fillers=[MICROS, {"product": "SILICA", "quantity": "60 g"}])),
    ("batches/2/observations", {
        "kind": "gelled", "note": "warm at the rim first, still soft in the middle of the pot"}),
    ("batches/2/observations", {
        "kind": "lost", "note": "stood in the sun; smoked, and went outdoors on bare ground"}),
)  # fmt: skip


@pytest.fixture(scope="module")
def url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A yard where two pots were lost, served."""
    with recorded(tmp_path_factory.mktemp("yard"), RECORD) as (served, session):
        named = {"address": "https://yard.example"}
        answer = session.patch(f"{served}/v1/yard", json=named, headers={"If-Match": "*"})
        assert answer.status_code == 200, answer.text
        yield served


@pytest.mark.parametrize("width", [1280, 360])
def test_nothing_is_in_the_way(chrome: Chrome, url: str, width: int) -> None:
    """WCAG 2.2 AA by axe, and nothing wider than the screen."""
    show(chrome, f"{url}/batches/1", width, 800)
    assert violations(chrome) == []
    assert chrome.execute_script("return document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("pot", [1, 2])
def test_a_card_is_one_sheet_of_a6(chrome: Chrome, url: str, pot: int) -> None:
    """105 × 148 mm, with a filler, warnings and a note on it.

    The second pot has two lots of resin, a promoter, two fillers, five warnings and two notes.
    """
    show(chrome, f"{url}/batches/{pot}", 1280, 800)
    ((across, down),) = printed(chrome)
    assert (across, down) == (pytest.approx(105, abs=0.5), pytest.approx(148, abs=0.5))


@pytest.mark.parametrize("page", ["lots/1", "batches/1"])
def test_a_drawn_label_is_scanned(chrome: Chrome, url: str, page: str) -> None:
    """As a printer would draw it, at 60 × 40 mm; the page that it holds is there."""
    show(chrome, f"{url}/{page}/label.svg", 227, 152, scale=3)
    with Image.open(BytesIO(chrome.get_screenshot_as_png())) as seen:
        (found,) = zxingcpp.read_barcodes(seen)
    assert found.text == f"https://yard.example/{page}"
    chrome.get(found.text.replace("https://yard.example", url))
    heading = chrome.execute_script("return document.querySelector('h1').innerText")
    assert heading.startswith({"lots/1": "Lot P-14", "batches/1": "Pot 1"}[page])
