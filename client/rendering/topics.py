"""Help topics on a terminal."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from .columns import View, labelled, wrapped

WIDEST = 80
"""Characters of a line of prose: a longer one is hard to read."""
EDGE = "  "
MARKS = {"heading": "", "text": EDGE, "list": f"{EDGE}- "}


def topic_list(titles: Mapping[str, str], view: View) -> list[str]:
    """Each topic's name with its title."""
    return labelled(titles.items(), min(view.width, WIDEST))


def topic(title: str, blocks: Iterable[tuple[str, Sequence[str]]], view: View) -> list[str]:
    """A topic: prose wrapped to the screen, code as it is typed.

    Args:
        blocks: the kind of each, `heading`, `text`, `list` or `code`, and its lines.
    """
    width = min(view.width, WIDEST)
    shown = wrapped(title, width)
    for kind, lines in blocks:
        shown.append("")
        if kind == "code":
            shown += [f"{EDGE}{EDGE}{line}".rstrip() for line in lines]
        else:
            shown += [part for line in lines for part in wrapped(line, width, MARKS[kind])]
    return shown
