"""Schemas: of bodies and queries, which are read strictly, and of answers."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Any, ClassVar

import marshmallow as ma

from ...core.amounts.quantities import UNREAD, Given, parse_any
from ...core.errors import Invalid, Refusal
from .writer import Reader, Writer

JsonSchema = dict[str, Any]
"""A JSON Schema, or another piece of the OpenAPI document."""

Loaded = dict[str, Any]
"""A body or a query as its schema loads it: values by field."""


class Shape(ma.Schema):
    """A schema that never changes once it is made, so it is its own copy.

    flask-smorest copies a method's schemas at each decorator; without this it took longer than
    all the rest of starting the program.
    """

    def __deepcopy__(self, _memo: Any) -> Shape:
        return self


class Body(Shape):
    """A JSON object in a request. A name that the schema does not have is refused.

    A body that may also come as a table has a method `from_csv(text)`, which returns the object
    that the table stands for. One that may come as other texts lists their media types in `texts`,
    each with its JSON Schema, and `from_text` reads them.
    """

    texts: ClassVar[Mapping[str, JsonSchema]] = {}

    class Meta:
        unknown = ma.RAISE

    error_messages = {"type": "This must be a JSON object."}  # noqa: RUF012 (marshmallow's own)

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        names = ", ".join(field.data_key or name for name, field in self.load_fields.items())
        unknown: Any = Invalid("Unknown field.", advice=f"Fields here: {names}.")
        self.error_messages["unknown"] = unknown

    def from_text(self, media_type: str, text: str) -> Loaded:
        """The object that a body of one of `texts` stands for."""
        raise NotImplementedError(media_type)

    def handle_error(self, error: ma.ValidationError, data: Any, **options: Any) -> None:
        """Add the units that an act would refuse, so that all faults are reported together."""
        valid = error.valid_data if isinstance(error.valid_data, dict) else {}
        for name, given in valid.items():
            if isinstance(given, Given) and given.kind is UNREAD:
                field: Any = self.load_fields[name]
                try:
                    parse_any(given.text, field.kinds)
                except Refusal as refusal:
                    error.messages_dict[name] = [refusal]


class PlainBody(Body):
    """An object of a long list, whose fields say all that there is to check: it has no hooks.

    marshmallow asks each field of each item how it is to be read. Here that is found out once, and
    where anything is amiss, it is left to marshmallow to say what.
    """

    def straight(self, item: Any) -> Loaded:
        """What an item loads to.

        Raises: KeyError, TypeError or ma.ValidationError where anything is amiss, or null.
        """
        loaded = {name: self._reads[name](value) for name, value in item.items()}
        if not self._needed <= loaded.keys():
            raise KeyError
        return loaded

    @cached_property
    def _reads(self) -> dict[str, Any]:
        """Name → how its value is read."""
        return {name: self._read_of(field) for name, field in self.load_fields.items()}

    @cached_property
    def _needed(self) -> set[str]:
        return {name for name, field in self.load_fields.items() if field.required}

    def _read_of(self, field: Any) -> Any:
        plain = (field.data_key, field.attribute, field.load_default, field.allow_none)
        if plain != (None, None, ma.missing, False) or field.validators:
            raise TypeError(f"{field.name} of a plain body has more to it than its kind")
        return field.read


class Query(Body):
    """The query of an address, `?name=text`: numbers come as text and are read from it."""


class Answer(Shape):
    """A JSON object in an answer, made from a mapping or from an object's attributes.

    Later versions of v1 may add names to an answer, and its description says so.
    """

    class Meta:
        unknown = ma.INCLUDE

    left_out: ClassVar[Mapping[str, str]] = {}
    """Field → the field that it is left out along with, while that is None; it may be itself."""

    def dump(self, obj: Any, *, many: bool | None = None) -> Any:
        """Write an object that an act returned, or each of many, for the reader of this answer."""
        reader = Reader()
        if self.many if many is None else many:
            return [self.writer.write(each, reader) for each in obj]
        return self.writer.write(obj, reader)

    @cached_property
    def writer(self) -> Writer:
        """Writes objects by these fields."""
        return Writer(self, self.left_out)
