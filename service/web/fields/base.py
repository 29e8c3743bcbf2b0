"""What every field has: words for a person, a description, a refusal with its slug."""

from __future__ import annotations

import re
from typing import Any

import marshmallow as ma
from marshmallow import fields as mf

from ...core.errors import Invalid, Refusal
from .schemas import Answer, Query


def no(detail: str, advice: str = "") -> ma.ValidationError:
    """What a field raises when the content is wrong in a way that no narrower slug names."""
    return refused(Invalid(detail, advice=advice))


def refused(refusal: Refusal) -> ma.ValidationError:
    """What a field raises for a refusal of the core."""
    return ma.ValidationError([refusal])


class Field(mf.Field[Any]):
    """A field that words its refusals for a person and describes itself in OpenAPI."""

    default_error_messages: dict[str, Any] = {  # noqa: RUF012 (as marshmallow has it)
        "required": "This is needed.",
        "null": "This can't be null.",
    }

    def described(self) -> dict[str, Any]:
        """Its JSON Schema."""
        return {}

    def described_over(self, guessed: dict[str, Any]) -> dict[str, Any]:
        """Its JSON Schema, where it builds on what the library guessed from its class."""
        return self.described()

    @property
    def in_answer(self) -> bool:
        """Whether it stands in an answer."""
        return isinstance(self.root, Answer)

    def from_text(self, value: object) -> object:
        """In a query everything is text; a plain number in it is meant as one."""
        if isinstance(self.parent, Query) and isinstance(value, str):
            if re.fullmatch(r"-?\d{1,19}", value, re.ASCII):
                return int(value)
            if re.fullmatch(r"-?\d{1,15}\.\d{1,12}", value, re.ASCII):
                return float(value)
        return value
