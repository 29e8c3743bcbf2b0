"""Draw the README's pictures: the demo's yard on a busy afternoon, in a real browser.

    PYTHONPATH=. .venv/bin/python .pictures/draw.py [FOLDER]

It needs chromium with its chromedriver. Both clocks stand, so a new run draws the same yard.
"""

from __future__ import annotations

import base64
import shlex
import sys
import tempfile
import threading
import time
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

from tests.browser import browser, drawn, pdf, show

ZONE = "Europe/Lisbon"
NOW = datetime(2026, 6, 18, 14, 10, tzinfo=ZoneInfo(ZONE))
WIDEST = 1280
"""Px of a picture at most."""
TINTS = ((242, 194, 0), (11, 74, 111), (143, 29, 20), (31, 95, 78), (122, 74, 0), (242, 198, 122))
"""Colours of the yard that are seen in small spots, and would be lost among the others."""
DOTS_PER_MM = 4.5
"""Of the printed sheet."""
DEMO = NOW - timedelta(minutes=20)

HAND = (390, 844)
"""Px of a phone."""
PHONE = {
    "layup": "/layups/17",
    "lot": "/lots/1",
    "mix": "/mix/weigh?resin=LAM-PE&amount=1.5&amount.unit=kg&temperature=21&temperature.unit=degC"
    "&target_gel=25&target_gel.unit=min&job=D-9",
    "photograph": "/layups/17/photographs",
}
"""The pages of a phone's pictures."""

BESIDES = """
bay add TENT --title "Heated tent" --day 24C --night 22C --day-from 07:00 --day-until 19:00
bay read TENT 23.6C --humidity 48 --at 06:40
bay read TENT 24.4C --humidity 46 --at 10:15
bay read TENT 24.1C --humidity 45 --at 14:05
bay read SHED 22.6C --humidity 58 --at 14:05
product add LAM-EP --name "Laminating epoxy" --role resin --chemistry epoxy --mix two_part \
  --parts 100 30 --by mass --surface amine_blush --reference 20C - --gel-time 20C - 30min \
  --recoat-opens 3h --recoat-closes 16h --sandable 24h --full-cure 7d
job open D-9 --title "Transom, inner skin" --craft "Teal" --structural no
job open D-10 --title "Rudder cheek" --craft "Plover" --structural no
job open D-11 --title "Keel stub" --craft "Curlew" --structural no
job open D-12 --title "Deck, aft" --craft "Dunlin" --structural no
job open D-13 --title "Foredeck" --craft "Heron" --structural no
bay add BARN --title "Cold barn" --day 6C --night 4C --day-from 07:00 --day-until 18:00
bay read BARN 5.8C --humidity 71 --at 14:04
layup observe 1 not_gelled --at 14:05
batch observe 2 gelled --at "yesterday 13:24"
layup observe 2 gelled --at "yesterday 13:35"
job need D-9 MAT-450 "34 m" --needed-on 2026-06-22
lot receive PEROX-9 "1 kg" --number P-09 --expires-on 2026-06-24 --received-on 2026-01-10
product add MICROS --name "Microballoons" --role filler
lot receive MICROS "3 kg" --number C-3
mix LAM-PE "800 g" --temperature 21.5C --gel "22 min" --filler MICROS "60 g" --job D-9 --at 14:08
"""
"""What else is done at the yard, so that it is as busy as one is."""

