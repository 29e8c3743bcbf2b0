"""`cureyard backup`: the store in one file."""

from __future__ import annotations

from pathlib import Path

import click

from ..asking import Ask, asks
from ..exits import FORBIDDEN, Stopped
from ..rendering import books


@click.command("backup")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@asks
def command(ask: Ask, file: Path) -> None:
    """Back the store up into a new file, while others go on working.

    What is in the file was proved: it is one moment of the store, whole. For a store on
    PostgreSQL its own pg_dump is used.

    \b
    Example:
      cureyard backup yard-2026-11-25.backup
    """
    ask.need_no_server("backup")
    from .. import door

    made = door.back_up(ask.settings, file)
    ask.print(made, books.backed_up)
    if made["findings"]:
        raise Stopped(
            "The books in it do not hold.", "Look at them with 'cureyard prove'.", FORBIDDEN
        )
