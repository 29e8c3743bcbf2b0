"""What stands in one cell: words kept from being formulas, numbers, yes and no."""

from __future__ import annotations

import re
from functools import lru_cache

from ...core.errors import Invalid

FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
"""What a spreadsheet takes for the beginning of a formula, the wide forms included."""

_NUMBER = re.compile(r"[+-]?(?:\d{1,15}(?:\.\d{1,12})?|\.\d{1,12})", re.ASCII)
_FRACTION = re.compile(r"[+-]?(?:\d{1,12}[- ])?\d{1,4}/\d{1,4}", re.ASCII)
_YES = {"yes": True, "y": True, "true": True, "x": True, "no": False, "n": False, "false": False}


def guarded(text: str) -> str:
    """Words that no spreadsheet takes for a formula; `unguarded` gives them back."""
    return f"'{text}" if text.startswith((*FORMULA, "'")) else text


def unguarded(text: str) -> str:
    """The words that `guarded` was given."""
    return text[1:] if text[:1] == "'" and text[1:].startswith((*FORMULA, "'")) else text


@lru_cache(maxsize=8192)  # a logger repeats itself
def plain(text: str, decimal_comma: bool) -> str:
    """A number's text with a point as its decimal mark; other texts as they are.

    Raises:
        Invalid: a comma that may be either mark.
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
    """Whether it is a number and nothing else, or a shop fraction."""
    return bool(_NUMBER.fullmatch(text) or _FRACTION.fullmatch(text))


@lru_cache(maxsize=8192)
def with_unit(text: str, unit: str) -> str:
    """A quantity's text: the cell's own unit, else its column's."""
    return f"{text} {unit}".strip() if is_number(text) else text


def number(text: str) -> float | int | str:
    """A plain number; what is none stays text, for the field to refuse."""
    if not _NUMBER.fullmatch(text):
        return text
    found = float(text)
    return int(found) if found.is_integer() else found


def flag(text: str) -> bool | str:
    """Yes or no; what is neither stays text, for the field to refuse."""
    return _YES.get(text.casefold(), text)
