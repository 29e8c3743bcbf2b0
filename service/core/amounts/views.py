"""What an act answers: a frozen dataclass whose annotations say what each value is.

    @frozen
    class LotView(View):
        id: int
        product: Code
        on_hand: Stock
        length: Annotated[int, LENGTH] | None
        expires_on: Annotated[date | None, Says("The last day it is good.")]

A `Kind` beside a number is its unit, and the number is in the kind's base unit. The interface's
schemas are made of these classes: see `web/fields/views.py`.

Things that differ in what they have get views of their own with a common base, and the place that
may hold any of them is a union, `GelTimeAtView | GelTimeRangeView`: one schema, named as the base.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from typing import Annotated, Any, Literal, Self

from ..frozen import frozen
from .quantities import COUNT, LENGTH, MASS, Kind


@frozen
class Says:
    """The description of a value, for whoever reads the interface."""

    text: str


@frozen
class OneOf:
    """The words that a value is one of, where they are not a `Literal`."""

    words: tuple[str, ...]


@frozen
class Called:
    """The name of a value in the interface, where Python needs that word itself."""

    name: str


@frozen
class Unshown:
    """A value that the program needs and the interface does not show."""


@frozen
class LeftOut:
    """A value that an answer leaves out while it is None.

    Attributes:
        along_with: another value of the view: only while that is None, this is left out.
    """

    along_with: str = ""


@frozen
class At:
    """A moment in epoch s; windows open rounded `up`, late, and close rounded `down`, early."""

    rounding: Literal["nearest", "up", "down"] = "nearest"


@frozen
class Again:
    """Beside an amount and its kind: it is shown as text, as the next request takes it."""

    kinds: tuple[Kind, ...]


@frozen
class IsCode:
    """A text that a person gave a thing to name it."""


@frozen
class Steady:
    """Beside a list of views that are mostly alike from look to look."""


Code = Annotated[str, IsCode()]
RowId = Annotated[int, Unshown()]
"""The id of a thing that people name by its code: a list goes on after it."""
Moment = Annotated[float, At()]
Opening = Annotated[float, At("up")]
Closing = Annotated[float, At("down")]
Stock = Annotated[tuple[int, Kind], (MASS, LENGTH, COUNT)]
"""An amount in the ledger's units, and the kind that its product is counted in."""


class View:
    """What an act answers."""

    @classmethod
    def recalled(cls, kept: Mapping[str, Any], **views: Any) -> Self:
        """A view from what was kept of it as JSON, perhaps by an older version.

        What the view no longer has is left out; what it did not have then is None.

        Args:
            views: the values of it that are views themselves.
        """
        names = [each.name for each in fields(cls)]  # type: ignore[arg-type]
        return cls(**{name: kept.get(name) for name in names} | views)
