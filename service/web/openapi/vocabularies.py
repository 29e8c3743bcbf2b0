"""A name for each set of words that several fields or queries share, in the OpenAPI document.

A program that was generated from the document then has one type for them: the kind of a layup
that it reads is the kind of a layup that it enters. The names are in `vocabularies.txt`, each
with a place that has the words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from typing import Any

from ..fields.schemas import JsonSchema
from .meanings import named

Words = frozenset[str]


def put_into(document: JsonSchema) -> None:
    """Move each named set of words of an OpenAPI document to a schema of its own."""
    shared = dict(_shared(document))
    names = {_words(schema): name for name, schema in shared.items()}
    for part in ("paths", "components"):
        document[part] = _referring(document[part], names)
    document["components"]["schemas"] |= shared


def sets_of_words(piece: Any) -> Iterator[JsonSchema]:
    """Each schema in a piece of the document that is a set of words."""
    if _is_set_of_words(piece):
        yield piece
    inside = list(piece.values()) if isinstance(piece, dict) else piece
    for each in inside if isinstance(inside, list) else ():
        yield from sets_of_words(each)


@cache
def places() -> dict[str, str]:
    """The table: name → `Schema.field`, or a query, that has the words."""
    text = files(__package__).joinpath("vocabularies.txt").read_text(encoding="utf-8")
    lines = (line for line in text.splitlines() if line and not line.startswith("#"))
    return {name: place for name, _, place in (line.partition(": ") for line in lines)}


def _shared(document: JsonSchema) -> Iterator[tuple[str, JsonSchema]]:
    told = {f"{schema}.{name}".lstrip("."): each for schema, name, each in named(document)}
    for name, place in places().items():
        (found,) = sets_of_words(told[place])
        yield name, {"type": "string", "enum": found["enum"]}


def _referring(piece: Any, names: Mapping[Words, str]) -> Any:
    """The same piece, where each named set of words is referred to; the piece itself is kept.

    Operations share pieces, such as the query of the units, with each other and with the code.
    """
    if isinstance(piece, list):
        return [_referring(each, names) for each in piece]
    if not isinstance(piece, dict):
        return piece
    if _is_set_of_words(piece) and _words(piece) in names:
        rest = {name: each for name, each in piece.items() if name not in ("type", "enum")}
        return {"$ref": f"#/components/schemas/{names[_words(piece)]}", **rest}
    return {name: _referring(each, names) for name, each in piece.items()}


def _is_set_of_words(piece: Any) -> bool:
    return isinstance(piece, dict) and piece.get("type") == "string" and "enum" in piece


def _words(schema: JsonSchema) -> Words:
    return frozenset(schema["enum"])
