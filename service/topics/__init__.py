"""Help topics: text for people, one Markdown file a topic.

Two readers share them: the pages at `/docs`, and the command `cureyard help`. So this package
imports nothing of the service. The files keep to headings, paragraphs, lists and fenced code.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files
from typing import Literal, NamedTuple

_FENCED = re.compile(r"^```\w*\n(.*?)\n```$", re.MULTILINE | re.DOTALL)


class Block(NamedTuple):
    """A part of a topic.

    Attributes:
        kind: what it is.
        lines: a heading or a paragraph is one line, a list has a line an item, code is as typed.
    """

    kind: Literal["heading", "text", "list", "code"]
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Topic:
    """A topic.

    Attributes:
        name: what is typed to see it.
        title: its first line, for the list of topics.
        text: the whole file, as Markdown.
    """

    name: str
    title: str
    text: str

    @property
    def blocks(self) -> list[Block]:
        """All that stands below the title."""
        return list(_blocks(self.text.partition("\n")[2]))


def names() -> list[str]:
    """The names of all topics, in alphabetical order."""
    found = (file.name.partition(".") for file in files(__package__).iterdir())
    return sorted(name for name, _, kind in found if kind == "md")


def topic(name: str) -> Topic:
    """The topic of a name.

    Raises:
        KeyError: there is none.
    """
    if name not in names():
        raise KeyError(name)
    text = files(__package__).joinpath(f"{name}.md").read_text(encoding="utf-8")
    return Topic(name, text.partition("\n")[0].removeprefix("# "), text)


def telling_of(word: str) -> list[str]:
    """The names of topics that tell of a word, in any ending, best first; headings count most."""
    stem = re.sub(r"(ing|es|s)$", "", word.casefold()) or word
    found = re.compile(rf"\b{re.escape(stem)}", re.IGNORECASE)
    told = {name: topic(name).text for name in names()}
    counts = {
        name: len(found.findall(text))
        + 100 * sum(bool(found.search(line)) for line in text.splitlines() if line[:1] == "#")
        for name, text in told.items()
    }
    return sorted((name for name in counts if counts[name]), key=lambda name: -counts[name])


def _blocks(text: str) -> Iterator[Block]:
    for number, part in enumerate(_FENCED.split(text)):
        if number % 2:
            yield Block("code", tuple(part.split("\n")))
        else:
            yield from map(_block, filter(None, map(str.strip, part.split("\n\n"))))


def _block(part: str) -> Block:
    if part.startswith("## "):
        return Block("heading", (part.removeprefix("## "),))
    if part.startswith("- "):
        items = re.split(r"\n- ", part.removeprefix("- "))
        return Block("list", tuple(" ".join(item.split()) for item in items))
    return Block("text", (" ".join(part.split()),))
