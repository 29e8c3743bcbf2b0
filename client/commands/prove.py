"""`cureyard prove`: the books, from their rows."""

from __future__ import annotations

import click

from ..asking import Ask, asks
from ..exits import FORBIDDEN, Stopped
from ..rendering import proofs


@click.command("prove")
@asks
def command(ask: Ask) -> None:
    """Prove the books from their rows.

    \b
    Example:
      cureyard prove
    """
    ask.need_no_server("prove")
    from .. import door

    found = door.prove(ask.settings)
    ask.print({"proofs": found}, proofs.shown)
    if not all(proof["ok"] for proof in found):
        raise Stopped(
            "The books do not hold.",
            "Draw nothing more; restore the last backup that 'cureyard prove' passes.",
            FORBIDDEN,
        )
