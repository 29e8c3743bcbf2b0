"""A file that a command makes for a person. An existing file is never written over."""

from __future__ import annotations

from pathlib import Path

from .exits import Stopped


def refuse_existing(file: str | None) -> None:
    """Refuse the name of an existing file; None is no file.

    Raises:
        Stopped: the file exists.
    """
    if file is not None and Path(file).exists():
        raise Stopped(f"{file} is there already.", "Name another. Nothing was changed.")


def write(file: str, content: bytes) -> None:
    """Make a file.

    Raises:
        Stopped: it can't be written, or somebody made it in the meantime.
    """
    try:
        with Path(file).open("xb") as made:
            made.write(content)
    except OSError as error:
        raise Stopped(f"{file} can't be written: {error.strerror}.") from error
