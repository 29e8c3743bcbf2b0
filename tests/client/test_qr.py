"""A code on a terminal is read back by another library, on any terminal's own colours."""

from __future__ import annotations

import re

import pytest
import zxingcpp
from cureyard_client.rendering import qr
from PIL import Image

ADDRESS = "https://192.168.100.200:8765/pair/cureyard_0123456789abcdefghijkl"
SQUARE = 4
THEMES = {"dark": ((0, 0, 0), (255, 255, 255)), "light": ((255, 255, 255), (0, 0, 0)),
          "sand": ((88, 110, 117), (253, 246, 227))}  # fmt: skip
"""The background and the text of some terminals."""
TOP = {"█": (1, 1), "▀": (1, 0), "▄": (0, 1), " ": (0, 0)}
STYLE = re.compile(r"\x1b\[([\d;]*)m")


def grey(number: int) -> tuple[int, int, int]:
    """A fixed colour of a terminal's 256 (ECMA-48 SGR 38/48;5; xterm's colour cube)."""
    assert 16 <= number <= 231
    cube = (0, 95, 135, 175, 215, 255)
    red, rest = divmod(number - 16, 36)
    return cube[red], cube[rest // 6], cube[rest % 6]


def screen(lines: list[str], theme: str) -> Image.Image:
    """What a terminal shows of lines, each character two squares high."""
    background, text = THEMES[theme]
    width = max(len(STYLE.sub("", line)) for line in lines) + 4
    seen = Image.new("RGB", (width, 2 * len(lines) + 4), background)
    for row, line in enumerate(lines):
        paper, ink, column = background, text, 0
        for part in re.split(r"(\x1b\[[\d;]*m)", line):
            if style := STYLE.fullmatch(part):
                numbers = [int(each) for each in style[1].split(";")]
                if numbers == [0]:
                    paper, ink = background, text
                else:
                    assert (numbers[:2], numbers[3:5]) == ([38, 5], [48, 5])
                    ink, paper = grey(numbers[2]), grey(numbers[5])
                continue
            for character in part:
                for half, is_ink in enumerate(TOP[character]):
                    seen.putpixel((column + 2, 2 * row + half + 2), ink if is_ink else paper)
                column += 1
    return seen.resize((seen.width * SQUARE, seen.height * SQUARE), Image.Resampling.NEAREST)


@pytest.mark.parametrize("theme", THEMES)
def test_a_camera_reads_what_the_terminal_shows(theme: str) -> None:
    """By a reader that does not try a negative: a plain one would not either."""
    found = zxingcpp.read_barcodes(screen(qr.lines(ADDRESS), theme), try_invert=False)
    assert [code.text for code in found] == [ADDRESS]


def test_a_negative_would_not_be_read() -> None:
    """Black and white the other way round: so the test above can fail."""
    turned = [line.replace("38;5;16;48;5;231", "38;5;231;48;5;16") for line in qr.lines(ADDRESS)]
    assert zxingcpp.read_barcodes(screen(turned, "dark"), try_invert=False) == []


def test_it_fits_a_small_terminal() -> None:
    """80 by 24, with a line to type on."""
    lines = qr.lines(ADDRESS)
    assert len(lines) <= 22
    assert max(len(STYLE.sub("", line)) for line in lines) <= 80
