"""Fields of requests and answers, each with its own strictness and its own description.

A field refuses with the slug that the core would use: it raises marshmallow's error with the
`Refusal` inside, and `messages` puts the pointer to it. What a field loads to is what acts take:
quantities as `Decimal` in base units, moments as whole epoch seconds, dates as `date`.

In a `schemas.Answer` the same fields show what acts return, in the units and the zone that
the request wants (see `request.units`, `request.zone`).
"""

from .amounts import ALL, AnyQuantity, AskedAgain, Per, Quantity, StockQuantity
from .base import Field
from .plain import CODE, LARGEST_INTEGER, Choice, Code, Flag, Integer, List, Nested, Number, Text
from .times import Day, Moment, TimeOfDay

__all__ = [
    "ALL", "CODE", "LARGEST_INTEGER", "AnyQuantity", "AskedAgain", "Choice", "Code", "Day",
    "Field", "Flag", "Integer", "List", "Moment", "Nested", "Number", "Per", "Quantity",
    "StockQuantity", "Text", "TimeOfDay",
]  # fmt: skip
