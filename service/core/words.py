"""Words for people, with amounts that each reader sees in one system of units.

    say("Coldest reading of the last day: {}.", heat(air.low))

The core knows nobody's units, and its sentences reach people in a pound yard and in a kilogram
yard. So a sentence with an amount is data, `Words`, until whoever shows it takes one system by
`shown`; a sentence without one is a plain `str`. Both together are `Text`. `amounts/sentences.py`
writes the amounts.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any, Literal, NoReturn

from .frozen import frozen

System = Literal["metric", "us"]


@frozen
class Amount:
    """An amount as it is written in either system of units."""

    metric: str
    us: str


@frozen
class Words:
    """A sentence, or a part of one, with amounts in it."""

    parts: tuple[str | Amount, ...]

    def __add__(self, after: Text) -> Words:
        return Words(_merged(self.parts + _parts(after)))

    def __radd__(self, before: str) -> Words:
        return Words(_merged((before, *self.parts)))

    def __str__(self) -> NoReturn:
        raise TypeError("show these words in a system of units, or put them together by 'say'")

    def __format__(self, _spec: str) -> NoReturn:
        str(self)  # type: ignore[words]  # unused, and so an error, where the plugin is not on
        raise AssertionError


Text = str | Words
"""Words for a person, with amounts in them or without."""


def say(form: str, *inside: Text | int) -> Text:
    """A text with other texts in it, each in place of a `{}`."""
    first, *others = form.split("{}")
    parts: list[str | Amount] = [first]
    for text, after in zip(inside, others, strict=True):
        parts += [*_parts(text if isinstance(text, Words) else str(text)), after]
    return _text(parts)


def joined(separator: str, texts: Iterable[Text]) -> Text:
    """Texts one after another, as `str.join`."""
    parts: list[str | Amount] = []
    for text in texts:
        parts += [separator, *_parts(text)] if parts else _parts(text)
    return _text(parts)


def shown(text: Text, system: System) -> str:
    """A text as a reader of a system of units sees it."""
    if isinstance(text, str):
        return text
    return "".join(p if isinstance(p, str) else getattr(p, system) for p in text.parts)


def as_plain(text: object) -> Any:
    """What `json.dumps` keeps of words: the dict of their parts, as `asdict` has it."""
    if not isinstance(text, Words):
        raise TypeError(f"{type(text).__name__} is not kept as JSON")
    return asdict(text)


def from_plain(kept: dict[str, Any]) -> Any:
    """As `json.loads` has it by its `object_hook`: words again where they were words."""
    if kept.keys() == {"metric", "us"}:
        return Amount(**kept)
    return Words(tuple(kept["parts"])) if kept.keys() == {"parts"} else kept


def _parts(text: Text) -> tuple[str | Amount, ...]:
    return (text,) if isinstance(text, str) else text.parts


def _text(parts: Iterable[str | Amount]) -> Text:
    merged = _merged(parts)
    if all(isinstance(part, str) for part in merged):
        return "".join(str(part) for part in merged)
    return Words(merged)


def _merged(parts: Iterable[str | Amount]) -> tuple[str | Amount, ...]:
    """Neighbouring strings as one, so that words are equal where their texts are."""
    found: list[str | Amount] = []
    for part in parts:
        last = found[-1] if found else None
        if isinstance(part, str) and isinstance(last, str):
            found[-1] = last + part
        elif part != "":
            found.append(part)
    return tuple(found)
