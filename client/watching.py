"""Shows an answer again every few seconds; an old answer never passes for a new one."""

from __future__ import annotations

import shutil
import sys
import time
from collections.abc import Callable

import click

from . import clock
from .answers import Record
from .api import NOT_MODIFIED, Answer
from .asking import Render
from .exits import Faulty, Stopped, Unreached
from .rendering.columns import View, plain, wrapped

EVERY_S = 5
"""Seconds between two requests."""
WHOLE_EVERY_S = 60
"""Seconds for which an answer is shown whose words, hours and states still hold: the air of the
bays in it, and the moment that it is of, are no older."""

_CLEAR = "\x1b[H\x1b[2J\x1b[3J"


def watch(look: Callable[[str | None], Answer], render: Render) -> None:
    """Show an answer again and again, until interrupted.

    Args:
        look: makes the request, with the ETag of an answer that is kept, if one is.
        render: makes lines of the answer's body, in which `at` is the time of the answer.

    Raises:
        Stopped: there is no terminal, no server answers the first request, or one is refused.
    """
    if not sys.stdout.isatty():
        raise Stopped("--watch draws on a terminal, and there is none.", "Leave --watch out.")
    last: Record = {}
    kept, until = None, 0.0
    while True:
        lost = ""
        try:
            answer = look(kept if time.monotonic() < until else None)
            if answer.status != NOT_MODIFIED:
                last, kept = answer.body, answer.etag
                until = time.monotonic() + WHOLE_EVERY_S
        except (Unreached, Faulty) as error:
            if not last:
                raise
            lost = error.message
        width, height = shutil.get_terminal_size((100, 24))
        lines = screen(last, lost, View(width, clock.now()), render)
        click.echo(_CLEAR + "\n".join(lines[: height - 1]))
        time.sleep(EVERY_S)


def screen(body: Record, lost: str, view: View, render: Render) -> list[str]:
    """One screen: the time of the answer, or that no newer one came; then the answer."""
    as_of = clock.face(body["at"])
    if lost:
        words = f"No answer any more ({plain(lost)}) All that is below is as of {as_of}."
        head = wrapped(words, view.width, "! ")
    else:
        head = [f"as of {as_of}; Ctrl-C ends it"]
    return [*head, "", *render(body, view)]
