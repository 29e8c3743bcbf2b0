"""Read a photograph that somebody sends: a JPEG or a PNG, written anew without what hides in it.

One is read at a time. Few others wait for their turn, and more are told to come back, so that the
rest of the service goes on.
"""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from tempfile import TemporaryFile
from threading import BoundedSemaphore, Lock
from typing import IO, Any

from ...core.errors import Busy, Invalid, Refusal, StoreFull
from ...core.frozen import frozen
from ..http.bodies import PICTURE_LIMIT

PATIENCE_S = 15.0
"""How long one waits for its turn; each takes a second or two."""

AGAIN_S = 5
"""After how long one that is turned away is worth sending again."""

AT_MOST_S = 60.0
"""How long one may take: what takes longer was made to."""

CHUNK_BYTES = 64 * 1024
"""Of a picture that are in memory at a time."""

WAITING = 3
"""How many may wait beside the one being read."""

_PROGRAM = f"{__package__}.reencoding"
"""Run, and not imported: what decodes images takes longer to import than a command takes."""

_CALLS = BoundedSemaphore(1 + WAITING)
_TURN = Lock()

_HEIF = (b"heic", b"heix", b"hevc", b"heim", b"heis", b"mif1", b"msf1", b"avif")
"""Brands of ISO/IEC 23008-12 at byte 8, and of AV1's."""

_AS_JPEG = "Send a JPEG or a PNG: set the phone's camera to JPEG, or save the picture as one."

_WHY = {
    "format": ("This is not a JPEG or a PNG.", _AS_JPEG),
    "pixels": (
        "The picture has too many pixels.",
        "Make it smaller: a JPEG may have 50 million pixels, a PNG 20 million.",
    ),
    "moves": ("The picture moves.", "Send a still one."),
    "broken": ("The picture is broken, or was cut off on its way.", "Send it again."),
    "slow": ("The picture took too long to read.", "Save it anew as a JPEG, and send that."),
}


@frozen
class Picture:
    """A photograph as it is kept: a JPEG of at most 1600 px, without metadata.

    Attributes:
        sent_sha256: the digest of what was sent.
    """

    jpeg: bytes
    width_px: int
    height_px: int
    sent_sha256: str

    @property
    def kept(self) -> dict[str, Any]:
        """What an act is given of it."""
        return {"jpeg": self.jpeg, "width_px": self.width_px, "height_px": self.height_px}


def read(sent: IO[bytes]) -> Picture:
    """A photograph of what was sent.

    What was sent goes from file to file and never whole through memory: a thread keeps the memory
    of one picture for the next, and with some thirty threads that is half a gigabyte.

    Raises:
        Invalid: it is no JPEG or PNG, is too large, or can't be read.
        Busy: others are being read. StoreFull: there is no room for it.
    """
    try:
        with TemporaryFile() as file:
            digest = _copied(sent, file)
            file.seek(0)
            with _turn():
                told, jpeg = _reencoded(file)
    except OSError as error:
        raise StoreFull(
            "There is no room to read the picture.", advice="Make room for temporary files."
        ) from error
    if "why" in told:
        raise _refusal(str(told["why"]))
    return Picture(jpeg, int(told["width_px"]), int(told["height_px"]), digest)


def _copied(sent: IO[bytes], file: IO[bytes]) -> str:
    """Copy what was sent into a file; its digest."""
    told, size, head = hashlib.sha256(), 0, b""
    while some := sent.read(CHUNK_BYTES):
        head, size = head or some[:12], size + len(some)
        if size > PICTURE_LIMIT:
            raise Invalid(
                f"The picture has more than {PICTURE_LIMIT // 1024**2} MiB.",
                advice="Send a smaller one.",
            )
        told.update(some)
        file.write(some)
    if not size:
        raise Invalid("There is no picture.", advice="Send the bytes of a JPEG or a PNG.")
    if head[4:8] == b"ftyp" and head[8:12] in _HEIF:
        raise Invalid("This is a picture in HEIC or AVIF, which is not read.", advice=_AS_JPEG)
    return told.hexdigest()


@contextmanager
def _turn() -> Iterator[None]:
    busy = Busy(
        "Other photographs are being read.",
        advice="Send it again in some seconds.",
        retry_after_s=AGAIN_S,
    )
    if not _CALLS.acquire(blocking=False):
        raise busy
    try:
        if not _TURN.acquire(timeout=PATIENCE_S):
            raise busy
        try:
            yield
        finally:
            _TURN.release()
    finally:
        _CALLS.release()


def _reencoded(file: IO[bytes]) -> tuple[dict[str, Any], bytes]:
    """What the program said, and the JPEG.

    `-P` keeps what lies in the present folder from being imported.
    """
    try:
        done = subprocess.run(  # noqa: S603 (our own module)
            [sys.executable, "-P", "-m", _PROGRAM],
            stdin=file, capture_output=True, check=True, timeout=AT_MOST_S,
        )  # fmt: skip
    except subprocess.TimeoutExpired as error:
        raise _refusal("slow") from error
    except subprocess.CalledProcessError as error:  # it had no memory, or the decoder crashed
        raise _refusal("broken") from error
    line, _, jpeg = done.stdout.partition(b"\n")
    told: dict[str, Any] = json.loads(line)
    return told, jpeg


def _refusal(why: str) -> Refusal:
    said, advice = _WHY[why]
    return Invalid(said, advice=advice)
