"""`cureyard serve`: the store, for other machines and programs."""

from __future__ import annotations

import click

from ..asking import Ask, asks


@click.command("serve")
@click.option("--host", default="127.0.0.1", metavar="HOST", help="Where to listen (127.0.0.1).")
@click.option("--port", default=8765, type=click.IntRange(0, 65535), help="At which port (8765).")
@asks
def command(ask: Ask, host: str, port: int) -> None:
    """Serve the store to other machines and programs.

    \b
    Example:
      cureyard serve --port 8765
    """
    ask.need_no_server("serve")
    from .. import door

    door.serve(ask.settings, host, port)
