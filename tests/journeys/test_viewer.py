"""The viewer of the interface in a real browser: under its own policy, and from here alone."""

from __future__ import annotations

from pathlib import Path

from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By

from .conftest import Hand


def test_the_viewer_shows_the_interface(tmp_path: Path, chrome: Chrome) -> None:
    """Every operation is there, opens with its fields, and no part of it is refused a browser."""
    owner = Hand.at(tmp_path, database=str(tmp_path / "yard.sqlite"), zone="UTC", hand="Ada")
    with owner.serving() as address:
        chrome.get(f"{address.rstrip('/')}/docs")
        blocks = chrome.find_elements(By.CSS_SELECTOR, "#viewer .opblock-tag-section")
        assert len(blocks) > 15
        chrome.find_element(By.ID, "operations-tag-lots").click()
        chrome.find_element(By.CSS_SELECTOR, "#operations-lots-add_lot button").click()
        told = chrome.find_element(By.CSS_SELECTOR, "#operations-lots-add_lot .opblock-body").text
        assert "A drum is received" in told
        loaded = chrome.execute_script(
            "return performance.getEntriesByType('resource').map(entry => entry.name)"
        )
        assert len(loaded) > 3
        assert [each for each in loaded if not each.startswith((address, "data:"))] == []
        severe = [line for line in chrome.get_log("browser") if line["level"] == "SEVERE"]
        assert [line["message"] for line in severe] == []
