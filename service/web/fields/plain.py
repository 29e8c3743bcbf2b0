"""Fields of words, flags and plain numbers, and of lists and objects of fields."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from contextlib import suppress
from decimal import Decimal
from itertools import zip_longest
from typing import Any, ClassVar

from marshmallow import ValidationError
from marshmallow import fields as mf

from ...core.amounts.visible import is_seen
from ...core.words import Words, shown
from .base import Described, Field, no
from .schemas import JsonSchema, PlainBody, Query
from .writer import Reader

LARGEST_INTEGER = 2**63 - 1

FINEST = 0.0001
"""The smallest step above a limit that must be exceeded; of a percent it is a millionth."""

READERS = 8
"""Units and zones for which the last look is kept; more begin anew."""

CODE = r"[A-Za-z0-9][A-Za-z0-9._-]{0,31}"
_UNSHOWN = frozenset({"Cc", "Cs", "Co", "Zl", "Zp"})
"""Unicode's categories of control characters, surrogates, private use and line ends."""

_BIDI = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Nested(mf.Nested, Described):
    """An object inside an object."""

    def show(self, value: Any, reader: Reader) -> Any:
        """Show it by its own schema."""
        schema: Any = self.schema  # an `Answer`, as the whole is
        return schema.writer.write(value, reader)


class List(mf.List[Any], Described):
    """A list of a limited length.

    Args:
        inner: the field of each item.
        least, most: how many items there may be.
    """

    default_error_messages = {"invalid": "This must be a list."}  # noqa: RUF012 (as marshmallow has it)

    inner: Described

    def __init__(
        self, inner: Described, *, least: int = 0, most: int = 1000, **options: Any
    ) -> None:
        super().__init__(inner, **options)
        self.least, self.most = least, most

    def described(self) -> JsonSchema:
        """Its JSON Schema, beside that of its items."""
        return {} if self.in_answer else {"minItems": self.least, "maxItems": self.most}

    def show(self, value: Any, reader: Reader) -> list[Any]:
        """Show each item."""
        show = self.inner.show
        return [None if each is None else show(each, reader) for each in value]

    def deserialize(self, value: Any, *args: Any, **kwargs: Any) -> Any:
        """Count the items before they are read."""
        if isinstance(value, list) and not self.least <= len(value) <= self.most:
            raise no(
                f"{len(value)} are too {'few' if len(value) < self.least else 'many'}.",
                f"Give {self.least} to {self.most}.",
            )
        inner: Any = self.inner if isinstance(value, list) else None
        if isinstance(inner, Nested) and isinstance(inner.schema, PlainBody):
            with suppress(KeyError, TypeError, AttributeError, ValidationError):
                return [inner.schema.straight(item) for item in value]
        return super().deserialize(value, *args, **kwargs)


class SteadyList(List):
    """A list of which an item that is as it was at the last look is not shown anew.

    What is shown of an item rests on the item and the reader alone.
    """

    def __init__(self, inner: Described, **options: Any) -> None:
        super().__init__(inner, **options)
        self._last: dict[tuple[Any, Any], tuple[Sequence[Any], list[Any]]] = {}

    def show(self, value: Any, reader: Reader) -> list[Any]:
        """Show each item; nobody changes what is shown."""
        who = reader.units, reader.zone
        items, told = self._last.get(who, ((), ()))
        show = self.inner.show
        shown = [
            before if item == old else None if item is None else show(item, reader)
            for item, old, before in zip_longest(value, items, told)
        ][: len(value)]
        if len(self._last) >= READERS:
            self._last = {}
        self._last[who] = value, shown
        return shown


class Text(Field):
    """Text on one line; spaces at its ends are dropped.

    Args:
        most: characters that it may have.
        lines: whether it may have several lines.
    """

    def __init__(self, *, most: int = 200, lines: bool = False, **options: Any) -> None:
        super().__init__(**options)
        self.most, self.lines = most, lines

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        limits = {} if self.in_answer else {"minLength": 1, "maxLength": self.most}
        return {"type": "string", **limits}

    def show(self, value: Any, reader: Reader) -> str:
        """Show it as text, with its amounts in the reader's units."""
        return shown(value, reader.units) if isinstance(value, Words) else str(value)

    def read(self, value: Any) -> str:
        """Read text; refuse what is empty, too long, or can't be shown or seen."""
        if not isinstance(value, str):
            raise no("This must be a text.", "Put it in quotes.")
        text = value.strip()
        if not text:
            raise no("The text is empty.", "Leave it out, or write something.")
        if len(text) > self.most:
            raise no(f"{len(text)} characters are too many.", f"Use at most {self.most}.")
        if any(self._unprintable(each) for each in text):
            raise no("The text has characters that can't be shown.", "Write it in plain letters.")
        if not is_seen(text):
            raise no("Nothing of the text can be seen.", "Write it in plain letters.")
        return text

    def _unprintable(self, character: str) -> bool:
        if self.lines and character in "\n\t":
            return False
        return character in _BIDI or unicodedata.category(character) in _UNSHOWN


