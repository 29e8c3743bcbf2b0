"""What a message of a broker says: a plain number, or a number in a field of its JSON."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from typing import Any

LEAST_NONE = 10_000
"""From here on a number is no temperature in any unit."""
LARGEST = 4096
"""Bytes of a message that is read: a reading needs a few."""
_NUMBER = re.compile(r"[+-]?\d{1,4}(\.\d{1,9})?")


class NoReading(Exception):
    """A message that is no reading; its words say why."""


@dataclass(frozen=True)
class Shape:
    """How messages are written.

    Attributes:
        unit: of the temperature. field: its name in JSON, with dots for what is inside; None where
            a message is the number itself. humidity_field: as `field`, of the relative humidity.
    """

    unit: str
    field: str | None = None
    humidity_field: str | None = None


def read(payload: bytes, shape: Shape) -> tuple[str, float | None]:
    """The temperature with its unit, and the humidity in percent or None.

    Raises: NoReading: the message is none.
    """
    if not payload.strip():
        raise NoReading("It is empty.")
    if len(payload) > LARGEST:
        raise NoReading(f"It is larger than {LARGEST} bytes.")
    try:
        text = payload.decode("utf-8").strip()
    except UnicodeDecodeError as error:
        raise NoReading("It is not UTF-8.") from error
    if shape.field is None:
        return f"{_number(text, 'it')} {shape.unit}", None
    body = _json(text)
    heat = _number(_inside(body, shape.field), shape.field)
    return f"{heat} {shape.unit}", _humidity(body, shape.humidity_field)


def _humidity(body: Any, field: str | None) -> float | None:
    """The humidity in percent; a broken hygrometer keeps no temperature back."""
    if field is None:
        return None
    try:
        damp = float(_number(_inside(body, field), field))
    except NoReading:
        return None
    return damp if 0 < damp <= 100 else None


def _json(text: str) -> Any:
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as error:
        raise NoReading("It is not JSON.") from error


def _inside(body: Any, name: str) -> Any:
    """The value of a field; a name with dots is of an object inside another."""
    for part in name.split("."):
        if not isinstance(body, dict) or part not in body:
            raise NoReading(f"It has no field {name!r}.")
        body = body[part]
    return body


def _number(value: Any, name: str) -> str:
    """A number as text, as it was written if it was text."""
    if isinstance(value, str) and _NUMBER.fullmatch(value.strip()):
        return value.strip()
    if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < LEAST_NONE:
        told = f"{value:.9g}"
        if _NUMBER.fullmatch(told):
            return told
    raise NoReading(f"{name[:1].upper()}{name[1:]} is not a number: {str(value)[:40]!r}")
