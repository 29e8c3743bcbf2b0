"""Quantities: numbers with a unit, read from text by a strict grammar, shown in the yard's units.

Inside the service a quantity is a plain number in its kind's base unit (see `KINDS`). Text must
match one pattern: a decimal number or a shop fraction, then one unit of the trade. Only then does
the units library convert it, so no expression, power, NaN or infinity reaches its parser.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import field
from decimal import ROUND_HALF_EVEN, Decimal
from functools import lru_cache
from types import MappingProxyType
from typing import Literal, NamedTuple

from ..errors import Invalid, UnitMismatch, UnitMissing
from ..frozen import frozen
from ..words import System as System
from . import spellings
from .units import scale

Measure = Literal["mass", "length", "count"]
"""What stock is counted in: mg, µm of roll, thousandths of a piece."""

ZERO_C = 273.15
"""0 °C, K."""

LONGEST_TEXT = 64
"""Longest text of a quantity, in characters."""
GREATEST = 10**15
"""The greatest amount in base units: a million tonnes, and still exact in the store and in JSON."""
LONGEST_S = 100 * 366 * 86_400
"""A hundred years in s: no yard keeps or waits for anything longer."""


@frozen
class Kind:
    """A kind of quantity.

    Attributes:
        name: what a person calls it.
        base: the unit that its numbers are in inside the service.
        metric, us: the unit that it is shown in, never scaled by size.
        spellings: accepted unit texts, tidied (see `spellings.tidy`) → the unit's name.
        places: decimal places in an answer.
        signed: whether a number below zero has a meaning.
        least, most: in base units; anything beyond them is a typing error and is refused.
    """

    name: str
    base: str
    metric: str
    us: str
    spellings: Mapping[str, str] = field(hash=False)
    places: int = 6
    signed: bool = False
    least: float = 0
    most: float = GREATEST

    def unit(self, system: System) -> str:
        """The unit that this kind is shown in, in a system of units."""
        return self.us if system == "us" else self.metric


MASS = Kind("mass", "mg", "kg", "lb", spellings.MASSES)
DOSE_MASS = Kind("mass", "mg", "g", "g", spellings.MASSES, places=3)
DOSE_VOLUME = Kind("volume", "uL", "mL", "mL", spellings.VOLUMES, places=3)
VOLUME = Kind("volume", "uL", "L", "gal", spellings.VOLUMES)
LENGTH = Kind("length", "um", "m", "yd", spellings.LENGTHS)
SIZE = Kind("length", "um", "mm", "in", spellings.LENGTHS, places=4)
AREA = Kind("area", "mm**2", "m**2", "ft**2", spellings.AREAS)
AREAL_WEIGHT = Kind(
    "weight per area", "mg/m**2", "g/m**2", "oz/yd**2", spellings.AREAL_WEIGHTS, places=3
)
DENSITY = Kind("density", "mg/L", "kg/L", "lb/gal", spellings.DENSITIES)
TEMPERATURE = Kind(
    "temperature", "K", "degC", "degF", spellings.TEMPERATURES, 2, signed=True, least=173, most=574
)
DIFFERENCE = Kind(
    "temperature difference", "K", "K", "delta_degF", spellings.DIFFERENCES, 2, most=50
)
GEL_TIME = Kind("time", "s", "min", "min", spellings.TIMES, places=2, most=LONGEST_S)
TIME = Kind("time", "s", "h", "h", spellings.TIMES, places=4, most=LONGEST_S)
PRESSURE = Kind("pressure", "Pa", "hPa", "inHg", spellings.PRESSURES, places=4, most=110_000)
"""Of a bag it is the vacuum, below the air; `most` is more than the air ever has."""
COUNT = Kind("count", "millipiece", "piece", "piece", spellings.COUNTS, places=3)

KINDS = (
    MASS, DOSE_MASS, DOSE_VOLUME, VOLUME, LENGTH, SIZE, AREA, AREAL_WEIGHT, DENSITY,
    TEMPERATURE, DIFFERENCE, GEL_TIME, TIME, PRESSURE, COUNT,
)  # fmt: skip

UNREAD = Kind("amount", "", "", "", MappingProxyType({}), signed=True)
"""The kind of an amount whose unit is missing or unknown, until its product is known."""

KIND_OF_MEASURE: Mapping[Measure, Kind] = MappingProxyType(
    {"mass": MASS, "length": LENGTH, "count": COUNT}
)

_NUMBER = re.compile(
    r"(?P<sign>[+-]?)"
    r"(?:(?:(?P<whole>\d{1,12})[- ])?(?P<over>\d{1,4})/(?P<under>\d{1,4})"
    r"|(?P<decimal>\d{1,15}(?:\.\d{1,12})?|\.\d{1,12}))"
    r"\s*(?P<unit>[A-Za-z°µμ'\"][A-Za-z°µμ'\"/*^²³23_ ]*)?",
    re.ASCII,
)
_SEVERAL = re.compile(
    r"\d{1,15} ?[A-Za-z]{1,8}(?: \d{1,15}(?:\.\d{1,12})? ?[A-Za-z]{1,8}){1,2}", re.ASCII
)
"""A time in two or three units, as answers show it: `1 h 30 min`."""
_ABSOLUTE_ZERO_K = Decimal(0)
_HALF = Decimal("0.5")
_MEASURED = frozenset({"K", "s"})
"""Base units that are measured, so have fractions; the ledger counts the others in whole units."""


def fitting(kind: Kind) -> str:
    """The units that fit a kind, for a message."""
    return ", ".join(dict.fromkeys(kind.spellings.values()))


class Given(NamedTuple):
    """A quantity as a person gave it: in its kind's base unit, and the text itself."""

    value: Decimal
    kind: Kind
    text: str


