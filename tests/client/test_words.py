"""The words that commands offer are those of the interface, all of them."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click
from cureyard_client.main import program
from cureyard_client.options.common import Choice
from cureyard_service.web.app import create_app
from cureyard_service.web.context.settings import Settings

OWN = {
    "cureyard completion shell",
    "cureyard export kind",
    "cureyard import kind",
    "cureyard listen unit",
    "cureyard moisture undo what",
}
"""Where words are a command's own."""


def offered(command: click.Command, path: str) -> Iterator[tuple[str, frozenset[str]]]:
    """The sets of words of a command and of those below it, by where they stand."""
    context = click.Context(command)
    if isinstance(command, click.Group):
        for name in command.list_commands(context):
            below = command.get_command(context, name)
            assert below is not None
            yield from offered(below, f"{path} {name}")
    for param in command.params:
        if isinstance(param.type, Choice):
            yield f"{path} {param.name}", frozenset(param.type.choices)


def described(node: Any) -> Iterator[frozenset[str]]:
    """Every set of words in the description."""
    if isinstance(node, dict):
        if "enum" in node:
            yield frozenset(each for each in node["enum"] if each is not None)
        for each in node.values():
            yield from described(each)
    elif isinstance(node, list):
        for each in node:
            yield from described(each)


def test_the_words_of_commands_are_those_of_the_interface(tmp_path: Path) -> None:
    """Each set is one of the description's, whole; what is the command's own is named here."""
    app = create_app(Settings(database=str(tmp_path / "yard.sqlite"), zone="UTC"))
    known = set(described(app.test_client().get("/openapi.json").json))
    odd = {
        where
        for where, words in offered(program, "cureyard")
        if words - {"all"} not in known  # 'all' of them is said in one word
    }
    assert odd == OWN
