"""`--svg FILE`: the drawing of a cut list, beside its print."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from ...api import at
from ...asking import Ask
from ...exits import Stopped

svg_option = click.option(
    "--svg",
    type=click.Path(dir_okay=False),
    metavar="FILE",
    help="Write the drawing, for a printer.",
)


def check(file: str | None) -> None:
    """Refuse a file that is there.

    Raises:
        Stopped: it is.
    """
    if file is not None and Path(file).exists():
        raise Stopped(f"{file} is there already.", "Name another. Nothing was changed.")


def write(ask: Ask, sum_: str, body: dict[str, Any], file: str | None) -> None:
    """Write the drawing of what was just printed, where one is wanted.

    Raises:
        Stopped: the file can't be written.
    """
    if file is None:
        return
    drawing = ask.api.post_for(at("estimates", sum_), body, "image/svg+xml")
    try:
        with Path(file).open("x", encoding="utf-8") as made:
            made.write(drawing)
    except OSError as error:
        raise Stopped(f"{file} can't be written: {error.strerror}.") from error
    ask.say(f"The drawing is in {file}.")
