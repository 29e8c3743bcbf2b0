"""The content of a cell: text that is no formula, numbers, yes and no."""

from __future__ import annotations

import re
from functools import lru_cache

from ...core.errors import Invalid

FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
"""Characters by which a spreadsheet takes a text for a formula, wide forms included."""

_NUMBER = re.compile(r"[+-]?(?:\d{1,15}(?:\.\d{1,12})?|\.\d{1,12})", re.ASCII)
_FRACTION = re.compile(r"[+-]?(?:\d{1,12}[- ])?\d{1,4}/\d{1,4}", re.ASCII)
_YES = {"yes": True, "y": True, "true": True, "x": True, "no": False, "n": False, "false": False}


def guarded(text: str) -> str:
    """A text made safe from being taken for a formula; `unguarded` undoes it."""
    return f"'{text}" if text.startswith((*FORMULA, "'")) else text


def unguarded(text: str) -> str:
    """The text that was given to `guarded`."""
    return text[1:] if text[:1] == "'" and text[1:].startswith((*FORMULA, "'")) else text


@lru_cache(maxsize=8192)  # a logger repeats itself
def plain(text: str, decimal_comma: bool) -> str:
    """A number's text with a point as its decimal mark; other texts unchanged.

    Raises:
        Invalid: its comma may mark decimals or thousands.
    """
    mended = text.replace(",", ".")
    if "," not in text or not re.fullmatch(r"[+-]?[\d.]+\s*[^\d]*", mended, re.ASCII):
        return text
    if not decimal_comma or text.count(",") > 1 or "." in text:
        raise Invalid(
            f"The comma in {text!r} may be a decimal mark or one of thousands.",
            advice="Write the number with a point, and without marks of thousands.",
        )
    return mended


def is_number(text: str) -> bool:
    """Whether a text is a number alone, or a shop fraction such as 1-1/2."""
    return bool(_NUMBER.fullmatch(text) or _FRACTION.fullmatch(text))


@lru_cache(maxsize=8192)
def with_unit(text: str, unit: str) -> str:
    """A quantity's text with the cell's own unit, or else its column's."""
    return f"{text} {unit}".strip() if is_number(text) else text


def number(text: str) -> float | int | str:
    """A plain number; any other text is returned for the field to refuse."""
    if not _NUMBER.fullmatch(text):
        return text
    found = float(text)
    return int(found) if found.is_integer() else found


def flag(text: str) -> bool | str:
    """Yes or no as a flag; any other text is returned for the field to refuse."""
    return _YES.get(text.casefold(), text)