def parse(text: str, kind: Kind) -> Decimal:
    """Read one quantity.

    Args:
        text: such as `"12.5 kg"`, `"72 degF"`, `"1-1/2 lb"`.
        kind: what it must measure.

    Returns:
        The number in `kind.base` units.

    Raises:
        UnitMissing: no unit. UnitMismatch: an unknown unit, or one of another kind.
        Invalid: no number, too long, or below zero where that has no meaning.
    """
    return parse_any(text, (kind,)).value


def parse_any(text: str, kinds: tuple[Kind, ...]) -> Given:
    """Read one quantity of one of several kinds; the answer has the kind that it was.

    Raises: as `parse`.
    """
    if kinds[0].base == "s" and _SEVERAL.fullmatch(text.strip()):
        return _summed(text, kinds[0])
    number, unit = _split(text, kinds)
    for kind in kinds:
        if unit in kind.spellings:
            return Given(_in_base(number, kind.spellings[unit], kind), kind, text.strip())
    fits = "; ".join(dict.fromkeys(fitting(k) for k in kinds))
    raise UnitMismatch(_misfit(unit, kinds), advice=f"Units that fit: {fits}.")


def _summed(text: str, kind: Kind) -> Given:
    """A time in several units, the greater first."""
    parts = [parse(part, kind) for part in re.findall(r"[\d.]+ ?[A-Za-z]+", text)]
    if parts != sorted(parts, reverse=True) or sum(parts) > kind.most:
        raise Invalid(f"{text!r} is not a {kind.name}.", advice="Write it as '1 h 30 min'.")
    return Given(Decimal(sum(parts)), kind, text.strip())


def parse_stock(text: str, kinds: tuple[Kind, ...]) -> Given:
    """Read an amount of a product that is not known yet, so that any stock kind may be meant.

    Returns:
        As `parse_any`. Without a known unit, the plain number with the kind `UNREAD`: once the
        product is known, `parse_any` reads the text again and says what is wrong with it.

    Raises: Invalid, as `parse`.
    """
    try:
        return parse_any(text, kinds)
    except (UnitMissing, UnitMismatch):
        return Given(_number(_matched(text, kinds), repr(text)), UNREAD, text.strip())


def _split(text: str, kinds: tuple[Kind, ...]) -> tuple[Decimal, str]:
    match = _matched(text, kinds)
    if match["unit"] is None:
        fits = "; ".join(dict.fromkeys(fitting(k) for k in kinds))
        raise UnitMissing(
            f"{text!r} has no unit.",
            advice=f"Write it as '{_example(text.strip(), kinds[0])}'. Units that fit: {fits}.",
        )
    return _number(match, repr(text)), spellings.tidy(match["unit"])


def _matched(text: str, kinds: tuple[Kind, ...]) -> re.Match[str]:
    shown = repr(text if len(text) <= LONGEST_TEXT else text[:20] + "…")
    wanted = " or ".join(dict.fromkeys(k.name for k in kinds))
    example = f"Write one number and one unit, such as '2.5 {kinds[0].metric}'."
    if len(text) > LONGEST_TEXT:
        raise Invalid(f"{shown} is too long for a {wanted}.", advice=example)
    match = _NUMBER.fullmatch(text.strip())
    if match is None or not text.isprintable():
        raise Invalid(f"{shown} is not a {wanted}.", advice=example)
    return match


