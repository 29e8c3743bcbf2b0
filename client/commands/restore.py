"""`cureyard restore`: a backup in the store's place."""

from __future__ import annotations

from pathlib import Path

import click

from ..asking import Ask, asks
from ..rendering import books
from ..settings import hand


@click.command("restore")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@asks
def command(ask: Ask, file: Path) -> None:
    """Put a backup in the store's place; the old one is kept.

    It is brought to this program's version and proved first. The store that was there
    is kept under another name, and nothing may serve it meanwhile.

    \b
    Example:
      cureyard restore yard-2026-11-25.backup
    """
    ask.need_no_server("restore")
    from .. import door

    ask.print(door.restore(ask.settings, file, hand(ask.settings)), books.restored)
