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
    help="The file to make; its name ends in .svg or .png.",
)


def write(ask: Ask, find: Callable[[], str], out: str) -> None:
    """Write a label into a new file.

    Args:
        find: finds the path of the lot or pot; called only if the file's name is right.

    Raises:
        Stopped: the file exists, or it can't be written.
    """
    suffix = Path(out).suffix.lower()
    if suffix not in KINDS:
        raise click.UsageError("FILE ends in .svg or .png.")
    new_file.refuse_existing(out)
    label = ask.api.get_file(f"{find()}/label{suffix}", KINDS[suffix])
    new_file.write(out, label)
    ask.print({"file": out}, lambda answer, view: [answer["file"]])
    ask.say("Print it at its own size, 60 × 40 mm.")
