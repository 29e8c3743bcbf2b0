"""A real browser without a screen, where the machine has one; every `*.example` is this machine."""

from __future__ import annotations

import base64
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pypdfium2
import pytest
from PIL import Image
from selenium import webdriver
from selenium.webdriver.chrome.service import Service

from .waiting import HANGS_S

ARGUMENTS = (
    "--headless=new",
    "--no-sandbox",  # tests may run as root, where it has none
    "--disable-dev-shm-usage",
    "--host-resolver-rules=MAP *.example 127.0.0.1",
)


@contextmanager
def browser(*more: str) -> Iterator[webdriver.Chrome]:
    """A browser with nothing in it; the test is skipped where there is none.

    Args:
        more: its further arguments.
    """
    program, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if program is None or driver is None:
        pytest.skip("this machine has no chromium with its chromedriver")
    options = webdriver.ChromeOptions()
    options.binary_location = program
    for argument in (*ARGUMENTS, *more):
        options.add_argument(argument)
    opened = webdriver.Chrome(options=options, service=Service(driver))
    try:
        opened.set_page_load_timeout(HANGS_S)
        opened.set_script_timeout(HANGS_S)
        opened.implicitly_wait(10)
        yield opened
    finally:
        opened.quit()


def sized(chrome: webdriver.Chrome, width: int, height: int = 800, scale: float = 1) -> None:
    """A screen of that size, in px of the page."""
    size = {"width": width, "height": height, "deviceScaleFactor": scale, "mobile": False}
    chrome.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)


def show(
    chrome: webdriver.Chrome, address: str, width: int, height: int = 800, scale: float = 1
) -> None:
    """Open a page on a screen of a size."""
    sized(chrome, width, height, scale)
    chrome.get(address)


def pdf(chrome: webdriver.Chrome, **paper: Any) -> bytes:
    """The page as it prints.

    Args:
        paper: as the browser's `Page.printToPDF` takes it; without any, as the page asks.
    """
    asked = paper or {"preferCSSPageSize": True}
    return base64.b64decode(chrome.execute_cdp_cmd("Page.printToPDF", asked)["data"])


def printed(chrome: webdriver.Chrome, **paper: Any) -> list[tuple[float, float]]:
    """The sheets that the page prints on, each across and down in mm. Arguments as `pdf`."""
    with pypdfium2.PdfDocument(pdf(chrome, **paper)) as sheets:
        sizes = [sheet.get_size() for sheet in sheets]
    return [(across / 72 * 25.4, down / 72 * 25.4) for across, down in sizes]


def written(sheets: bytes) -> list[str]:
    """The words on each printed sheet."""
    with pypdfium2.PdfDocument(sheets) as found:
        return [" ".join(sheet.get_textpage().get_text_range().split()) for sheet in found]


def drawn(sheets: bytes, dots_per_mm: float) -> Image.Image:
    """The first of printed sheets as it looks."""
    with pypdfium2.PdfDocument(sheets) as found:
        seen: Image.Image = found[0].render(scale=dots_per_mm / 72 * 25.4).to_pil().convert("RGB")
        return seen
