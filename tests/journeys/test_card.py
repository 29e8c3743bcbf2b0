"""A mix card and labels in a real browser: in a hand, on paper, and before a reader."""

from __future__ import annotations

import base64
import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from selenium.webdriver import Chrome

from ..axe import violations
from ..browser import browser
from .conftest import Hand

pytestmark = pytest.mark.timeout(180)

YARD = (
    "product add PEROX --name Peroxide --role catalyst --density '1.15 kg/L'",
    "product add LAM --name Polyester --role resin --chemistry polyester --density '1.1 kg/L' "
    "--mix catalysed --surface air_inhibited --with PEROX --reference '20 degC' 2 "
    "--gel-time '20 degC' 2 '18-22 min' --percent-min 1 --percent-max 3 --recoat-opens '2 h' "
    "--pot-max '5 kg'",
    "product add MICROS --name Microballoons --role filler",
    "lot receive PEROX '1 kg' --number P-14",
    "lot receive LAM '1 kg' --number B-2207",
    "lot receive LAM '20 kg' --number B-2208",
    "lot receive MICROS '3 kg' --number C-3",
    "job open 26-014 --title 'Transom, inner skin' --craft 'the ketch Teal'",
    "yard set --address https://yard.example",
    "mix LAM '2 kg' --temperature '19 degC' --percent 1.8 --job 26-014 --filler MICROS '120 g'",
    "batch observe 1 lost --note 'gelled in the cup while the mat was still being cut'",
)


@pytest.fixture(scope="module")
def chrome() -> Iterator[Chrome]:
    """The browser."""
    with browser() as opened:
        yield opened


@pytest.fixture(scope="module")
def url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A yard where a pot was lost, served."""
    folder = tmp_path_factory.mktemp("yard")
    hand = Hand.at(folder, database=str(folder / "yard.sqlite"), zone="UTC", hand="Ada")
    for line in YARD:
        hand.types(line)
    with hand.serving() as served:
        yield served


def show(chrome: Chrome, address: str, width: int, height: int, scale: float = 1) -> None:
    """Open a page on a screen of a size."""
    chrome.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": width, "height": height, "deviceScaleFactor": scale, "mobile": False},
    )
    chrome.get(address)


@pytest.mark.parametrize("width", [1280, 360])
def test_nothing_is_in_the_way(chrome: Chrome, url: str, width: int) -> None:
    """WCAG 2.2 AA by axe, and nothing wider than the screen."""
    show(chrome, f"{url}/batches/1", width, 800)
    assert violations(chrome) == []
    assert chrome.execute_script("return document.documentElement.scrollWidth") <= width


def test_a_card_is_one_sheet_of_a6(chrome: Chrome, url: str) -> None:
    """105 × 148 mm, with two lots of resin, a filler, warnings and a note on it."""
    show(chrome, f"{url}/batches/1", 1280, 800)
    printed = chrome.execute_cdp_cmd("Page.printToPDF", {"preferCSSPageSize": True})
    pdf = base64.b64decode(printed["data"])
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) == 1
    (box,) = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    across, down = (float(side) / 72 * 25.4 for side in box)
    assert (across, down) == (pytest.approx(105, abs=0.5), pytest.approx(148, abs=0.5))


@pytest.mark.parametrize("page", ["lots/1", "batches/1"])
def test_a_drawn_label_is_scanned(chrome: Chrome, url: str, page: str, tmp_path: Path) -> None:
    """As a printer would draw it, at 60 × 40 mm; the page that it holds is there."""
    show(chrome, f"{url}/{page}/label.svg", 227, 152, scale=3)
    with Image.open(BytesIO(chrome.get_screenshot_as_png())) as seen:
        (found,) = zxingcpp.read_barcodes(seen)
    assert found.text == f"https://yard.example/{page}"
    chrome.get(found.text.replace("https://yard.example", url))
    heading = chrome.execute_script("return document.querySelector('h1').innerText")
    assert heading.startswith({"lots/1": "Lot P-14", "batches/1": "Pot 1"}[page])
