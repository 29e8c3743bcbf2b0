"""`--out FILE`: a label as a file for the printer."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from .. import new_file
from ..asking import Ask

KINDS = {".svg": "image/svg+xml", ".png": "image/png"}

out_option = click.option(
    "--out",
    required=True,
    type=click.Path(dir_okay=False),
    metavar="FILE",
    help="The file to make: it ends in .svg or .png.",
)


def write(ask: Ask, where: Callable[[], str], out: str) -> None:
    """Write a label; a file that is there is left alone.

    Args:
        where: finds the path of the record that it is of, once the file's name will do.

    Raises:
        Stopped: the file is there, or it can't be written.
    """
    suffix = Path(out).suffix.lower()
    if suffix not in KINDS:
        raise click.UsageError("FILE ends in .svg or .png.")
    new_file.refuse_taken(out)
    label = ask.api.get_file(f"{where()}/label{suffix}", KINDS[suffix])
    new_file.write(out, label)
    ask.print({"file": out}, lambda told, view: [told["file"]])
    ask.say("Print it at its own size, 60 × 40 mm.")
