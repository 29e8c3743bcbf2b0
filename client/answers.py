"""The JSON in the service's answers.

The service describes every field at `/docs`. Types for each field here would repeat that
description by hand, so only the shapes that return everywhere have a type of their own.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias, TypedDict

Record: TypeAlias = Mapping[str, Any]
"""One JSON object of an answer, such as a lot, a pot or a plan; never changed here."""


class Quantity(TypedDict):
    """An amount with its unit."""

    value: float
    unit: str


class Money(TypedDict):
    """A cost, with the ISO 4217 code of its currency."""

    amount: float
    currency: str
