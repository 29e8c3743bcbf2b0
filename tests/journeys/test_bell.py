"""A bell that rings and a phone that subscribes: real receivers at the real program.

What rings at once is a layup in the cold: 'heat' is told as soon as it is recorded.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
from collections.abc import Iterator
from threading import Thread

import pytest
import requests
import vobject
from cureyard_service import topics
from selenium.webdriver.support.ui import WebDriverWait

from .. import makers
from ..browser import browser
from ..putting import by_http
from ..sse import Receiver
from ..waiting import HANGS_S, until
from .conftest import Hand

LISTENS = """
window.heard = [];
window.source = new EventSource("/v1/milestones");
window.source.onmessage = event => window.heard.push([event.lastEventId, event.data]);
"""


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Hand:
    """Whoever keeps a store."""
    folder = tmp_path_factory.mktemp("yard")
    return Hand.at(folder, database=str(folder / "yard.sqlite"), zone="UTC", hand="Ines")


@pytest.fixture(scope="module")
def served(yard: Hand) -> Iterator[str]:
    """The store's address: a resin, a job, a shed, and a barn that is far too cold."""
    with yard.serving() as url:
        by_http(url, **makers.yard())
        by_http(url, bays=[makers.bay("BARN", "4 degC")])
        yield url


def lay(url: str, title: str, bay: str = "BARN") -> None:
    """Record a layup."""
    by_http(url, layups=[makers.layup(title=title, kind="coat", bay=bay)])


def test_a_bell_rings_and_comes_back(served: str) -> None:
    """It hears a layup as it is recorded, misses none while it is away, and hears none twice."""
    bell, url = Receiver(), f"{served}/v1/milestones"
    listening = Thread(target=lambda: next(bell.listen(url, seconds=600)))
    listening.start()
    until(lambda: bell.retry is not None, "the stream")
    lay(served, "First")
    listening.join()
    lay(served, "Second")
    assert [told["title"] for told in bell.listen(url, seconds=0)] == ["Second"]
    assert [told["title"] for _, told in bell.heard] == ["First", "Second"]
    assert {told["milestone"] for _, told in bell.heard} == {"heat"}


def test_a_browser_hears_it(served: str) -> None:
    """By its own EventSource, on a page of the service."""
    with browser() as chrome:
        chrome.get(f"{served}/docs")
        chrome.execute_script(LISTENS)
        WebDriverWait(chrome, HANGS_S).until(
            lambda seen: seen.execute_script("return window.source.readyState") == 1
        )
        lay(served, "For the browser")
        heard = WebDriverWait(chrome, HANGS_S).until(
            lambda seen: seen.execute_script("return window.heard")
        )
    assert "For the browser" in heard[-1][1]
    assert heard[-1][0].isdecimal()


def test_a_phone_subscribes(yard: Hand, served: str) -> None:
    """The address that is shown once, asked as a calendar asks: it has no token and no header."""
    remote = Hand(yard.environment | {"CUREYARD_URL": served})
    lay(served, "Inner skin", "SHED")
    address = remote.types("calendar subscribe --bay SHED").out.splitlines()[0]
    assert address.startswith(f"{served}/calendar/cureyard_")
    told = vobject.readOne(requests.get(address, timeout=HANGS_S).text)
    craft = "the dory Teal"
    assert {event.summary.value for event in told.vevent_list} >= {
        f"{craft}, Inner skin: window {word}" for word in ("opens", "shuts, layer down by then")
    }  # fmt: skip
    remote.types("calendar revoke 1 --reason lost")
    assert requests.get(address, timeout=HANGS_S).status_code == 404


def let_in(url: str) -> requests.Response:
    """Listen, as soon as somebody who hung up has left a place."""

    def asked() -> requests.Response | None:
        answer = requests.get(url, stream=True, timeout=HANGS_S)
        return answer if answer.status_code == 200 else None

    got = until(asked, "a place")
    assert got is not None
    return got


def test_a_service_that_stops_waits_for_no_bell(yard: Hand) -> None:
    """And says nothing of it; what is open ends at once."""
    with yard.serving() as url:
        bells = [
            requests.get(f"{url}/v1/milestones", stream=True, timeout=HANGS_S) for _ in range(4)
        ]
        full = requests.get(f"{url}/v1/milestones", timeout=HANGS_S)
        assert (full.status_code, full.headers["Retry-After"]) == (503, "60")
        assert requests.get(f"{url}/v1/now", timeout=HANGS_S).status_code == 200
        bells.pop().close()
        bells.append(let_in(f"{url}/v1/milestones"))
    for bell in bells:
        assert b"id: " in bell.content
        bell.close()


@pytest.mark.skipif(shutil.which("curl") is None, reason="no curl on this machine")
def test_the_help_topics_line_rings(served: str) -> None:
    """As it stands there: a bell for the terminal, at the moment that it is told."""
    (block,) = (b for b in topics.topic("calendar").blocks if b.lines[0].startswith("curl"))
    line = block.lines[0].replace("http://127.0.0.1:8765", served)
    ringing = subprocess.Popen(["bash", "-c", line], stdout=subprocess.PIPE, start_new_session=True)
    try:
        assert ringing.stdout is not None
        rung: list[bytes] = []
        hearing = Thread(target=lambda: rung.append(ringing.stdout.read(1)))
        hearing.start()
        while hearing.is_alive():  # nothing tells when curl has begun to listen
            lay(served, "For the terminal")
            hearing.join(2)
        assert rung == [b"\a"]
    finally:
        os.killpg(ringing.pid, signal.SIGTERM)
        ringing.communicate()
