"""Make pictures of the wall in each of its forms, to look at.

    python -m tests.journeys.wall_pictures FOLDER

The yard is invented; nothing compares the pictures.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

from selenium.webdriver import Chrome

from ..browser import browser, show
from . import hung
from .conftest import Hand

LATER = "const real = Date.now; Date.now = () => real() + 26 * 60 * 1000; gotMs = real(); tell();"
"""The browser's clock, 26 minutes on, before anything is asked for."""
SCREENS = {"": (1920, 1080), "laptop": (1280, 800), "phone": (390, 844)}


def main(folder: Path) -> None:
    """Make all of them."""
    folder.mkdir(parents=True, exist_ok=True)
    with browser() as chrome:
        for rows in (0, 4, 12, 26, 38):
            with tempfile.TemporaryDirectory() as home:
                hand = Hand.at(Path(home), database=f"{home}/yard.sqlite", zone="UTC", hand="Ada")
                with hand.serving() as url:
                    yard = hung.furnished(url)
                    hung.stocked(yard)
                    hung.crowd(yard, rows)
                    pictures(chrome, url, f"{folder}/wall-{rows}")


def pictures(chrome: Chrome, url: str, name: str) -> None:
    """One wall on each screen, in the dark, and old."""
    for screen, size in SCREENS.items():
        show(chrome, url, *size)
        chrome.save_screenshot(f"{name}{screen and '-'}{screen}.png")
    dark(chrome, True)
    show(chrome, url, *SCREENS[""])
    chrome.save_screenshot(f"{name}-dark.png")
    dark(chrome, False)
    show(chrome, url, *SCREENS[""])
    chrome.execute_script(LATER)
    chrome.save_screenshot(f"{name}-old.png")


def dark(chrome: Chrome, wanted: bool) -> None:
    """Whether the screen asks for dark pages."""
    value = "dark" if wanted else "light"
    feature = {"name": "prefers-color-scheme", "value": value}
    chrome.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [feature]})


if __name__ == "__main__":
    main(Path(sys.argv[1]))
