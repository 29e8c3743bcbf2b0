"""Write an uploaded image anew as a small JPEG, in a process of its own.

Reads the image from stdin. Writes a line of JSON to stdout, and after it the JPEG:
`{"width_px": 1600, "height_px": 1200}`, or `{"why": slug}` alone where it is refused.

A process of its own, because an image takes up to 300 MB: the system has them back when the
process ends, and a service that decoded it itself would keep most of them.
"""

from __future__ import annotations

import io
import json
import sys
import warnings

from PIL import Image, UnidentifiedImageError

MOST_PX = {"JPEG": 50_000_000, "PNG": 20_000_000}
"""By format, the pixels of an upload, counted before they are loaded. A phone makes 12 to 50
million in JPEG, which is decoded at a part of its size; a PNG is decoded whole.
"""

LONGEST_PX = 1600
"""The longer side of what is kept: it reads well over half a sheet of A4."""

QUALITY = 80
"""Of the JPEG, 1 to 95: at 80 no eye sees blocks, and 1600 px take about 300 kB."""

PAPER = (255, 255, 255)
"""What stands behind a picture that is transparent."""

Image.MAX_IMAGE_PIXELS = None  # the library's own bound is under what a phone makes; ours is above

_ORIENTATION = 0x0112
"""The tag of EXIF that says how the camera was held (Exif 3.0, 4.6.5.1.6)."""

_UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
"""What turns an image upright, by that tag."""


def small(raw: bytes) -> tuple[str, Image.Image | None]:
    """An upload as a new image of plain colours, with nothing else of it.

    Returns:
        Why it is refused, or an empty text and the image.
    """
    try:
        image: Image.Image = Image.open(io.BytesIO(raw), formats=tuple(MOST_PX))
    except UnidentifiedImageError:
        return "format", None
    # A phone's JPEG may carry a second picture behind the first, and is then an `MPO`.
    if image.width * image.height > MOST_PX["PNG" if image.format == "PNG" else "JPEG"]:
        return "pixels", None
    if image.format == "PNG" and getattr(image, "n_frames", 1) > 1:
        return "moves", None
    image.draft("RGB", (LONGEST_PX, LONGEST_PX))  # a JPEG is decoded at a half or less of its size
    image.load()
    orientation = _orientation(image)
    image = _plain(image)
    image.thumbnail((LONGEST_PX, LONGEST_PX), Image.Resampling.LANCZOS)
    if orientation in _UPRIGHT:
        image = image.transpose(_UPRIGHT[orientation])
    kept = Image.new("RGB", image.size, PAPER)
    kept.paste(image, mask=image if image.mode == "RGBA" else None)
    return "", kept


def _orientation(image: Image.Image) -> object:
    """As the camera was held, by EXIF; none where that can't be read."""
    try:
        return image.getexif().get(_ORIENTATION)
    except Exception:
        return None


def _plain(image: Image.Image) -> Image.Image:
    """An image in red, green and blue, with its transparency if it has any."""
    if image.mode.startswith("I"):  # 16 bits of grey: the library would cut off what is over 255
        image = image.point(lambda grey: grey * (1 / 256)).convert("L")
    return image.convert("RGBA" if image.has_transparency_data else "RGB")


def written(raw: bytes) -> bytes:
    """What goes to stdout."""
    try:
        why, image = small(raw)
    except Exception:  # a broken file breaks the decoder in many ways
        why, image = "broken", None
    if image is None:
        return json.dumps({"why": why}).encode() + b"\n"
    out = io.BytesIO()
    image.save(out, "JPEG", quality=QUALITY, optimize=True)
    size = {"width_px": image.width, "height_px": image.height}
    return json.dumps(size).encode() + b"\n" + out.getvalue()


def main() -> None:
    """Do it once."""
    warnings.simplefilter("ignore")  # of the decoder, about odd files
    sys.stdout.buffer.write(written(sys.stdin.buffer.read()))


if __name__ == "__main__":
    main()
