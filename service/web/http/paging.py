"""Lists in pages: `?limit=` and `?after=` in, `{"items", "next"}` out."""

from __future__ import annotations

import base64
import binascii
from collections.abc import Callable, Sequence
from operator import attrgetter
from typing import Any, NamedTuple

import marshmallow as ma

from .. import fields
from ..fields.schemas import Answer, JsonSchema, Loaded, Query

USUAL, MOST = 50, 200


class Cursor(fields.Field):
    """Where the next page begins, opaque to clients; loads to the id of the last row before it."""

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        return {"type": "string", "description": "`next` of the page before"}

    def read(self, value: Any) -> int:
        """Read the id of the last row of the page before."""
        try:
            after = int(base64.b32hexdecode(str(value).upper() + "=" * (-len(value) % 8)))
        except (binascii.Error, ValueError, OverflowError) as error:
            raise ma.ValidationError("That is not the `next` of a page.") from error
        if not 0 <= after <= fields.LARGEST_INTEGER:
            raise ma.ValidationError("That is not the `next` of a page.")
        return after


class Page(Query):
    """The query of a list."""

    limit = fields.Integer(
        least=1,
        most=MOST,
        load_default=USUAL,
        metadata={"description": f"How many items at most; {USUAL} without it."},
    )
    after = Cursor()


class Listed(NamedTuple):
    """A page of a list: its items, and the cursor of the next page or None."""

    items: list[Any]
    next: str | None


def page(
    query: Loaded,
    find: Callable[[int | None, int], Sequence[Any]],
    key: Callable[[Any], int] = attrgetter("id"),
) -> Listed:
    """One page of a list.

    Args:
        query: as `Page` loads it.
        find: returns at most so many rows (second argument) after the row with that id (first;
            None: from the start), in the list's order.
        key: gives a row's id.
    """
    limit = query["limit"]
    rows = list(find(query.get("after"), limit + 1))
    more = len(rows) > limit
    return Listed(rows[:limit], _cursor(key(rows[limit - 1])) if more else None)


def listing(item: type[Answer]) -> type[Answer]:
    """The schema of a page of such items."""
    shape = {
        "items": fields.List(fields.Nested(item), required=True),
        "next": fields.Text(required=True, allow_none=True),
    }
    return type(f"{item.__name__}Page", (Answer,), shape)


def _cursor(row: int) -> str:
    return base64.b32hexencode(str(row).encode()).decode().rstrip("=").lower()
