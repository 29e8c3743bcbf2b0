"""From box to thumb: the yard's network, a code on the terminal, a real browser that scans it.

OWASP API Security Top 10 (2023): API2 broken authentication, API8 security misconfiguration.
"""

from __future__ import annotations

import base64
import hashlib
import signal
import ssl
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
import requests
import zxingcpp
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import WebDriverWait

from ..browser import browser, sized
from ..client.test_qr import screen
from ..waiting import HANGS_S
from .conftest import CUREYARD, Hand

PHONE = (390, 844)


@pytest.fixture(scope="module")
def keeper(tmp_path_factory: pytest.TempPathFactory) -> Hand:
    """Who keeps a yard with a job, and has made a token for an admin."""
    folder = tmp_path_factory.mktemp("yard")
    hand = Hand.at(folder, database=str(folder / "yard.sqlite"), zone="UTC", hand="Ada")
    hand.types("token add Ada --role admin")
    return hand


@contextmanager
def on_network(keeper: Hand) -> Iterator[tuple[str, Path]]:
    """`cureyard serve --lan`: the network's address, and the certificate's file."""
    server = subprocess.Popen(
        [CUREYARD, "serve", "--lan", "--address", "127.0.0.1", "--port", "0"],
        env=keeper.environment, stderr=subprocess.PIPE, text=True, encoding="utf-8",
    )  # fmt: skip
    assert server.stderr is not None
    try:
        lines = [server.stderr.readline() for _ in range(3)]
        assert lines[1].startswith("Serving the yard's network at https://"), lines
        store = Path(keeper.environment["CUREYARD_DATABASE"])
        yield lines[1].split()[-1], store.with_name(f"{store.name}.lan") / "certificate.pem"
    finally:
        server.send_signal(signal.SIGTERM)
        _, rest = server.communicate(timeout=HANGS_S)
    assert server.returncode == 0, rest
    assert "Traceback" not in rest


@contextmanager
def phone(trusted: Path) -> Iterator[Chrome]:
    """A browser of a phone's size, whose person has accepted that certificate and no other."""
    key = x509.load_pem_x509_certificate(trusted.read_bytes()).public_key()
    spki = key.public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    pin = base64.b64encode(hashlib.sha256(spki).digest()).decode()
    with browser(f"--ignore-certificate-errors-spki-list={pin}") as opened:
        sized(opened, *PHONE)
        yield opened


def scanned(keeper: Hand, name: str) -> str:
    """Add a phone, and read the code on the terminal with a camera's eyes."""
    shown = keeper.types(f"phone add {name} --role hand").out.splitlines()
    code = [line for line in shown if set(line) <= set(" ▀▄█")]
    styled = [f"\x1b[38;5;16;48;5;231m{line}\x1b[0m" for line in code]  # a pipe has no colours
    (found,) = zxingcpp.read_barcodes(screen(styled, "dark"))
    assert found.text in shown
    address: str = found.text
    return address


def press(chrome: Chrome) -> None:
    """Press the page's one button."""
    (button,) = chrome.find_elements(By.TAG_NAME, "button")
    button.click()


def is_in(chrome: Chrome, address: str) -> bool:
    """Whether the wall is shown, not the entrance."""
    chrome.get(f"{address}/")
    return not chrome.current_url.startswith(f"{address}/enter")


def test_from_box_to_thumb(keeper: Hand) -> None:
    """A code is scanned, its button pressed; a second scan is refused; removed, it is out."""
    with on_network(keeper) as (address, trusted), phone(trusted) as chrome:
        code = scanned(keeper, "Rui")
        assert code.startswith(f"{address}/pair/")
        preview = requests.get(code, verify=trusted, timeout=HANGS_S)
        assert preview.status_code == 200
        chrome.get(code)
        assert "Rui" in chrome.find_element(By.TAG_NAME, "main").text
        press(chrome)
        WebDriverWait(chrome, HANGS_S).until(lambda seen: seen.current_url == f"{address}/")
        (kept,) = chrome.get_cookies()
        assert (kept["httpOnly"], kept["sameSite"], kept["secure"]) == (True, "Strict", True)
        assert chrome.execute_script("return document.cookie") == ""
        assert "in" in keeper.types("phone list").out
        with phone(trusted) as second:
            second.get(code)
            assert "was used" in second.find_element(By.CSS_SELECTOR, "[role=alert]").text
            assert second.find_elements(By.TAG_NAME, "button") == []
            assert second.get_cookies() == []
            assert not is_in(second, address)
        chrome.get(code)
        assert "is in already, as Rui" in chrome.find_element(By.TAG_NAME, "main").text
        assert is_in(chrome, address)
        keeper.types("phone remove Rui --reason lost")
        assert not is_in(chrome, address)
        assert "lost" in keeper.types("phone list").out


def test_who_leaves_is_out_for_good(keeper: Hand) -> None:
    """A copy of the cookie too; the code of another day can't be pressed again."""
    with on_network(keeper) as (address, trusted), phone(trusted) as chrome:
        chrome.get(scanned(keeper, "Eva"))
        press(chrome)
        WebDriverWait(chrome, HANGS_S).until(lambda seen: seen.current_url == f"{address}/")
        copy = {cookie["name"]: cookie["value"] for cookie in chrome.get_cookies()}
        asked = {"verify": trusted, "timeout": HANGS_S, "allow_redirects": False}
        assert requests.get(f"{address}/jobs", cookies=copy, **asked).status_code == 200  # type: ignore[arg-type]
        chrome.get(f"{address}/enter")
        assert "Eva (hand)" in chrome.find_element(By.TAG_NAME, "main").text
        press(chrome)
        WebDriverWait(chrome, HANGS_S).until(lambda seen: seen.find_elements(By.NAME, "token"))
        assert chrome.get_cookies() == []
        assert requests.get(f"{address}/jobs", cookies=copy, **asked).status_code == 303  # type: ignore[arg-type]


def test_a_phone_stays_in_over_a_restart_and_the_certificate_too(keeper: Hand) -> None:
    """Nobody pairs or compares anew because the machine was switched off."""
    with on_network(keeper) as (_, trusted), phone(trusted) as chrome:
        chrome.get(scanned(keeper, "Kit"))
        press(chrome)
        before = trusted.read_bytes()
        WebDriverWait(chrome, HANGS_S).until(lambda seen: seen.get_cookies())
        (kept,) = chrome.get_cookies()
    with on_network(keeper) as (address, trusted):
        assert trusted.read_bytes() == before
        cookies = {kept["name"]: kept["value"]}
        told = requests.get(f"{address}/enter", cookies=cookies, verify=trusted, timeout=HANGS_S)
        assert "Kit" in told.text


def test_another_program_trusts_it_by_its_file(keeper: Hand, tmp_path: Path) -> None:
    """The command line of another machine, with the certificate's file and an admin's token."""
    secret = keeper.types("token add Ines --role admin --json").json["token"]
    with on_network(keeper) as (address, trusted):
        hand = Hand.at(tmp_path, url=address, token=secret)
        assert "not trusted" in hand.types("now", exits=3).err
        hand.environment["REQUESTS_CA_BUNDLE"] = str(trusted)
        hand.types("now")
        assert f"{address}/pair/cureyard_" in hand.types("phone add Kim --role viewer").out
        assert "waiting until" in hand.types("phone list").out
        assert "by Ines" in hand.types("phone remove Kim").out
        port = int(address.rpartition(":")[2])
        assert ssl.get_server_certificate(("127.0.0.1", port)) == trusted.read_text()
