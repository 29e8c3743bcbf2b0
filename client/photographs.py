"""Sending photographs, and showing those of a job, a layup or a lot below its record."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from .asking import Ask, Render
from .exits import Refused, Stopped
from .rendering import photographs
from .rendering.columns import View

F = TypeVar("F", bound=Callable[..., Any])

_PNG = b"\x89PNG\r\n\x1a\n"


def photo_options(command: F) -> F:
    """Give a command its files, and what they show."""
    files = click.argument(
        "files", metavar="FILE...", nargs=-1, required=True,
        type=click.Path(exists=True, dir_okay=False),
    )  # fmt: skip
    shows = click.option("--shows", required=True, metavar="TEXT", help="What to see on it.")
    return files(shows(command))


def keep(ask: Ask, path: str, files: tuple[str, ...], shows: str) -> None:
    """Send files, one after the other; those before one that is refused are kept.

    Args:
        path: of the job, layup or lot.
    """
    for file in files:
        try:
            picture = Path(file).read_bytes()
        except OSError as error:
            raise Stopped(f"{file} can't be read: {error.strerror}.") from error
        kind = "image/png" if picture.startswith(_PNG) else "image/jpeg"
        try:
            answer = ask.api.post_file(f"{path}/photographs", picture, kind, shows=shows)
        except Refused:
            ask.say(f"{file}:")
            raise
        ask.show(answer, photographs.shown)
        if answer.body["kept_before"]:
            ask.say(f"{file}: the same photograph was kept before, and is kept once.")


def show_with(ask: Ask, path: str, render: Render, **query: Any) -> None:
    """Show a job, a layup or a lot, and below it what photographs there are."""
    ask.show(ask.api.get(path, **query), render)
    if ask.as_json:
        return
    found = ask.api.get(f"{path}/photographs").body
    if found.get("items"):

        def below(body: Any, view: View) -> list[str]:
            return ["", *photographs.listed(body["items"], view)]

        ask.print(found, below)
        if found["next"]:
            ask.say("There are more photographs: see 'cureyard photo list'.")
