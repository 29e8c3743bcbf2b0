"""What each field, query and name in an address means, in the OpenAPI document.

The meanings are in `meanings.txt`, one line each, so that the same thing is said in the same words
everywhere. A quantity's own description, its units, follows its meaning.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from importlib.resources import files

from ..fields.schemas import JsonSchema

OF_UNITS = ("a unit (", "one number and one unit (", "such as '")
"""Descriptions of how a quantity is written, which do not say what it is."""


def put_into(document: JsonSchema) -> None:
    """Add the meanings to an OpenAPI document."""
    for schema, name, told in named(document):
        meaning = meanings().get(f"{schema}.{name}") or meanings().get(name, "")
        own = str(told.get("description", ""))
        if not own or is_of_units(own):
            written = f"{own[:1].upper()}{own[1:]}." if own else ""
            told["description"] = f"{meaning} {written}".strip()


def named(document: JsonSchema) -> Iterator[tuple[str, str, JsonSchema]]:
    """Each field and parameter: its schema or an empty text, its name, and what is said of it."""
    for schema, shape in document["components"]["schemas"].items():
        for name, told in shape.get("properties", {}).items():
            yield schema, name, told
    for operations in document["paths"].values():
        for operation in operations.values():
            asked = operation if isinstance(operation, list) else operation.get("parameters", ())
            for each in asked:
                if "name" in each:
                    yield "", each["name"], each


def is_of_units(description: str) -> bool:
    """Whether a description says only how a quantity is written."""
    return any(words in description for words in OF_UNITS)


@cache
def meanings() -> dict[str, str]:
    """The table: `field` or `Schema.field` → meaning."""
    text = files(__package__).joinpath("meanings.txt").read_text(encoding="utf-8")
    lines = (line for line in text.splitlines() if line and not line.startswith("#"))
    return {name: meaning for name, _, meaning in (line.partition(": ") for line in lines)}
