"""What becomes of a picture that is sent: small, upright, plain colours, and nothing else of it.

The pictures are made by the library that reads them; where each has what a phone or a scanner adds,
its format's own description is named.
"""

from __future__ import annotations

import subprocess
import sys
import zlib
from collections.abc import Callable
from io import BytesIO
from threading import Event, Thread
from typing import Any

import pytest
from cureyard_service.core.errors import Busy, Invalid
from cureyard_service.web.files import pictures as reading
from PIL import Image, PngImagePlugin

from ... import pictures
from ...waiting import HANGS_S

RED, BLUE, WHITE = (200, 30, 30), (30, 30, 200), (255, 255, 255)


def sent(raw: bytes) -> Image.Image:
    """A picture as it is kept."""
    kept = reading.read(BytesIO(raw))
    image = pictures.opened(kept.jpeg)
    assert image.format == "JPEG"
    assert image.mode == "RGB"
    assert image.size == (kept.width_px, kept.height_px)
    return image


def is_near(found: Any, wanted: tuple[int, int, int]) -> bool:
    """Whether a colour is another one, but for what a JPEG loses."""
    return all(abs(a - b) < 12 for a, b in zip(found, wanted, strict=True))


def half_and_half(size: tuple[int, int] = (64, 32)) -> Image.Image:
    """A picture whose left half is red and whose right half is blue."""
    image = pictures.drawn(size, RED)
    image.paste(BLUE, (size[0] // 2, 0, *size))
    return image


def test_a_large_one_is_made_smaller_and_a_small_one_stays() -> None:
    """Its longer side has at most 1600 px, and its shape stays."""
    assert sent(pictures.jpeg(size=(4000, 3000))).size == (1600, 1200)
    assert sent(pictures.jpeg(size=(900, 3600))).size == (400, 1600)
    assert sent(pictures.jpeg(size=(640, 480))).size == (640, 480)
    assert sent(pictures.coded(pictures.drawn((1, 1)), "PNG")).size == (1, 1)
    assert sent(pictures.coded(pictures.drawn((40_000, 2)), "PNG")).size == (1600, 1)


def test_nothing_that_a_camera_writes_is_kept() -> None:
    """No position, no name of a phone, no comment, no profile of colours, no thumbnail."""
    exif = Image.Exif()
    exif[0x0110] = "THE-PHONE"  # Model, Exif 3.0
    exif.get_ifd(0x8825)[1] = "GPS-NORTH"  # GPSLatitudeRef
    photo = pictures.coded(
        half_and_half(), exif=exif, comment=b"THE-COMMENT", icc_profile=b"THE-PROFILE" * 20
    )
    words = PngImagePlugin.PngInfo()
    words.add_text("Author", "THE-AUTHOR")
    drawing = pictures.coded(
        half_and_half(), "PNG", exif=exif, pnginfo=words, icc_profile=b"THE-PROFILE" * 20
    )
    assert b"THE-PHONE" in photo
    for raw in (photo, drawing):
        kept = reading.read(BytesIO(raw)).jpeg
        assert b"THE-" not in kept
        assert b"GPS" not in kept
        assert b"Exif" not in kept
        assert pictures.opened(kept).info.keys() <= {
            "jfif", "jfif_version", "jfif_unit", "jfif_density",
        }  # fmt: skip


@pytest.mark.parametrize("orientation", range(1, 9))
def test_it_stands_as_the_camera_was_held(orientation: int) -> None:
    """Exif 3.0, 4.6.5.1.6: which edges of the scene the first row and column are."""
    turns: dict[int, Callable[[Image.Image], Image.Image]] = {
        1: lambda image: image,
        2: lambda image: image.transpose(Image.Transpose.FLIP_LEFT_RIGHT),
        3: lambda image: image.rotate(180),
        4: lambda image: image.transpose(Image.Transpose.FLIP_TOP_BOTTOM),
        5: lambda image: image.transpose(Image.Transpose.TRANSPOSE),
        6: lambda image: image.rotate(90, expand=True),
        7: lambda image: image.transpose(Image.Transpose.TRANSVERSE),
        8: lambda image: image.rotate(270, expand=True),
    }
    scene = half_and_half()
    scene.paste(WHITE, (0, 0, 16, 16))  # where left and top are
    exif = Image.Exif()
    exif[0x0112] = orientation
    kept = sent(pictures.coded(turns[orientation](scene), exif=exif, quality=95, subsampling=0))
    assert kept.size == (64, 32)
    assert is_near(kept.getpixel((4, 4)), WHITE)
    assert is_near(kept.getpixel((24, 24)), RED)
    assert is_near(kept.getpixel((56, 16)), BLUE)


def test_an_orientation_that_is_none_turns_nothing() -> None:
    """Nor does EXIF that can't be read."""
    exif = Image.Exif()
    exif[0x0112] = 77
    assert sent(pictures.coded(half_and_half(), exif=exif)).size == (64, 32)
    broken = pictures.coded(half_and_half(), exif=b"Exif\0\0II*\0\xff\xff\xff\xffnothing")
    assert sent(broken).size == (64, 32)


@pytest.mark.parametrize(
    ("image", "kind", "shown"),
    [
        (pictures.drawn(colour=(0, 255, 255, 0), mode="CMYK"), "JPEG", (255, 0, 0)),
        (pictures.drawn(colour=90, mode="L"), "JPEG", (90, 90, 90)),
        (pictures.drawn(colour=(200, 30, 30, 0), mode="RGBA"), "PNG", WHITE),
        (pictures.drawn(colour=(200, 30, 30, 255), mode="RGBA"), "PNG", RED),
        (pictures.drawn(colour=(90, 255), mode="LA"), "PNG", (90, 90, 90)),
        (pictures.drawn(colour=RED).quantize(4), "PNG", RED),
        (pictures.drawn(colour=0x8000, mode="I;16"), "PNG", (128, 128, 128)),
        (pictures.drawn(colour=1, mode="1"), "PNG", WHITE),
    ],
    ids=["cmyk", "grey", "clear", "opaque", "grey and clear", "palette", "16 bit", "1 bit"],
)
def test_colours_of_every_kind_become_plain(image: Image.Image, kind: str, shown: Any) -> None:
    """What is clear lies on white."""
    assert is_near(sent(pictures.coded(image, kind)).getpixel((5, 5)), shown)


def test_a_phone_that_hides_a_second_picture_behind_the_first() -> None:
    """CIPA DC-007: the first is the photograph."""
    both = BytesIO()
    half_and_half().save(both, "MPO", save_all=True, append_images=[pictures.drawn((8, 8))])
    assert sent(both.getvalue()).size == (64, 32)


def moving() -> bytes:
    """A PNG of two pictures in turn (PNG 3rd edition, 11.3.6)."""
    return pictures.coded(
        pictures.drawn(), "PNG", save_all=True, append_images=[pictures.drawn(colour=RED)]
    )


def bomb() -> bytes:
    """A PNG of 400 million pixels in some hundred bytes: its head alone is right."""
    head = b"IHDR" + (20_000).to_bytes(4, "big") * 2 + bytes([8, 2, 0, 0, 0])
    ends = b"\0\0\0\0IEND" + zlib.crc32(b"IEND").to_bytes(4, "big")
    data = b"IDAT" + zlib.compress(b"\0" * 1000)
    chunks = [
        (len(chunk) - 4).to_bytes(4, "big") + chunk + zlib.crc32(chunk).to_bytes(4, "big")
        for chunk in (head, data)
    ]
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks) + ends


REFUSED = {
    "nothing": (b"", "no picture"),
    "text": (b"no picture at all", "not a JPEG or a PNG"),
    "another format": (pictures.coded(pictures.drawn(), "GIF"), "not a JPEG or a PNG"),
    "a script of a printer": (b"%!PS-Adobe-3.0 EPSF-3.0\n", "not a JPEG or a PNG"),
    "HEIC": (b"\0\0\0\x18ftypheic" + b"\0" * 40, "HEIC"),
    "cut short": (pictures.jpeg(size=(400, 300))[:900], "cut off"),
    "a broken PNG": (pictures.coded(half_and_half(), "PNG")[:60], "broken"),
    "moving": (moving(), "moves"),
    "400 million pixels": (bomb(), "too many pixels"),
    "21 million pixels of PNG": (
        pictures.coded(pictures.drawn((7000, 3001), 1, "1"), "PNG"), "too many pixels",
    ),
    "too many bytes": (b"\xff\xd8\xff" + bytes(reading.PICTURE_LIMIT), "more than 20 MiB"),
}  # fmt: skip


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_no_photograph_is_refused_in_words(name: str) -> None:
    """And says what to send."""
    raw, words = REFUSED[name]
    with pytest.raises(Invalid, match=words) as refused:
        reading.read(BytesIO(raw))
    assert refused.value.advice


def test_one_is_read_at_a_time_and_few_wait(monkeypatch: pytest.MonkeyPatch) -> None:
    """The rest is told to come back, so that other requests are answered."""
    begun, go, done = Event(), Event(), []
    at_once: list[int] = [0, 0]

    def slowly(file: Any) -> tuple[dict[str, Any], bytes]:
        at_once[0] += 1
        at_once[1] = max(at_once)
        begun.set()
        go.wait(HANGS_S)
        at_once[0] -= 1
        return {"width_px": 1, "height_px": 1}, b"kept"

    def read() -> None:
        done.append(reading.read(BytesIO(b"picture")).jpeg)

    monkeypatch.setattr(reading, "_reencoded", slowly)
    monkeypatch.setattr(reading, "PATIENCE_S", 60)
    threads = [Thread(target=read) for _ in range(1 + reading.WAITING)]
    for thread in threads:
        thread.start()
    begun.wait(HANGS_S)
    while reading._CALLS._value:  # type: ignore[attr-defined]  # until all of them have come
        pass
    with pytest.raises(Busy) as turned_away:
        reading.read(BytesIO(b"picture"))
    assert turned_away.value.fields["retry_after_s"] == reading.AGAIN_S
    go.set()
    for thread in threads:
        thread.join(HANGS_S)
    assert done == [b"kept"] * len(threads)
    assert at_once[1] == 1


def test_what_takes_too_long_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    """And the next one has its turn."""
    monkeypatch.setattr(reading, "AT_MOST_S", 0.001)
    with pytest.raises(Invalid, match="too long"):
        reading.read(BytesIO(pictures.jpeg()))
    monkeypatch.setattr(reading, "AT_MOST_S", 60)
    assert reading.read(BytesIO(pictures.jpeg())).width_px == 40


PEAK = """
import re, sys
from cureyard_service.web.files import reencoding
assert b"width_px" in reencoding.written(open(sys.argv[1], "rb").read())[:20]
print(int(re.search(r"VmHWM:\\s+(\\d+)", open("/proc/self/status").read())[1]) // 1024)
"""
MOST_MIB = 400
"""Of memory that reading one picture may take at a time; 220 were seen."""


@pytest.mark.skipif(sys.platform != "linux", reason="counts memory as Linux does")
@pytest.mark.parametrize(
    ("size", "mode", "kind", "options"),
    [
        ((8000, 6250), "RGB", "JPEG", {"progressive": True}),
        ((8000, 6250), "CMYK", "JPEG", {}),
        ((5000, 4000), "RGBA", "PNG", {}),
        ((5000, 4000), "P", "PNG", {"transparency": 0}),
        ((5000, 4000), "I;16", "PNG", {}),
    ],
)
def test_the_largest_take_a_bounded_memory(
    tmp_path: Any, size: tuple[int, int], mode: str, kind: str, options: dict[str, Any]
) -> None:
    """In the process that reads them, which then ends."""
    file = tmp_path / "largest"
    file.write_bytes(pictures.coded(Image.new(mode, size), kind, **options))
    done = subprocess.run(
        [sys.executable, "-c", PEAK, str(file)], capture_output=True, text=True, check=True
    )
    assert int(done.stdout) < MOST_MIB
