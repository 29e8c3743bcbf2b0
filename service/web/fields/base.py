"""What every field has: words for a person, a description, how it is read and shown."""

from __future__ import annotations

import re
from typing import Any

import marshmallow as ma
from marshmallow import fields as mf

from ...core.errors import Invalid, Refusal
from .schemas import Answer, JsonSchema, Query
from .writer import Reader


def no(detail: str, advice: str = "") -> ma.ValidationError:
    """The error of a field whose content is wrong in a way that no narrower slug names."""
    return refused(Invalid(detail, advice=advice))


def refused(refusal: Refusal) -> ma.ValidationError:
    """The error of a field that carries a refusal of the core."""
    return ma.ValidationError([refusal])


class Described(mf.Field[Any]):
    """A field that words its refusals for a person and describes itself in OpenAPI."""

    default_error_messages = {  # noqa: RUF012 (as marshmallow has it)
        "required": "This is needed.",
        "null": "This can't be null.",
    }

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        return {}

    def described_over(self, guessed: JsonSchema) -> JsonSchema:
        """Its JSON Schema, where it builds on what the library guessed from its class."""
        return self.described()

    def show(self, value: Any, reader: Reader) -> Any:
        """A value as an answer shows it; `value` is never None."""
        return value

    @property
    def in_answer(self) -> bool:
        """Whether it is a field of an answer."""
        return isinstance(self.root, Answer)


class Field(Described):
    """A field of one value."""

    def read(self, value: Any) -> Any:
        """What a value of a request means; `value` is never None."""
        return value

    def from_text(self, value: object) -> object:
        """In a query everything is text; a plain number in it is meant as one."""
        if isinstance(self.parent, Query) and isinstance(value, str):
            if re.fullmatch(r"-?\d{1,19}", value, re.ASCII):
                return int(value)
            if re.fullmatch(r"-?\d{1,15}\.\d{1,12}", value, re.ASCII):
                return float(value)
        return value

    # The two methods that marshmallow has a field override. It calls the first to read a body,
    # the second to describe a default; answers are written by `writer`.

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> Any:
        return self.read(value)

    def _serialize(self, value: Any, *args: Any, **kwargs: Any) -> Any:
        return None if value is None else self.show(value, Reader())
