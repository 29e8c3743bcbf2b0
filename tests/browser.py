"""A real browser without a screen, where the machine has one; every `*.example` is this machine."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from selenium import webdriver
from selenium.webdriver.chrome.service import Service

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
        opened.set_page_load_timeout(30)
        opened.set_script_timeout(30)
        opened.implicitly_wait(10)
        yield opened
    finally:
        opened.quit()
