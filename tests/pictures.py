"""Pictures that somebody might send."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from PIL import Image

GREY = (120, 110, 100)


def drawn(size: tuple[int, int] = (40, 30), colour: Any = GREY, mode: str = "RGB") -> Image.Image:
    """A plain picture, in pixels."""
    return Image.new(mode, size, colour)


def coded(image: Image.Image, kind: str = "JPEG", **options: Any) -> bytes:
    """The bytes of a picture in a format that the library writes."""
    out = BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def jpeg(colour: Any = GREY, size: tuple[int, int] = (40, 30)) -> bytes:
    """A JPEG; one of another colour is another picture."""
    return coded(drawn(size, colour))


def opened(raw: bytes) -> Image.Image:
    """A picture, decoded whole."""
    image = Image.open(BytesIO(raw))
    image.load()
    return image
