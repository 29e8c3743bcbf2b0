"""Headings: what a column holds and in which unit, whatever the case and the brackets."""

from __future__ import annotations

import re
from typing import NamedTuple

_BRACKETS = re.compile(r"[(\[]\s*(.*?)\s*[)\]]\s*$")


class Heading(NamedTuple):
    """A heading in two parts: `On hand (kg)` is `on_hand` and `kg`."""

    name: str
    unit: str


def parted(text: str) -> Heading:
    """The parts of a heading as a person or an export of ours writes it."""
    match = _BRACKETS.search(text)
    name = text[: match.start()] if match else text
    words = name.casefold().replace("_", " ").replace("-", " ").split()
    return Heading("_".join(words), match[1] if match else "")


def spelt(name: str) -> str:
    """A name as it stands in a heading: `on_hand` is `on hand`."""
    return name.replace("_", " ")
