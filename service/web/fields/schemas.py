"""The shapes of bodies: what comes in is taken strictly, what goes out is shown plainly."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, ClassVar, cast

import marshmallow as ma

from ...core.amounts.quantities import UNREAD, Given, parse_any
from ...core.errors import Invalid, Refusal


class Shape(ma.Schema):
    """What bodies have in common: once made, a shape stays as it is, so its copy is itself.

    The library copies what it knows of a view, shapes and all, at each of a view's decorators;
    that took longer than all else in starting the program.
    """

    def __deepcopy__(self, _memo: Any) -> Shape:
        return self


class Body(Shape):
    """A JSON object that a request carries. A name that it does not have is refused.

    A body that may also come as a table has a method `from_csv(text)` that gives the object
    which the table stands for.
    """

    class Meta:
        unknown = ma.RAISE

    error_messages = {"type": "A JSON object is wanted here."}  # noqa: RUF012 (marshmallow's own)

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        names = ", ".join(self.load_fields)
        unknown: Any = Invalid("There is no such name here.", advice=f"Names here: {names}.")
        self.error_messages["unknown"] = unknown

    def handle_error(self, error: ma.ValidationError, data: Any, **options: Any) -> None:
        """Add what an act would refuse for its unit, so that all faults are told together."""
        valid = error.valid_data if isinstance(error.valid_data, dict) else {}
        for name, given in valid.items():
            if isinstance(given, Given) and given.kind is UNREAD:
                field: Any = self.load_fields[name]
                try:
                    parse_any(given.text, field.kinds)
                except Refusal as refusal:
                    cast(dict[str, Any], error.messages)[name] = [refusal]


class Query(Body):
    """The query of an address, `?name=text`: numbers come as text and are read from it."""


class Answer(Shape):
    """A JSON object that an answer carries, made from a mapping or from attributes.

    Within v1 an answer may get more names, so its description says that it can.
    """

    class Meta:
        unknown = ma.INCLUDE

    left_out: ClassVar[Mapping[str, str]] = {}
    """Field → the field that it is left out along with, while that is None; it may be itself."""

    def get_attribute(self, obj: Any, attr: str, default: Any) -> Any:
        """A value of an object; missing while it is left out."""
        beside = self.left_out.get(attr)
        if beside is not None and getattr(obj, beside) is None:
            return ma.missing
        return super().get_attribute(obj, attr, default)
