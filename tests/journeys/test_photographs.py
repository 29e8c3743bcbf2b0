"""Photographs on a phone of 390 × 844, and on the surveyor's sheets."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdfium2
import pypdfium2.raw
import pytest
import requests
from PIL import ImageDraw
from selenium.webdriver import Chrome
from selenium.webdriver.common.by import By

from .. import makers, pictures
from ..axe import violations
from ..browser import pdf, show, written
from ..waiting import HANGS_S, until
from .conftest import Record, recorded

pytestmark = pytest.mark.only_on("sqlite")

RECORD: Record = (
    ("products", makers.catalyst()),
    ("products", makers.resin()),
    ("bays", makers.bay()),
    ("lots", makers.lot()),
    ("lots", makers.lot("PEROX", "1 kg", "P-1")),
    ("jobs", makers.job()),
    ("batches", makers.pot()),
    ("layups", makers.layup(1)),
)
"""A layup of a pot, for a job."""


def taper(number: int) -> bytes:
    """A drawing of a ground taper: steps around a hole."""
    image = pictures.drawn((2400, 1800), (170, 150, 120))
    pen = ImageDraw.Draw(image)
    for step in range(3):
        edge = 200 + 250 * step
        shade = (90 + 40 * step, 120 + 10 * number % 100, 110)
        pen.ellipse((edge, edge, 2400 - edge, 1800 - edge), fill=shade)
    return pictures.coded(image)


@pytest.fixture(scope="module")
def yard(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, requests.Session, Path]]:
    """A yard's address, a session of a hand there, and a folder with photographs."""
    folder = tmp_path_factory.mktemp("yard")
    for number in range(9):
        (folder / f"{number}.jpg").write_bytes(taper(number))
    with recorded(folder, RECORD) as (address, session):
        yield address, session, folder


def pressed(chrome: Chrome, words: str) -> None:
    """Press the one link or button that has the words; on a page that follows, once it wakes."""
    path = f"//*[self::a or self::button][normalize-space(.)='{words}']"
    button = chrome.find_element(By.XPATH, path)
    until(button.is_displayed, words)
    button.click()


def said(chrome: Chrome, words: str) -> None:
    """Wait until the page has the words."""
    until(lambda: words in chrome.execute_script("return document.body.innerText"), words)


def taken(chrome: Chrome, file: Path, shows: str) -> None:
    """Choose a photograph, as the camera does, say what it shows, and keep it."""
    chrome.find_element(By.ID, "picture").send_keys(str(file))
    chrome.find_element(By.ID, "shows").send_keys(shows)
    pressed(chrome, "Keep it")


def lowest(chrome: Chrome, css: str) -> float:
    """The lower edge of a thing on the screen, in px."""
    found = "return document.querySelector(arguments[0]).getBoundingClientRect().bottom"
    return float(chrome.execute_script(found, css))


@pytest.mark.parametrize("place", ["layups/1", "lots/1", "jobs/D-7"])
def test_a_hand_takes_one_looks_at_it_and_takes_it_back(
    chrome: Chrome, yard: tuple[str, requests.Session, Path], place: str
) -> None:
    """From the thing's own page, without a scroll to the button; twice the same is kept once."""
    address, session, folder = yard
    show(chrome, f"{address}/{place}", 390, 844)
    assert lowest(chrome, ".camera") <= 844
    pressed(chrome, "Photograph")
    assert lowest(chrome, "form .press") <= 844
    assert violations(chrome) == []
    taken(chrome, folder / "8.jpg", "taper ground, before ply 1")
    said(chrome, "Take another")
    seen = "const i = document.querySelector('.picture img'); return [i.complete, i.naturalWidth]"
    until(lambda: chrome.execute_script(seen) == [True, 1600], "the picture")
    assert violations(chrome) == []
    wide = "return document.documentElement.scrollWidth"
    assert chrome.execute_script(wide) <= 390

    def kept() -> list[dict[str, Any]]:
        """Its own of this test: a job lists those of its layups too."""
        listed = session.get(f"{address}/v1/{place}/photographs", timeout=HANGS_S).json()
        own = [each for each in listed["items"] if each[place.split("s/")[0]] is not None]
        return [each for each in own if not each["shows"].startswith("step")]

    (one,) = kept()
    assert (one["shows"], one["width_px"]) == ("taper ground, before ply 1", 1600)
    pressed(chrome, "Take another")
    taken(chrome, folder / "8.jpg", "the same")
    said(chrome, "Kept before")
    assert len(kept()) == 1
    pressed(chrome, "Undo: not so")
    said(chrome, "Taken back")
    assert not chrome.execute_script("return document.querySelector('.picture')")
    (one,) = kept()
    assert one["withdrawn"]["reason"] == "not so"


def test_a_refused_picture_is_said_in_words(
    chrome: Chrome, yard: tuple[str, requests.Session, Path]
) -> None:
    """What was typed is still there."""
    address, _session, folder = yard
    (folder / "notes.jpg").write_text("no picture")
    show(chrome, f"{address}/lots/1/photographs", 390, 844)
    taken(chrome, folder / "notes.jpg", "a label")
    said(chrome, "not a JPEG or a PNG")
    assert chrome.find_element(By.ID, "shows").get_attribute("value") == "a label"
    assert violations(chrome) == []


def test_at_most_six_are_on_a_sheet_of_the_print(
    chrome: Chrome, yard: tuple[str, requests.Session, Path]
) -> None:
    """With what each shows, who kept it and how its digest begins; the job's and a layup's."""
    address, session, folder = yard
    kept = []
    for number in range(8):
        of = "jobs/D-7" if number % 2 else "layups/1"
        answer = session.post(
            f"{address}/v1/{of}/photographs?shows=step+{number}",
            data=(folder / f"{number}.jpg").read_bytes(),
            headers={"Content-Type": "image/jpeg"},
            timeout=HANGS_S,
        )
        kept.append(answer.json())
    show(chrome, f"{address}/jobs/D-7", 1280)
    sheets = pdf(chrome)
    counts, words = pictures_on(sheets), written(sheets)
    assert [count for count in counts if count] == [6, 2]
    with_pictures = [text for text, count in zip(words, counts, strict=True) if count]
    for one in kept:
        (text,) = (text for text in with_pictures if one["sha256"][:12] in text)
        assert f"{one['shows']}" in text
        assert one["who"] in text


def pictures_on(sheets: bytes) -> list[int]:
    """How many pictures are on each sheet."""
    image = pypdfium2.raw.FPDF_PAGEOBJ_IMAGE
    with pypdfium2.PdfDocument(io.BytesIO(sheets)) as found:
        return [len(list(sheet.get_objects(filter=[image], max_depth=9))) for sheet in found]