class Code(Field):
    """The code or number that a person gives a thing: short and plain, to fit on a label."""

    pattern: ClassVar[str] = rf"^{CODE}$"

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        return {"type": "string"} if self.in_answer else {"type": "string", "pattern": self.pattern}

    def read(self, value: Any) -> str:
        """Read a code; refuse other characters and lengths."""
        if not isinstance(value, str) or re.fullmatch(CODE, value) is None:
            raise no(
                "That is not a code.",
                "Use 1 to 32 letters, digits, dots, dashes or underscores, "
                "with a letter or digit first.",
            )
        return value


class LotNumber(Text):
    """A maker's lot number, as it is on the container: `B-2207`, `I-8841/2`, `LOT 12 A`."""

    pattern: ClassVar[str] = r"^[A-Za-z0-9]([A-Za-z0-9._/#+ -]{0,30}[A-Za-z0-9.#+])?$"

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        return {"type": "string"} if self.in_answer else {"type": "string", "pattern": self.pattern}

    def read(self, value: Any) -> str:
        """Read a lot number; refuse other characters and lengths."""
        number = " ".join(super().read(value).split())
        if re.fullmatch(self.pattern[1:-1], number) is None:
            raise no(
                "That is not a lot number.",
                "Use 1 to 32 letters, digits, spaces, dots, slashes or dashes, "
                "with a letter or digit first and last.",
            )
        return number


class Currency(Code):
    """A currency by its ISO 4217 code."""

    pattern = "^[A-Z]{3}$"

    def read(self, value: Any) -> str:
        """Read three capital letters."""
        if not isinstance(value, str) or re.fullmatch("[A-Z]{3}", value) is None:
            raise no("That is no currency.", "Use its three capital letters, such as EUR.")
        return value


class Choice(Field):
    """One of a few words.

    Args:
        words: those that are accepted.
    """

    def __init__(self, words: Sequence[str], **options: Any) -> None:
        super().__init__(**options)
        self.words = tuple(words)
        self.meant = {_plain(word): word for word in self.words}

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        return {"type": "string", "enum": list(self.words)}

    def read(self, value: Any) -> str:
        """Read one of the words, in any case; a space or a dash is an underscore."""
        word = self.meant.get(_plain(value)) if isinstance(value, str) else None
        if word is None:
            raise no("That is not one of the words that fit.", f"Use {', '.join(self.words)}.")
        return word


def _plain(word: str) -> str:
    return "_".join(word.casefold().replace("-", " ").replace("_", " ").split())


class Flag(Field):
    """True or false; no other value is taken for one."""

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        return {"type": "boolean"}

    def show(self, value: Any, reader: Reader) -> bool:
        """Show true or false."""
        return bool(value)

    def read(self, value: Any) -> bool:
        """Read true or false; in a query also as text."""
        if isinstance(self.parent, Query) and value in ("true", "false"):
            return bool(value == "true")
        if not isinstance(value, bool):
            raise no("This must be true or false.")
        return value


class Number(Field):
    """A plain number, such as a percent; loads to `Decimal`, exactly as written.

    Args:
        least, most: its limits, both included.
        above: a lower limit that it must exceed, by `FINEST` or more.
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

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        limits = {} if self.in_answer else {"minimum": self.least, "maximum": self.most}
        return {"type": self.kind, **limits}

    def show(self, value: Any, reader: Reader) -> float | int:
        """Show a `Decimal` as a JSON number."""
        return float(value) if isinstance(value, Decimal) else value

    def read(self, value: Any) -> Any:
        """Read a number within the limits."""
        number = self.from_text(value)
        if isinstance(number, bool) or not isinstance(number, (int, float)):
            raise no("This must be a number.", self._how)
        if not self.least <= number <= self.most:  # nor is NaN
            raise no(f"It must be from {_digits(self.least)} to {_digits(self.most)}.")
        return Decimal(repr(number))

    @property
    def _how(self) -> str:
        """How it is written: in a query or a form as text, in JSON as a number."""
        if isinstance(self.parent, Query):
            return "Write it in digits, with at most 12 decimals and without a unit."
        return "Give it without quotes and without a unit."


def _digits(number: float) -> str:
    """A limit in digits alone, such as '-1000000'."""
    return f"{Decimal(f'{number:.15g}'):f}" if isinstance(number, float) else str(number)


class Integer(Number):
    """A whole number; loads to `int`."""

    kind = "integer"

    def __init__(
        self, *, least: int = -LARGEST_INTEGER, most: int = LARGEST_INTEGER, **options: Any
    ) -> None:
        super().__init__(least=least, most=most, **options)

    def read(self, value: Any) -> int:
        """Read a whole number within the limits."""
        number = super().read(value)
        if number != int(number):
            raise no("This must be a whole number.")
        return int(number)
