"""`--svg FILE`: the drawing of a cut list, beside its print."""

from __future__ import annotations

from typing import Any

import click

from ... import new_file
from ...api import at
from ...asking import Ask

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
    if file is not None:
        new_file.refuse_taken(file)


def write(ask: Ask, sum_: str, body: dict[str, Any], file: str | None) -> None:
    """Write the drawing of what was just printed, where one is wanted.

    Raises:
        Stopped: the file can't be written.
    """
    if file is None:
        return
    drawing = ask.api.post_for(at("estimates", sum_), body, "image/svg+xml")
    new_file.write(file, drawing.encode())
    ask.say(f"The drawing is in {file}.")
