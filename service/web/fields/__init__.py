"""Fields of requests and answers, each with its own strictness and its own description.

A field refuses with the slug that the core would use: it raises marshmallow's error with the
`Refusal` inside, and `messages` adds the pointer. It loads what acts take: quantities as
`Decimal` in base units, moments as whole epoch seconds, dates as `date`.

In an answer the same fields show what acts return, in the reader's units and the yard's zone
(see `writer`).
"""

from .amounts import ALL, QUANTITY, AnyQuantity, AskedAgain, Per, Quantity, StockQuantity
from .base import Described, Field
from .plain import (
    CODE,
    LARGEST_INTEGER,
    Choice,
    Code,
    Currency,
    Flag,
    Integer,
    List,
    LotNumber,
    Nested,
    Number,
    Text,
)
from .times import Day, Moment, TimeOfDay

__all__ = [
    "ALL", "CODE", "LARGEST_INTEGER", "QUANTITY", "AnyQuantity", "AskedAgain", "Choice", "Code",
    "Currency", "Day", "Described", "Field", "Flag", "Integer", "List", "LotNumber", "Moment",
    "Nested", "Number", "Per", "Quantity", "StockQuantity", "Text", "TimeOfDay",
]  # fmt: skip
