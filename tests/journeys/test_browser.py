"""A real browser: what another site's page can do to a yard (nothing), and how a person comes in.

OWASP API Security Top 10 (2023): API8 security misconfiguration.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from selenium.common.exceptions import StaleElementReferenceException
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import WebDriverWait

from ..waiting import HANGS_S
from .conftest import Hand
from .hostile import DRAW, site

ASK = """
const done = arguments[arguments.length - 1];
fetch(arguments[0], {method: arguments[1], headers: {"Content-Type": "application/json"},
                     body: arguments[1] === "GET" ? undefined : JSON.stringify(arguments[2])})
  .then(async answer => done([answer.status, (await answer.json()).type || ""]))
  .catch(fault => done([0, String(fault)]));
"""
"""What a page's own script is answered by an address: status and problem."""


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store with 20 kg of resin and a job, and no tokens."""
    file = tmp_path_factory.mktemp("yard") / "yard.sqlite"
    hand = Hand.at(file.parent, database=str(file), zone="UTC", hand="Ada")
    for line in (
        "product add LAM --name Resin --role resin",
        "lot receive LAM '20 kg' --number B-1",
        "job open D-7 --title Stem --craft Teal",
    ):
        hand.types(line)
    return file


@pytest.fixture
def owner(yard: Path, tmp_path: Path) -> Hand:
    """Whoever keeps a copy of that store."""
    shutil.copy(yard, tmp_path)
    return Hand.at(tmp_path, database=str(tmp_path / yard.name), hand="Ada")


def on_hand(owner: Hand) -> dict[str, Any]:
    """What is left of the resin."""
    left: dict[str, Any] = owner.types("lot show 1 --json").json["on_hand"]
    return left


def asked(chrome: Chrome, address: str, method: str = "GET") -> tuple[int, str]:
    """What the page in the browser is answered: status, and slug of a problem."""
    status, kind = chrome.execute_async_script(ASK, address, method, DRAW)
    return status, str(kind).rpartition("/")[2]


def attack(chrome: Chrome, port: int, target: str) -> None:
    """Visit the hostile site, and wait until its page has tried everything."""
    chrome.get(f"http://evil.example:{port}/?{target}")
    WebDriverWait(chrome, HANGS_S).until(lambda seen: seen.title == "done")


def test_another_sites_page_draws_nothing(chrome: Chrome, owner: Hand) -> None:
    """By either of this machine's names; a victim without a guard would have been drawn from."""
    with site() as evil, site() as victim:
        attack(chrome, evil.port, f"http://127.0.0.1:{victim.port}")
        assert len([body for body in victim.posted if b'"draw"' in body]) >= 2
        with owner.serving() as url:
            for target in (url, url.replace("127.0.0.1", "localhost")):
                attack(chrome, evil.port, target)
    assert on_hand(owner) == {"value": 20.0, "unit": "kg"}


def test_a_name_that_is_pointed_at_this_machine_opens_nothing(chrome: Chrome, owner: Hand) -> None:
    """A page comes from a site whose name then leads to the yard: one origin to a browser."""
    with site() as evil:
        port = evil.port
        chrome.get(f"http://rebound.example:{port}/?http://127.0.0.1:9")
        WebDriverWait(chrome, HANGS_S).until(lambda seen: seen.title == "done")
    with owner.serving(port):
        # A browser may still hold a line that it opened to the site that was: ask until it is gone.
        refused = (403, "foreign-host")
        wait = WebDriverWait(chrome, HANGS_S)
        wait.until(lambda seen: asked(seen, "/v1/lots") == refused)
        wait.until(lambda seen: asked(seen, "/v1/movements", "POST") == refused)
        chrome.get(f"http://localhost:{port}/docs")
        assert asked(chrome, "/v1/movements", "POST")[0] == 201  # this yard's own page may
    assert on_hand(owner) == {"value": 19.0, "unit": "kg"}


def test_a_person_comes_in_looks_and_leaves(chrome: Chrome, owner: Hand) -> None:
    """By the form; the pass is hidden from scripts, and of no use under /v1."""
    secret = owner.types("token add Rui --role hand --json").json["token"]
    with owner.serving() as url:
        chrome.get(f"{url}/enter?to=/enter")
        chrome.find_element(By.NAME, "token").send_keys("cureyard_wrong")
        chrome.find_element(By.TAG_NAME, "button").click()
        assert "not known here" in chrome.find_element(By.CSS_SELECTOR, "[role=alert]").text
        chrome.find_element(By.NAME, "token").send_keys(secret)
        chrome.find_element(By.TAG_NAME, "button").click()
        # The address stays the same: the page before may still be there at the first look.
        next_page = WebDriverWait(
            chrome, HANGS_S, ignored_exceptions=[StaleElementReferenceException]
        )
        next_page.until(lambda seen: "Rui (hand)" in seen.find_element(By.TAG_NAME, "main").text)
        assert secret not in chrome.current_url
        assert chrome.execute_script("return document.cookie") == ""
        (kept,) = chrome.get_cookies()
        assert (kept["httpOnly"], kept["sameSite"]) == (True, "Strict")
        assert asked(chrome, "/v1/lots") == (401, "not-authenticated")
        assert asked(chrome, "/v1/movements", "POST") == (401, "not-authenticated")
        chrome.find_element(By.TAG_NAME, "button").click()
        WebDriverWait(chrome, HANGS_S).until(lambda seen: seen.find_elements(By.NAME, "token"))
        assert chrome.get_cookies() == []