POLYESTER = "--product LAM-PE --percent 1.5 --surface-temperature 20C"
EPOXY = "--product LAM-EP --surface-temperature 23C"
"""What is laid elsewhere, and what in the heated tent."""
LAID = (
    ("D-9", "Transom, plies 4 to 6", "laminate --bay SHED", "07:10", ""),
    ("D-9", "Knees, port side", "bond --bay SHED", "11:20", "gelled 12:15"),
    ("D-9", "Transom, knee fillets", "bond --bay SHED", "13:50", ""),
    ("D-10", "Rudder cheek, first layer", "laminate --bay TENT", "08:20", "no_transfer 13:30"),
    ("D-10", "Tiller, second coat", "coat --bay TENT", "yesterday 15:30", ""),
    ("D-10", "Thwart ends", "bond --bay TENT", "10:50", ""),
    ("D-10", "Centreboard cheek", "laminate --bay SHED --cover peel_ply", "2026-06-14 11:00",
     "thumbnail 10:20"),
    ("D-11", "Keel stub, plies 1 to 4", "laminate --bay SHED", "11:40", "not_gelled 14:00"),
    ("D-11", "Floor frames, tabbing", "bond --bay SHED", "13:40", ""),
    ("D-11", "Engine bed, port", "laminate --bay BARN", "yesterday 16:00", ""),
    ("D-11", "Stringer caps", "laminate --bay SHED", "13:15", "gelled 14:02"),
    ("D-11", "Chainplate knee", "bond --bay SHED", "06:10", "no_transfer 12:30"),
    ("D-12", "Side deck, inner skin", "laminate --bay SHED", "12:55", "gelled 13:55"),
    ("D-12", "Cockpit sole bond", "bond --bay TENT", "11:50", ""),
    ("D-12", "Hatch coaming fillet", "bond --bay TENT", "13:20", ""),
    ("D-12", "Lazarette lid", "laminate --bay SHED --cover film", "yesterday 08:00",
     "thumbnail 09:10"),
    ("D-12", "Bulwark patch", "laminate --bay SHED", "yesterday 09:30", ""),
    ("D-13", "Foredeck, plies 1 to 3 of 8", "laminate --bay SHED", "09:05", ""),
    ("D-13", "Mast step pad", "laminate --bay TENT", "yesterday 10:00", ""),
    ("D-13", "Hawse pipe ring", "bond --bay TENT", "09:40", "no_transfer 13:45"),
    ("D-13", "Samson post foot", "bond --bay SHED", "10:15", ""),
    ("D-13", "Anchor locker sole", "laminate --bay SHED --cover peel_ply", "2026-06-14 09:00", ""),
)  # fmt: skip
"""Layups beside the demo's two: job, title, kind and the rest, when, and what a hand saw of it."""


def main(folder: Path) -> None:
    """Draw all of them.

    Args:
        folder: where to write them.
    """
    with tempfile.TemporaryDirectory() as home, browser() as chrome:
        chrome.execute_cdp_cmd("Emulation.setScrollbarsHidden", {"hidden": True})
        # without the page's script: it would find that the browser's clock is another
        chrome.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
        settings = Settings(database=f"{home}/yard.sqlite", zone=ZONE, hand="Ines")
        stand_at(DEMO)
        tell(Ask(settings), Path(home))
        stand_at(NOW)
        for line in [*BESIDES.strip().splitlines(), *laid()]:
            program.main(shlex.split(line), standalone_mode=False, obj=Start(given=settings))
        with served(settings) as url:
            keep(seen(chrome, url, 1920, 1080), folder / "wall.png")
            keep(seen(chrome, f"{url}/batches/3", 600), folder / "mix_card.png")
            for name, page in PHONE.items():
                show(chrome, url + page, *HAND, 2)
                time.sleep(1)  # what follows an act can be pressed after 0.7 s
                keep(whole(chrome, beyond=False), folder / f"phone_{name}.png")
            show(chrome, f"{url}/jobs/D-7", 1280)
            keep(drawn(pdf(chrome), DOTS_PER_MM), folder / "sheet.png")


def laid() -> Iterator[str]:
    """The commands that note the layups, and what hands saw of them."""
    for number, (job, title, rest, at, look) in enumerate(LAID, start=3):
        resin = EPOXY if "TENT" in rest else POLYESTER
        yield f'layup start {job} "{title}" --kind {rest} {resin} --at "{at}"'
        if look:
            kind, hour = look.split()
            yield f"layup observe {number} {kind} --at {hour}"


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


def seen(chrome: Chrome, address: str, width: int, height: int = 800) -> Image.Image:
    """A page, so many px wide and as high as it is."""
    show(chrome, address, width, height)
    return whole(chrome)


def whole(chrome: Chrome, *, beyond: bool = True) -> Image.Image:
    """The page as it looks, or its first screen alone."""
    taken = chrome.execute_cdp_cmd("Page.captureScreenshot", {"captureBeyondViewport": beyond})
    return Image.open(BytesIO(base64.b64decode(taken["data"]))).convert("RGB")


def keep(picture: Image.Image, file: Path) -> None:
    """Write a picture, no larger than it is shown, in 256 colours: a small file."""
    picture.thumbnail((WIDEST, WIDEST))
    found = picture.quantize(256 - len(TINTS), Image.Quantize.MEDIANCUT).getpalette() or []
    few = Image.new("P", (1, 1))
    few.putpalette([*found, *(part for tint in TINTS for part in tint)])
    picture.quantize(palette=few, dither=Image.Dither.NONE).save(file, optimize=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent)
