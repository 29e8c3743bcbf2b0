"""A mix card and labels in a real browser: in a hand, on paper, and before a reader."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO

import pytest
import zxingcpp
from PIL import Image
from selenium.webdriver import Chrome

from ..axe import violations
from ..browser import printed, show
from .conftest import Record, recorded

CURE = {
    "with": ["PEROX"], "mix": {"kind": "catalysed"}, "surface": "air_inhibited",
    "reference": {"temperature": "20 degC", "catalyst_percent": 2},
    "gel_times": [{"temperature": "20 degC", "catalyst_percent": 2, "time": "20 min"}],
    "catalyst_percent_min": 1, "catalyst_percent_max": 3, "pot_max": "5 kg",
    "milestones": {"recoat_opens": "2 h"},
}  # fmt: skip
RECORD: Record = (
    ("products", {"code": "PEROX", "name": "Peroxide", "role": "catalyst", "density": "1.15 kg/L"}),
    ("products", {"code": "LAM", "name": "Polyester", "role": "resin", "chemistry": "polyester",
                  "density": "1.1 kg/L", "cure": CURE}),
    ("products", {"code": "MICROS", "name": "Microballoons", "role": "filler"}),
    ("products", {"code": "SILICA", "name": "Fumed silica", "role": "filler"}),
    ("products", {"code": "COBALT", "name": "Cobalt, 6 %", "role": "promoter"}),
    ("lots", {"product": "PEROX", "number": "P-14", "quantity": "1 kg"}),
    ("lots", {"product": "LAM", "number": "B-2207", "quantity": "1 kg"}),
    ("lots", {"product": "LAM", "number": "B-2208", "quantity": "3 kg"}),
    ("lots", {"product": "MICROS", "number": "C-3", "quantity": "3 kg"}),
    ("lots", {"product": "SILICA", "number": "S-9", "quantity": "3 kg"}),
    ("lots", {"product": "COBALT", "number": "K-1", "quantity": "1 kg"}),
    ("jobs", {"number": "26-014", "title": "Transom, inner skin", "craft": "the ketch Teal"}),
    ("batches", {"resin": "LAM", "amount": "2 kg", "temperature": "19 degC", "job": "26-014",
                 "catalyst_percent": 1.8,
                 "fillers": [{"product": "MICROS", "quantity": "120 g"}]}),
    ("batches/1/observations", {
        "kind": "lost", "note": "gelled in the cup while the mat was still being cut"}),
    ("batches", {"resin": "LAM", "amount": "1.9 kg", "temperature": "12 degC", "job": "26-014",
                 "catalyst_percent": 1.1,
                 "promoter": {"product": "COBALT", "quantity": "8 g"},
                 "fillers": [{"product": "MICROS", "quantity": "120 g"},
                             {"product": "SILICA", "quantity": "60 g"}]}),
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
