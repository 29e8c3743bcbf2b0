"""Fields of quantities: text with its unit in a request, value and unit in an answer."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any

from ...core.amounts import quantities
from ...core.amounts.quantities import Given, Kind
from ...core.errors import Refusal, UnitMissing
from .base import Field, no, refused
from .schemas import JsonSchema
from .writer import Reader

ALL = "all"
"""The quantity of a draw or a scrap that takes everything on hand."""

LARGEST_BASE = 10**15
"""The most of any quantity, in base units: a million tonnes, or a million kilometres."""

QUANTITY: JsonSchema = {
    "type": "object",
    "description": "A number with its unit. Each field lists the units that it may have.",
    "properties": {
        "value": {"type": "number", "description": "How many of the unit."},
        "unit": {"type": "string", "description": "The unit, written as in a request."},
    },
    "required": ["value", "unit"],
}
"""JSON Schema of any quantity in an answer, named `Quantity` in the description."""


class Quantity(Field):
    """A number with its unit: text in a request, `{"value", "unit"}` in an answer.

    Loads to `Decimal` in the kind's base unit.

    Args:
        kind: of the quantity.
        positive: whether zero is refused.
    """

    def __init__(self, kind: Kind, *, positive: bool = False, **options: Any) -> None:
        super().__init__(**options)
        self.kind, self.positive = kind, positive

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        return shown_quantities((self.kind,)) if self.in_answer else asked_quantity((self.kind,))

    def show(self, value: Any, reader: Reader) -> dict[str, float | str]:
        """Show it in the reader's unit."""
        return quantities.show(value, self.kind, reader.units)

    def read(self, value: Any) -> Any:
        """Read one number with one unit of the kind."""
        return _load_quantity(value, (self.kind,), self.positive, _parse_again)[0]


_parse_again = lru_cache(maxsize=1024)(quantities.parse_any)  # a logger repeats itself


class AnyQuantity(Field):
    """A quantity that may measure one of several kinds, such as stock by mass or by volume.

    Loads to `quantities.Given`, and shows a pair of a number in base units and its kind.

    Args:
        kinds: those that are accepted.
        or_all: whether `"all"` is accepted too; it loads to `ALL`.
        positive: whether zero is refused.
    """

    parse = staticmethod(quantities.parse_any)

    def __init__(
        self,
        kinds: tuple[Kind, ...],
        *,
        or_all: bool = False,
        positive: bool = False,
        **options: Any,
    ) -> None:
        super().__init__(**options)
        self.kinds, self.or_all, self.positive = kinds, or_all, positive

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        if self.in_answer:
            return shown_quantities(self.kinds)
        asked = asked_quantity(self.kinds)
        if self.or_all:
            asked["examples"].append(ALL)
            asked["description"] += f", or '{ALL}' for all that is on hand"
        return asked

    def show(self, value: Any, reader: Reader) -> dict[str, float | str]:
        """Show it in the reader's unit of its own kind."""
        return quantities.show(value[0], value[1], reader.units)

    def read(self, value: Any) -> Any:
        """Read one number with one unit of any of the kinds, or `ALL`."""
        if self.or_all and value == ALL:
            return ALL
        return _load_quantity(value, self.kinds, self.positive, self.parse)


class StockQuantity(AnyQuantity):
    """An amount of stock. The act that takes it checks that its kind fits the product.

    Loads as `AnyQuantity`; a text whose unit is of none of the kinds as `parse_stock` does.
    """

    parse = staticmethod(quantities.parse_stock)


class Per(Field):
    """The amount that a price is for: a unit, such as `kg`, or several, such as `100 g`.

    Loads to `quantities.Given`.

    Args:
        kinds: those that are accepted.
    """

    def __init__(self, kinds: tuple[Kind, ...], **options: Any) -> None:
        super().__init__(**options)
        self.kinds = kinds

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        units = "; ".join(dict.fromkeys(quantities.fitting(kind) for kind in self.kinds))
        return {
            "type": "string",
            "maxLength": quantities.LONGEST_TEXT,
            "examples": [kind.metric for kind in self.kinds],
            "description": f"a unit ({units}), or a number and a unit",
        }

    def read(self, value: Any) -> Given:
        """Read a unit, or a number and a unit."""
        if isinstance(value, str) and value.strip()[:1].isalpha():
            value = f"1 {value.strip()}"
        return _load_quantity(value, self.kinds, positive=True)


class AskedAgain(Field):
    """A quantity in an answer as a request takes it: text that can be posted unchanged.

    Shows a pair of a number in base units and its kind.

    Args:
        kinds: those that it may have.
    """

    def __init__(self, kinds: tuple[Kind, ...], **options: Any) -> None:
        super().__init__(**options)
        self.kinds = kinds

    def described(self) -> JsonSchema:
        """Its JSON Schema."""
        return asked_quantity(self.kinds)

    def show(self, value: Any, reader: Reader) -> str:
        """Show it as a request writes it, in the reader's unit."""
        return quantities.written(value[0], value[1], reader.units)


def _load_quantity(
    value: Any,
    kinds: tuple[Kind, ...],
    positive: bool,
    parse: Callable[[str, tuple[Kind, ...]], Given] = quantities.parse_any,
) -> Given:
    example = f"Write one number and one unit as text, such as '2.5 {kinds[0].metric}'."
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        raise refused(UnitMissing("The number has no unit.", advice=example))
    if not isinstance(value, str):
        raise no("This must be a quantity.", example)
    try:
        given = parse(value, kinds)
    except Refusal as refusal:
        raise refused(refusal) from refusal
    if abs(given.value) > LARGEST_BASE:
        raise no("That is more than the store can keep.", "Check the number and its unit.")
    if positive and given.value <= 0:
        raise no(f"The {given.kind.name} must be over zero.", "Give the amount itself.")
    return given


def asked_quantity(kinds: tuple[Kind, ...]) -> JsonSchema:
    """JSON Schema of a quantity in a request."""
    units = "; ".join(dict.fromkeys(quantities.fitting(kind) for kind in kinds))
    names = " or ".join(dict.fromkeys(kind.name for kind in kinds))
    examples = {f"{example(kind)} {unit}": 0 for kind in kinds for unit in (kind.metric, kind.us)}
    return {
        "type": "string",
        "maxLength": quantities.LONGEST_TEXT,
        "examples": list(examples),
        "description": f"{names}: one number and one unit ({units})",
    }


def shown_quantities(kinds: tuple[Kind, ...]) -> JsonSchema:
    """JSON Schema of a quantity in an answer: the one shape of all, and the units of these."""
    units = dict.fromkeys(unit for kind in kinds for unit in (kind.metric, kind.us))
    return {
        "$ref": "#/components/schemas/Quantity",
        "properties": {"unit": {"enum": list(units)}},
    }


def example(kind: Kind) -> str:
    """A number that makes sense in both units of the kind."""
    return {"temperature": "20", "time": "2", "weight per area": "17"}.get(kind.name, "1.5")
