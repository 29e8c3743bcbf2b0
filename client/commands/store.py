"""`cureyard backup`, `restore`, `move-store` and `prove`: what is done to the store as a whole."""

from __future__ import annotations

from pathlib import Path

import click

from ..addresses import refuse_password
from ..asking import Ask, asks
from ..exits import Forbidden, Stopped
from ..rendering import store
from ..settings import hand


@click.command("backup")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@asks
def backup(ask: Ask, file: Path) -> None:
    """Back the store up into a new file, while others go on working.

    The file holds the whole store at one moment, and its books are proved. A store on
    PostgreSQL is backed up by pg_dump.

    \b
    Example:
      cureyard backup yard-2026-11-25.backup
    """
    ask.need_no_server("backup")
    from .. import upkeep

    made = upkeep.back_up(ask.settings, file)
    ask.print(made, store.backed_up)
    if made["findings"]:
        raise Forbidden("The books in it do not hold.", "Look at them with 'cureyard prove'.")


@click.command("restore")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--without-tokens", is_flag=True, help="Do not keep today's tokens.")
@click.option("--yes", is_flag=True, help="Do it without asking.")
@asks
def restore(ask: Ask, file: Path, without_tokens: bool, yes: bool) -> None:
    """Put a backup in the store's place; the old one is kept.

    The backup is first brought to this program's version and proved. The old store is kept
    under another name. No server may use the store meanwhile.

    Today's tokens stay valid, and revoked tokens stay revoked. If the backup is older than the
    first token, you are asked before it is restored.

    \b
    Examples:
      cureyard restore yard-2026-11-25.backup
      cureyard restore yard-2026-11-25.backup --yes
    """
    ask.need_no_server("restore")
    from .. import upkeep

    found = upkeep.look_at_backup(ask.settings, file)
    if found["opens"]:
        for line in store.opening(found["tokens"], ask.view, carry=not without_tokens):
            ask.say(line)
        if not yes:
            _confirm(ask)
    done = upkeep.restore(ask.settings, file, hand(ask.settings), carry=not without_tokens)
    ask.print(done, store.restored)


def _confirm(ask: Ask) -> None:
    """Ask whether to restore.

    Raises:
        Stopped: the answer is no, or nobody can be asked.
    """
    if not ask.can_confirm:
        raise Stopped("Nothing was restored: nobody is here to be asked.", "Add --yes to do it.")
    if not click.confirm("Restore it?", err=True):
        raise Forbidden("Nothing was restored.")


@click.command("move-store")
@click.option("--to", required=True, metavar="URL", help="postgresql://… or an SQLite file.")
@asks
def move_store(ask: Ask, to: str) -> None:
    """Take the store over to another database, row by row.

    No server may use the store meanwhile. The old store stays as it is. Every row is compared,
    and the books of the new store are proved. Do not write a password in the address: put it
    in PGPASSWORD, or in the file that PGPASSFILE names.

    \b
    Example:
      cureyard move-store --to postgresql://yard@db.example/yard
    """
    ask.need_no_server("move-store")
    refuse_password(to)
    from .. import upkeep

    ask.print(upkeep.move_store(ask.settings, to), store.moved)


@click.command("prove")
@click.option("--head", metavar="HEAD", help="Also check that the store had this head.")
@asks
def prove(ask: Ask, head: str | None) -> None:
    """Check the books, and that nothing was changed past the program.

    Every lot's movements add up, and every row is as it was when it was sealed. The head stands
    for all that is recorded: note it elsewhere, for who cuts off what came last leaves no gap.

    \b
    Examples:
      cureyard prove
      cureyard prove --head "3f2a 91bc 7d00 e4a1"
    """
    ask.need_no_server("prove")
    from .. import upkeep

    found = upkeep.prove(ask.settings, head)
    ask.print(found, store.proved)
    if not all(proof["ok"] for proof in found["proofs"]):
        raise Forbidden(
            "The books do not hold.",
            "Draw nothing more; restore the last backup that 'cureyard prove' passes.",
        )
