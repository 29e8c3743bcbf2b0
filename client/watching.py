"""A screen that is drawn anew every few seconds, and never passes an old answer for a new one."""

from __future__ import annotations

import shutil
import sys
import time
from collections.abc import Callable
from typing import Any

import click

from . import clock
from .api import Answer
from .asking import Render
from .exits import FAULTY, UNREACHED, Stopped
from .rendering.columns import View, plain, wrapped

EVERY_S = 5
"""Seconds between two drawings."""

_CLEAR = "\x1b[H\x1b[2J\x1b[3J"


def watch(look: Callable[[], Answer], render: Render) -> None:
    """Draw an answer over and over, until interrupted.

    Args:
        look: asks for it. render: makes lines of its body, which has `at`, when it was so.

    Raises:
        Stopped: there is no terminal to draw on, nothing answers from the start, or it is
            refused.
    """
    if not sys.stdout.isatty():
        raise Stopped("--watch draws on a terminal, and there is none.", "Leave --watch out.")
    seen: Any = None
    while True:
        lost = ""
        try:
            seen = look().body
        except Stopped as stopped:
            if seen is None or stopped.exit_code not in (UNREACHED, FAULTY):
                raise
            lost = stopped.message
        width, height = shutil.get_terminal_size((100, 24))
        lines = drawn(seen, lost, View(width, clock.now()), render)
        click.echo(_CLEAR + "\n".join(lines[: height - 1]))
        time.sleep(EVERY_S)


def drawn(body: Any, lost: str, view: View, render: Render) -> list[str]:
    """One drawing: of when it is, or that nothing newer came, and then what it says."""
    as_of = clock.face(body["at"])
    if lost:
        words = f"No answer any more ({plain(lost)}) All that is below is as of {as_of}."
        head = wrapped(words, view.width, "! ")
    else:
        head = [f"as of {as_of}; Ctrl-C ends it"]
    return [*head, "", *render(body, view)]
