"""`cureyard move-store`: the yard on another database."""

from __future__ import annotations

import click

from ..addresses import typed
from ..asking import Ask, asks
from ..rendering import books


@click.command("move-store")
@click.option("--to", required=True, metavar="URL", help="postgresql://… or an SQLite file.")
@asks
def command(ask: Ask, to: str) -> None:
    """Take the store over to another database, row by row.

    Nothing may serve it meanwhile, and it stays as it is. Both are held equal, and
    the new one is proved. A password has no place in the address: put it in
    PGPASSWORD, or in the file that PGPASSFILE names.

    \b
    Example:
      cureyard move-store --to postgresql://yard@db.example/yard
    """
    ask.need_no_server("move-store")
    from .. import door

    ask.print(door.move_store(ask.settings, typed(to)), books.moved)
