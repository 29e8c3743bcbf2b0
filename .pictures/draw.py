"""Draw the README's pictures: the demo's yard on a busy afternoon, in a real browser.

    PYTHONPATH=. .venv/bin/python .pictures/draw.py

It needs chromium with its chromedriver. Both clocks stand, so a new run draws the same yard.
"""

from __future__ import annotations

import base64
import shlex
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path
from types import SimpleNamespace
from zoneinfo import ZoneInfo

from cureyard_client import clock, embedded
from cureyard_client.asking import Ask, Start
from cureyard_client.commands.demo import tell
from cureyard_client.main import program
from cureyard_client.settings import Settings
from cureyard_service.web.app import create_app
from cureyard_service.web.context import settings as service
from PIL import Image
from selenium.webdriver import Chrome
from werkzeug.serving import make_server

from tests.browser import browser, show

HERE = Path(__file__).parent
ZONE = "Europe/Lisbon"
NOW = datetime(2026, 6, 18, 14, 10, tzinfo=ZoneInfo(ZONE))
WIDEST = 1280
"""Px of a picture at most."""
DEMO = NOW - timedelta(minutes=20)

BESIDES = """
bay add TENT --title "Heated tent" --day 24C --night 22C --day-from 07:00 --day-until 19:00
bay read TENT 23.6C --humidity 48 --at 06:40
bay read TENT 24.4C --humidity 46 --at 10:15
bay read TENT 24.1C --humidity 45 --at 14:05
bay read SHED 22.6C --humidity 58 --at 14:05
product add LAM-EP --name "Laminating epoxy" --role resin --chemistry epoxy --mix two_part \
  --parts 100 30 --by mass --surface amine_blush --reference 20C - --gel-time 20C - 30min \
  --recoat-opens 3h --recoat-closes 16h --sandable 24h --full-cure 7d
job open D-9 --title "Transom, inner skin" --craft "the ketch Teal" --structural no
job open D-10 --title "Rudder cheek" --craft "the dory Plover" --structural no
job need D-9 MAT-450 "34 m" --needed-on 2026-06-22
lot receive PEROX-9 "1 kg" --number P-09 --expires-on 2026-06-24 --received-on 2026-01-10
product add MICROS --name "Microballoons" --role filler
lot receive MICROS "3 kg" --number C-3
layup start D-9 "Transom, plies 4 to 6" --kind laminate --bay SHED --product LAM-PE \
  --percent 1.5 --surface-temperature 20C --at 07:10
layup start D-9 "Knees, port side" --kind bond --bay SHED --product LAM-PE \
  --percent 1.5 --surface-temperature 21C --at 11:20
layup start D-10 "Rudder cheek, first layer" --kind laminate --bay TENT --product LAM-EP \
  --surface-temperature 23C --at 08:20
layup start D-10 "Tiller, second coat" --kind coat --bay TENT --product LAM-EP \
  --surface-temperature 23C --at "yesterday 15:30"
mix LAM-PE "800 g" --temperature 21.5C --gel "22 min" --filler MICROS "60 g" --job D-9 --at 14:08
"""
"""What else is done at the yard, so that it is as busy as one is."""


def main() -> None:
    """Draw both pictures."""
    with tempfile.TemporaryDirectory() as folder, browser() as chrome:
        chrome.execute_cdp_cmd("Emulation.setScrollbarsHidden", {"hidden": True})
        # without the page's script: it would find that the browser's clock is another
        chrome.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
        settings = Settings(database=f"{folder}/yard.sqlite", zone=ZONE, hand="Ines")
        stand_at(DEMO)
        tell(Ask(settings), Path(folder))
        stand_at(NOW)
        for line in BESIDES.strip().splitlines():
            program.main(shlex.split(line), standalone_mode=False, obj=Start(given=settings))
        with served(settings) as url:
            keep(chrome, url, "wall", 1920, 1080)
            keep(chrome, f"{url}/batches/3", "mix_card", 600)


def stand_at(moment: datetime) -> None:
    """Let the program and the service know no other moment."""
    clock.now = lambda: moment
    service.time = SimpleNamespace(time=moment.timestamp)


@contextmanager
def served(settings: Settings) -> Iterator[str]:
    """The yard's address while it is served."""
    app = create_app(embedded.service_settings(settings))
    server = make_server("127.0.0.1", 0, app, threaded=True)
    threading.Thread(target=server.serve_forever).start()
    try:
        yield f"http://127.0.0.1:{server.port}"
    finally:
        server.shutdown()
        embedded.close()


def keep(chrome: Chrome, address: str, name: str, width: int, height: int = 800) -> None:
    """Write a page, so many px wide and as high as it is."""
    show(chrome, address, width, height)
    whole = chrome.execute_cdp_cmd("Page.captureScreenshot", {"captureBeyondViewport": True})
    with Image.open(BytesIO(base64.b64decode(whole["data"]))) as seen:
        seen.thumbnail((WIDEST, WIDEST))
        seen.convert("RGB").save(HERE / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main()
