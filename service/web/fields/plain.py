"""Fields of words, flags and plain numbers, and of lists and objects of fields."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from decimal import Decimal
from typing import Any, ClassVar

from marshmallow import fields as mf

from .base import Field, no
from .schemas import Query

LARGEST_INTEGER = 2**63 - 1

FINEST = 0.0001
"""The least that a number above another is above it: a millionth, of a percent."""

CODE = r"[A-Za-z0-9][A-Za-z0-9._-]{0,31}"
_UNSHOWN = frozenset({"Cc", "Cs", "Co", "Zl", "Zp"})
"""Unicode's categories of controls, halves of characters, private use and line ends."""

_BIDI = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Nested(Field, mf.Nested):
    """An object inside an object."""

    default_error_messages: dict[str, Any] = {}  # noqa: RUF012 (as marshmallow has it)


class List(Field, mf.List):
    """A list, of at most so many.

    Args:
        inner: the field of each item.
        least, most: how many there may be.
    """

    default_error_messages: dict[str, Any] = {"invalid": "This must be a list."}  # noqa: RUF012 (as marshmallow has it)

    def __init__(self, inner: Any, *, least: int = 0, most: int = 1000, **options: Any) -> None:
        super().__init__(inner, **options)
        self.least, self.most = least, most

    def described(self) -> dict[str, Any]:
        """Its JSON Schema, beside that of its items."""
        return {} if self.in_answer else {"minItems": self.least, "maxItems": self.most}

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> list[Any]:
        if isinstance(value, list) and not self.least <= len(value) <= self.most:
            raise no(f"{len(value)} are too {'few' if len(value) < self.least else 'many'}.",
                      f"Give {self.least} to {self.most}.")  # fmt: skip
        return super()._deserialize(value, *args, **kwargs)


class Text(Field):
    """Words on one line, trimmed.

    Args:
        most: characters that it may have.
        lines: whether it may run over several lines.
    """

    def __init__(self, *, most: int = 200, lines: bool = False, **options: Any) -> None:
        super().__init__(**options)
        self.most, self.lines = most, lines

    def described(self) -> dict[str, Any]:
        """Its JSON Schema."""
        limits = {} if self.in_answer else {"minLength": 1, "maxLength": self.most}
        return {"type": "string", **limits}

    def _serialize(self, value: Any, *args: Any, **kwargs: Any) -> str | None:
        return None if value is None else str(value)

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> str:
        if not isinstance(value, str):
            raise no("This must be a text.", "Put it in quotes.")
        text = value.strip()
        if not text:
            raise no("The text is empty.", "Leave it out, or write something.")
        if len(text) > self.most:
            raise no(f"{len(text)} characters are too many.", f"Use at most {self.most}.")
        if any(self._unprintable(each) for each in text):
            raise no("The text has characters that can't be shown.", "Write it in plain letters.")
        return text

    def _unprintable(self, character: str) -> bool:
        if self.lines and character in "\n\t":
            return False
        return character in _BIDI or unicodedata.category(character) in _UNSHOWN


class Code(Field):
    """The code or number that a person gives a thing: short, plain, fit for a label."""

    pattern: ClassVar[str] = rf"^{CODE}$"

    def described(self) -> dict[str, Any]:
        """Its JSON Schema."""
        return {"type": "string"} if self.in_answer else {"type": "string", "pattern": self.pattern}

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> str:
        if not isinstance(value, str) or re.fullmatch(CODE, value) is None:
            raise no(
                "That is not a code.",
                "Use 1 to 32 letters, digits, dots, dashes or underscores, "
                "with a letter or digit first.",
            )
        return value


class Choice(Field):
    """One of a few words.

    Args:
        words: those that fit.
    """

    def __init__(self, words: Sequence[str], **options: Any) -> None:
        super().__init__(**options)
        self.words = tuple(words)

    def described(self) -> dict[str, Any]:
        """Its JSON Schema."""
        return {"type": "string", "enum": list(self.words)}

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> str:
        if not isinstance(value, str) or value not in self.words:
            raise no("That is not one of the words that fit.", f"Use {', '.join(self.words)}.")
        return value


class Flag(Field):
    """True or false, and nothing that only looks like it."""

    def described(self) -> dict[str, Any]:
        """Its JSON Schema."""
        return {"type": "boolean"}

    def _serialize(self, value: Any, *args: Any, **kwargs: Any) -> bool | None:
        return None if value is None else bool(value)

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> bool:
        if isinstance(self.parent, Query) and value in ("true", "false"):
            return bool(value == "true")
        if not isinstance(value, bool):
            raise no("This must be true or false.")
        return value


class Number(Field):
    """A plain number, such as a percent; loads to `Decimal`, exactly as written.

    Args:
        least, most: what it may be.
        above: what it must be more than, by `FINEST` or more.
    """

    kind: ClassVar[str] = "number"

    def __init__(
        self,
        *,
        least: float | None = None,
        most: float = 1e12,
        above: float | None = None,
        **options: Any,
    ) -> None:
        super().__init__(**options)
        self.least = -most if least is None else least
        if above is not None:
            self.least = above + FINEST
        self.most = most

    def described(self) -> dict[str, Any]:
        """Its JSON Schema."""
        limits = {} if self.in_answer else {"minimum": self.least, "maximum": self.most}
        return {"type": self.kind, **limits}

    def _serialize(self, value: Any, *args: Any, **kwargs: Any) -> float | int | None:
        return float(value) if isinstance(value, Decimal) else value

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> Any:
        number = self.from_text(value)
        if isinstance(number, bool) or not isinstance(number, (int, float)):
            raise no("This must be a number.", "Give it without quotes and without a unit.")
        if not self.least <= number <= self.most:  # nor is NaN
            raise no(f"It must be from {self.least:g} to {self.most:g}.")
        return Decimal(repr(number))


class Integer(Number):
    """A whole number; loads to `int`."""

    kind = "integer"

    def __init__(self, *, least: int = -LARGEST_INTEGER, most: int = LARGEST_INTEGER,
                 **options: Any) -> None:  # fmt: skip
        super().__init__(least=least, most=most, **options)

    def _deserialize(self, value: Any, *args: Any, **kwargs: Any) -> int:
        number = super()._deserialize(value, *args, **kwargs)
        if number != int(number):
            raise no("This must be a whole number.")
        return int(number)
