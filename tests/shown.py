"""The commands that a document shows, and whether they exist."""

from __future__ import annotations

import re
from typing import Any, NamedTuple

import click
from cureyard_client.main import COMMANDS, program

_CODE = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_INLINE = re.compile(r"`([^`]+)`")
_SETTING = re.compile(r"^CUREYARD_\w+=\S+ ", re.MULTILINE)
_OPTION = re.compile(r"(?<![\w-])--[a-z][a-z-]*")


class Shown(NamedTuple):
    """A command.

    Attributes:
        typed: it, on one line, without the program's name.
        answer: the lines that are shown of its answer.
    """

    typed: str
    answer: list[str]


def commands(text: str) -> list[Shown]:
    """The program's commands in the console blocks of a Markdown text, in order.

    In a block with a prompt, the lines without one are answers.
    """
    found: list[Shown] = []
    for kind, block in _CODE.findall(text):
        if kind == "console":
            prompt = "$ " if block.startswith("$ ") else ""
            for line in _SETTING.sub("", re.sub(r"\\\n\s*", "", block)).splitlines():
                if line.startswith(f"{prompt}cureyard "):
                    typed = line.removeprefix(f"{prompt}cureyard ")
                    found.append(Shown(re.sub(r"\s+# .*", "", typed), []))
                elif prompt and not line.startswith(prompt):
                    found[-1].answer.append(line)
    return found


def unknown(text: str) -> list[str]:
    """Commands and options that a Markdown text names and the program does not have."""
    inline = [" ".join(span.split()) for span in _INLINE.findall(_CODE.sub("", text))]
    typed = [shown.typed for shown in commands(text)]
    typed += [span.removeprefix("cureyard ") for span in inline if _is_command(span)]
    everywhere = {name for path in _leaves(program) for name in _options(path)}
    options = [name for span in inline if span.startswith("--") for name in _OPTION.findall(span)]
    return [
        *(fault for line in typed for fault in _faults(line)),
        *(name for name in options if name not in everywhere),
    ]


def _is_command(span: str) -> bool:
    return span.startswith("cureyard ") or span.split()[0] in COMMANDS


def _faults(line: str) -> list[str]:
    command: Any = program
    for word in line.split():
        if isinstance(command, click.Group) and not word.startswith("-"):
            command = command.get_command(click.Context(command), word)
    if command is None:
        return [line]
    known = _options(command)
    asked = _OPTION.findall(line.partition(" | ")[0])
    return [f"{line}: {name}" for name in asked if name not in known]


def _options(command: click.Command) -> set[str]:
    given = command.get_params(click.Context(command))
    return {name for param in given for name in (*param.opts, *param.secondary_opts)}


def _leaves(command: click.Command) -> list[click.Command]:
    if not isinstance(command, click.Group):
        return [command]
    ctx = click.Context(command)
    below = [command.get_command(ctx, name) for name in command.list_commands(ctx)]
    return [command, *(leaf for each in below if each for leaf in _leaves(each))]
