"""A file that a command makes for a person: one that is there is left alone."""

from __future__ import annotations

from pathlib import Path

from .exits import Stopped


def refuse_taken(file: str) -> None:
    """Refuse a file that is there.

    Raises:
        Stopped: it is.
    """
    if Path(file).exists():
        raise Stopped(f"{file} is there already.", "Name another. Nothing was changed.")


def write(file: str, content: bytes) -> None:
    """Make a file.

    Raises:
        Stopped: it can't be written, or has come to be there meanwhile.
    """
    try:
        with Path(file).open("xb") as made:
            made.write(content)
    except OSError as error:
        raise Stopped(f"{file} can't be written: {error.strerror}.") from error
