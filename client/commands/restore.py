"""`cureyard restore`: a backup in the store's place."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from ..asking import Ask, asks
from ..exits import FORBIDDEN, Stopped
from ..rendering import books
from ..settings import hand


@click.command("restore")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--without-tokens", is_flag=True, help="Leave today's tokens behind.")
@click.option("--yes", is_flag=True, help="Do it, without being asked.")
@asks
def command(ask: Ask, file: Path, without_tokens: bool, yes: bool) -> None:
    """Put a backup in the store's place; the old one is kept.

    It is brought to this program's version and proved first. The store that was there
    is kept under another name, and nothing may serve it meanwhile.

    Today's tokens are carried over, and what was revoked stays revoked. You are asked
    before a backup is restored that is older than the first token.

    \b
    Examples:
      cureyard restore yard-2026-11-25.backup
      cureyard restore yard-2026-11-25.backup --yes
    """
    ask.need_no_server("restore")
    from .. import door

    found = door.look_at_backup(ask.settings, file)
    if found["opens"]:
        for line in books.opening(found["tokens"], ask.view, carry=not without_tokens):
            ask.say(line)
        if not yes:
            _agreed(ask)
    done = door.restore(ask.settings, file, hand(ask.settings), carry=not without_tokens)
    ask.print(done, books.restored)


def _agreed(ask: Ask) -> None:
    """Go on where somebody says yes.

    Raises:
        Stopped: somebody says no, or nobody is there to be asked.
    """
    if ask.as_json or not _at_a_terminal():
        raise Stopped("Nothing was restored: nobody is here to be asked.", "Add --yes to do it.")
    if not click.confirm("Restore it?", err=True):
        raise Stopped("Nothing was restored.", code=FORBIDDEN)


def _at_a_terminal() -> bool:
    return sys.stdin.isatty() and sys.stderr.isatty()