def _example(number: str, kind: Kind) -> str:
    """A number with a unit that fits, such as `3 pieces`."""
    return f"{number} {kind.metric}{'s' * (kind is COUNT and number != '1')}"


def _number(match: re.Match[str], shown: str) -> Decimal:
    if match["decimal"] is not None:
        number = Decimal(match["decimal"])
    else:
        if int(match["under"]) == 0:
            raise Invalid(f"{shown} divides by zero.", advice="Write the fraction again.")
        number = Decimal(match["whole"] or 0) + Decimal(match["over"]) / Decimal(match["under"])
    return -number if match["sign"] == "-" else number


def _in_base(number: Decimal, unit: str, kind: Kind) -> Decimal:
    if number < 0 and not kind.signed:
        raise Invalid(f"A {kind.name} can't be below zero.", advice="Give the amount itself.")
    factor, offset = scale(unit, kind.base)
    value = factor * (number + offset)
    if kind is TEMPERATURE and value < _ABSOLUTE_ZERO_K:
        raise Invalid(
            f"{number} {unit} is colder than absolute zero.", advice="Check the thermometer."
        )
    if not kind.least <= value <= kind.most:
        raise Invalid(
            f"A {kind.name} of {number} {unit} is out of range here.",
            advice="Check the number, and its unit.",
        )
    return value


def _misfit(unit: str, kinds: tuple[Kind, ...]) -> str:
    wanted = " or ".join(dict.fromkeys(k.name for k in kinds))
    if unit == "oz" and any(k.spellings is spellings.VOLUMES for k in kinds):
        return "'oz' is a mass; for a volume write 'fl oz'."
    if unit in ("drop", "drops"):
        return "Drops differ by half from one bottle to the next: weigh it."
    for other in KINDS:
        if unit in other.spellings:
            return f"'{unit}' is a unit of {other.name}, not of {wanted}."
    return f"'{unit[:24]}' is not a known unit of {wanted}."


def convert(value: Decimal | float, kind: Kind, unit: str) -> Decimal:
    """A number in `kind.base` units, in another unit of the same kind, unrounded."""
    factor, offset = scale(unit, kind.base)
    exact = value if isinstance(value, Decimal) else Decimal(repr(value))
    return exact / factor - offset


def figure(value: Decimal | float, kind: Kind, unit: str, places: int) -> Decimal:
    """A number in `kind.base` units as shown in a unit, to at most some decimal places.

    A whole number of base units, as in the ledger, gets the fewest places that are read back as
    the same number: 2 lb are kept as 907 185 mg and shown as 2 lb, not as 2.000001.
    """
    exact = convert(value, kind, unit)
    if isinstance(value, int) and kind.base not in _MEASURED:
        for fewer in range(_places_that_tell(unit, kind.base), places):
            number = _rounded(exact, fewer)
            if abs(exact - number) * scale(unit, kind.base)[0] < _HALF:
                return number
    return _rounded(exact, places)


def _rounded(number: Decimal, places: int) -> Decimal:
    return number.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)


@lru_cache(maxsize=128)
def _places_that_tell(unit: str, base: str) -> int:
    """Decimal places of a unit that are worth a base unit: five of a lb, the last being 4.5 mg."""
    return max(scale(unit, base)[0].adjusted(), 0)


def show(value: Decimal | float, kind: Kind, system: System) -> dict[str, float | str]:
    """The wire form `{"value", "unit"}` of a number in `kind.base` units."""
    unit = kind.unit(system)
    return {"value": float(figure(value, kind, unit, kind.places)), "unit": unit}


def written(value: int, kind: Kind, system: System) -> str:
    """An amount in `kind.base` units as text that `parse` reads back, such as `"6.9 kg"`."""
    unit = kind.unit(system)
    return f"{figure(value, kind, unit, kind.places).normalize():f} {unit}"


def whole(value: Decimal) -> int:
    """A number rounded to the nearest whole base unit.

    Raises:
        Invalid: over `GREATEST`, as an amount may become when it is converted.
    """
    if abs(value) > GREATEST:
        raise Invalid("That is more than a yard has.", advice="Check the number, and its unit.")
    return int(value.to_integral_value(ROUND_HALF_EVEN))


def is_bare_ounce(given: Given) -> bool:
    """Whether an amount was given in plain 'oz', which may be meant as weight or as volume."""
    match = _NUMBER.fullmatch(given.text)
    return match is not None and spellings.tidy(match["unit"] or "") in spellings.BARE_OUNCES
