"""A real browser without a screen, where the machine has one; every `*.example` is this machine."""

from __future__ import annotations

import base64
import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest
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
def browser() -> Iterator[webdriver.Chrome]:
    """A browser with nothing in it; the test is skipped where there is none."""
    program, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if program is None or driver is None:
        pytest.skip("this machine has no chromium with its chromedriver")
    options = webdriver.ChromeOptions()
    options.binary_location = program
    for argument in ARGUMENTS:
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


def printed(chrome: webdriver.Chrome, **paper: Any) -> list[tuple[float, float]]:
    """The sheets that the page prints on, each across and down in mm.

    Args:
        paper: as the browser's `Page.printToPDF` takes it; without any, as the page asks.
    """
    asked = paper or {"preferCSSPageSize": True}
    pdf = base64.b64decode(chrome.execute_cdp_cmd("Page.printToPDF", asked)["data"])
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    assert len(boxes) == len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))
    return [(float(across) / 72 * 25.4, float(down) / 72 * 25.4) for across, down in boxes]
