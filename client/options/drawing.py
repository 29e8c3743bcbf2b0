"""`--svg FILE`: the drawing of a cut list, as a file."""

from __future__ import annotations

import click

from .. import new_file
from ..api import Body, at
from ..asking import Ask

svg_option = click.option(
    "--svg",
    type=click.Path(dir_okay=False),
    metavar="FILE",
    help="Write the drawing to this file, to print it.",
)


def write(ask: Ask, estimate: str, body: Body, file: str | None) -> None:
    """Write the drawing of an estimate, if a file is given.

    Args:
        estimate: its name in the address; body: its request.

    Raises:
        Stopped: the file can't be written.
    """
    if file is None:
        return
    drawing = ask.api.post_for(at("estimates", estimate), body, "image/svg+xml")
    new_file.write(file, drawing.encode())
    ask.say(f"The drawing is in {file}.")
