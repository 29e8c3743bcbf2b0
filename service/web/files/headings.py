"""Headings: a column's name and unit, in any case and with either kind of brackets."""

from __future__ import annotations

import re
from typing import NamedTuple

_BRACKETS = re.compile(r"[(\[]\s*(.*?)\s*[)\]]\s*$")


class Heading(NamedTuple):
    """A heading in two parts: `On hand (kg)` is `on_hand` and `kg`."""

    name: str
    unit: str


def parted(text: str) -> Heading:
    """The parts of a heading, as people and our own exports write it."""
    match = _BRACKETS.search(text)
    name = text[: match.start()] if match else text
    words = name.casefold().replace("_", " ").replace("-", " ").split()
    return Heading("_".join(words), match[1] if match else "")


def spelt(name: str) -> str:
    """A field's name as a heading has it: `on_hand` as `on hand`."""
    return name.replace("_", " ")
