"""The README's pictures: its script makes each of them anew, small, and of a full shop."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from ..waiting import HANGS_S

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / ".pictures"
PHONE = ("phone_layup", "phone_lot", "phone_mix", "phone_photograph")
SIZES = {"wall": (1280, 720), "mix_card": None, "sheet": (905, 1280),
         **dict.fromkeys(PHONE, (591, 1280))}  # fmt: skip
"""Px of each picture; the card is as high as its words."""
MOST_BYTES = 300_000
TAPE = (239, 223, 174)
ROWS = 25
"""24 layups and a pot."""

pytestmark = pytest.mark.skipif(
    shutil.which("chromium") is None or shutil.which("chromedriver") is None,
    reason="this machine has no chromium with its chromedriver",
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The pictures, made anew."""
    made = tmp_path_factory.mktemp("pictures")
    done = subprocess.run(
        [sys.executable, PICTURES / "draw.py", made], env={"PYTHONPATH": str(ROOT), **_home(made)},
        capture_output=True, text=True, timeout=HANGS_S,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return made


def _home(folder: Path) -> dict[str, str]:
    return {"HOME": str(folder), "PATH": "/usr/local/bin:/usr/bin:/bin"}


@pytest.mark.parametrize("name", SIZES)
def test_a_picture_is_made_anew(folder: Path, name: str) -> None:
    """As large on the screen as the one that is kept, and in a small file; so is that."""
    for file in (folder / f"{name}.png", PICTURES / f"{name}.png"):
        assert file.stat().st_size < MOST_BYTES
        with Image.open(file) as seen:
            assert SIZES[name] in (None, seen.size)
            greys = seen.convert("L").getextrema()
            assert isinstance(greys[0], int)
            assert greys[0] < 60 < 240 < greys[1]


def test_the_wall_is_full(folder: Path) -> None:
    """Its tapes, from the top to the foot, and every tint of it."""
    with Image.open(folder / "wall.png") as seen:
        wall = seen.convert("RGB")
        tape = [_like(wall.getpixel((14, y)), TAPE) for y in range(wall.height)]
        rows = sum(now and not before for before, now in zip([False, *tape], tape, strict=False))
        assert rows == ROWS
        colours = wall.getcolors(1 << 20) or []
    for tint in ((143, 29, 20), (207, 232, 221), (242, 194, 0), (11, 74, 111), (27, 26, 23)):
        assert any(count > 10 and _like(colour, tint) for count, colour in colours), tint


def _like(colour: object, other: tuple[int, int, int]) -> bool:
    assert isinstance(colour, tuple)
    return max(abs(one - two) for one, two in zip(colour, other, strict=True)) <= 8


def test_the_readme_shows_them_all() -> None:
    """Each with words for who can't see it."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = re.findall(r"!\[([^\]]+)\]\(\.pictures/(\w+)\.png\)", text)
    shown += [(alt, name) for name, alt in
              re.findall(r'src="\.pictures/(\w+)\.png"[^>]* alt="([^"]+)"', text)]  # fmt: skip
    assert {name for _, name in shown} == set(SIZES)
    assert all(len(alt) > 40 for alt, _ in shown)
