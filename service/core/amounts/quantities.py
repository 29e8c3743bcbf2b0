"""Dimensioned numbers: read from a person's text by a strict grammar, shown in a yard's units.

Inside the service a quantity is a plain number in its kind's base unit (see `KINDS`).
Text goes through one pattern (a decimal number or a shop fraction, then one unit that
the trade uses) before the units library converts it, so no expression, power, NaN or
infinity ever reaches a parser that would believe it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from ..errors import Invalid, UnitMismatch, UnitMissing

if TYPE_CHECKING:
    import pint

System = Literal["metric", "us"]
Measure = Literal["mass", "length", "count"]
"""What stock is counted in: mg, µm of roll, thousandths of a piece."""

ZERO_C = 273.15
"""0 °C, K."""

LONGEST_TEXT = 64
"""Characters of a quantity's text that are read; more is no quantity."""
GREATEST = 10**15
"""Base units that any amount may have: a million tonnes, and exact in every store and wire."""
LONGEST_S = 100 * 366 * 86_400
"""A hundred years: longer than anything that a yard keeps or waits for, in s."""


@dataclass(frozen=True)
class Kind:
    """A kind of quantity.

    Attributes:
        name: what a person calls it.
        base: the unit that its numbers are in inside the service.
        metric, us: the unit that it is shown in, never scaled by size.
        spellings: accepted unit texts, tidied (see `_tidy`) → the unit's name.
        places: decimal places that an answer carries.
        signed: whether a number below zero has a meaning.
        least, most: base units beyond which it is a slip of the pen, and refused.
    """

    name: str
    base: str
    metric: str
    us: str
    spellings: Mapping[str, str]
    places: int = 6
    signed: bool = False
    least: float = 0
    most: float = GREATEST

    def unit(self, system: System) -> str:
        """The unit that this kind is shown in, in a system of units."""
        return self.us if system == "us" else self.metric


def _spelt(**units: str) -> Mapping[str, str]:
    """Spellings by unit: `_spelt(kg="kg kilogram")`; underscores stand for spaces."""
    table = {}
    for unit, texts in units.items():
        for text in texts.split():
            table[text.replace("_", " ")] = unit
    return MappingProxyType(table)


_MASSES = _spelt(
    mg="mg", g="g gram grams", kg="kg kilogram kilograms", lb="lb lbs pound pounds",
    oz="oz ounce ounces oz_by_weight ounce_by_weight ounces_by_weight oz_wt",
)  # fmt: skip
_BARE_OUNCES = frozenset({"oz", "ounce", "ounces"})
"""What may be a mass or a volume, as a hand says it."""
_VOLUMES = _spelt(
    mL="ml cc", L="l liter litre liters litres", gal="gal gallon gallons", qt="qt quart quarts",
    fl_oz="fl_oz floz fluid_ounce fluid_ounces",
)  # fmt: skip
_LENGTHS = _spelt(
    um="μm um micron microns", mm="mm", cm="cm", m="m meter metre meters metres",
    mil="mil mils", ft="ft foot feet ' ", yd="yd yard yards", **{"in": 'in inch inches "'},
)  # fmt: skip
_AREAS = MappingProxyType(
    {
        "cm2": "cm**2", "sq cm": "cm**2", "m2": "m**2", "sq m": "m**2", "in2": "in**2",
        "sq in": "in**2", "ft2": "ft**2", "sq ft": "ft**2", "yd2": "yd**2", "sq yd": "yd**2",
    }
)  # fmt: skip
_AREAL_WEIGHTS = MappingProxyType(
    {
        "g/m2": "g/m**2", "gsm": "g/m**2", "kg/m2": "kg/m**2", "oz/yd2": "oz/yd**2",
        "oz/sq yd": "oz/yd**2", "oz/ft2": "oz/ft**2", "oz/sq ft": "oz/ft**2",
    }
)  # fmt: skip
_DENSITIES = MappingProxyType(
    {"kg/l": "kg/L", "g/ml": "g/mL", "g/cm3": "g/mL", "kg/m3": "g/L", "lb/gal": "lb/gal",
     "lb/ft3": "lb/ft**3"}
)  # fmt: skip
_TEMPERATURES = MappingProxyType(
    {
        "degc": "degC", "°c": "degC", "c": "degC", "celsius": "degC",
        "degf": "degF", "°f": "degF", "f": "degF", "fahrenheit": "degF", "k": "K",
    }
)  # fmt: skip
_DIFFERENCES = MappingProxyType(
    {
        "k": "K", "delta degc": "K", "delta c": "K", "degc": "K", "°c": "K", "c": "K",
        "delta degf": "delta_degF", "delta f": "delta_degF", "degf": "delta_degF",
        "°f": "delta_degF", "f": "delta_degF",
    }
)  # fmt: skip
_TIMES = _spelt(
    s="s sec second seconds", min="min minute minutes", h="h hr hrs hour hours", d="d day days"
)
_COUNTS = _spelt(piece="piece pieces pc pcs ea each")

MASS = Kind("mass", "mg", "kg", "lb", _MASSES)
DOSE_MASS = Kind("mass", "mg", "g", "g", _MASSES, places=3)
DOSE_VOLUME = Kind("volume", "uL", "mL", "mL", _VOLUMES, places=3)
VOLUME = Kind("volume", "uL", "L", "gal", _VOLUMES)
LENGTH = Kind("length", "um", "m", "yd", _LENGTHS)
SIZE = Kind("length", "um", "mm", "in", _LENGTHS, places=4)
AREA = Kind("area", "mm**2", "m**2", "ft**2", _AREAS)
AREAL_WEIGHT = Kind("weight per area", "mg/m**2", "g/m**2", "oz/yd**2", _AREAL_WEIGHTS, places=3)
DENSITY = Kind("density", "mg/L", "kg/L", "lb/gal", _DENSITIES)
TEMPERATURE = Kind(
    "temperature", "K", "degC", "degF", _TEMPERATURES, places=2, signed=True, least=173,
    most=574,
)  # fmt: skip
DIFFERENCE = Kind("temperature difference", "K", "K", "delta_degF", _DIFFERENCES, 2, most=50)
GEL_TIME = Kind("time", "s", "min", "min", _TIMES, places=2, most=LONGEST_S)
TIME = Kind("time", "s", "h", "h", _TIMES, places=4, most=LONGEST_S)
COUNT = Kind("count", "millipiece", "piece", "piece", _COUNTS, places=3)

KINDS = (
    MASS, DOSE_MASS, DOSE_VOLUME, VOLUME, LENGTH, SIZE, AREA, AREAL_WEIGHT, DENSITY,
    TEMPERATURE, DIFFERENCE, GEL_TIME, TIME, COUNT,
)  # fmt: skip

UNREAD = Kind("amount", "", "", "", MappingProxyType({}), signed=True)
"""Of an amount whose unit fits nothing yet: what it must be, only its product says."""

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
_ABSOLUTE_ZERO_K = Decimal(0)
_HALF = Decimal("0.5")
_MEASURED = frozenset({"K", "s"})
"""Base units that are read finer than whole; of the others the ledger counts whole ones."""


@lru_cache(maxsize=1)
def _registry() -> pint.UnitRegistry[Any]:
    """The units of the trade, read from `units.txt` when the first quantity is."""
    import pint  # imported late: it is the slowest import of the service

    definitions = str(files(__package__).joinpath("units.txt"))
    return pint.UnitRegistry(definitions, non_int_type=Decimal)


@lru_cache(maxsize=512)
def _scale(unit: str, base: str) -> tuple[Decimal, Decimal]:
    """(factor, offset) with base = factor × (value + offset), exact where the unit is."""
    if unit in ("degC", "degF"):  # exact, where the library's own offset is rounded
        degree = Decimal(1) if unit == "degC" else Decimal(5) / Decimal(9)
        return degree, Decimal("273.15") if unit == "degC" else Decimal("459.67")
    ureg = _registry()
    ratio = (ureg.Quantity(Decimal(1), unit) / ureg.Quantity(Decimal(1), base)).to("")
    return Decimal(ratio.magnitude), Decimal(0)


def _tidy(unit: str) -> str:
    """A unit's text in one spelling: case, spaces, squares and underscores made alike."""
    text = " ".join(unit.replace("_", " ").casefold().split())
    for mark in ("**", "^"):
        text = text.replace(mark, "")
    return text.replace("²", "2").replace("³", "3")


def fitting(kind: Kind) -> str:
    """The units that fit a kind, for an error message."""
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
    """Read one quantity that may measure one of several kinds; says which it was.

    Raises: as `parse`.
    """
    number, unit = _split(text, kinds)
    for kind in kinds:
        if unit in kind.spellings:
            return Given(_in_base(number, kind.spellings[unit], kind), kind, text.strip())
    fits = "; ".join(dict.fromkeys(fitting(k) for k in kinds))
    raise UnitMismatch(_misfit(unit, kinds), advice=f"Units that fit: {fits}.")


def parse_stock(text: str, kinds: tuple[Kind, ...]) -> Given:
    """Read an amount of a product that is not known yet, of whatever kind its stock may be.

    Returns:
        As `parse_any`; with no unit or an unknown one the plain number, of the kind `UNREAD`:
        `parse_any` reads its text again, and says what is wrong with it, once the kind is known.

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
            advice=f"Write '{_example(text.strip(), kinds[0])}', say. Units that fit: {fits}.",
        )
    return _number(match, repr(text)), _tidy(match["unit"])


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
    """A number with a unit that fits: `3 pieces`."""
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
    factor, offset = _scale(unit, kind.base)
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
    if unit == "oz" and any(k.spellings is _VOLUMES for k in kinds):
        return "'oz' is a mass; for a volume write 'fl oz'."
    if unit in ("drop", "drops"):
        return "Drops differ by half from one bottle to the next: weigh it."
    for other in KINDS:
        if unit in other.spellings:
            return f"'{unit}' measures {other.name}, and a {wanted} is wanted."
    return f"'{unit[:24]}' is not a unit known here, and a {wanted} is wanted."


def convert(value: Decimal | float, kind: Kind, unit: str) -> Decimal:
    """A number in `kind.base` units, in another unit of the same kind, unrounded."""
    factor, offset = _scale(unit, kind.base)
    exact = value if isinstance(value, Decimal) else Decimal(repr(value))
    return exact / factor - offset


def figure(value: Decimal | float, kind: Kind, unit: str, places: int) -> Decimal:
    """A number in `kind.base` units as it is shown in a unit, to so many decimal places at most.

    A whole number of base units, as the ledger holds them, has the fewest places that are read
    back as itself: 2 lb are kept as 907 185 mg, and shown as 2 lb, not as 2.000001.
    """
    exact = convert(value, kind, unit)
    if isinstance(value, int) and kind.base not in _MEASURED:
        for fewer in range(_places_that_tell(unit, kind.base), places):
            number = _rounded(exact, fewer)
            if abs(exact - number) * _scale(unit, kind.base)[0] < _HALF:
                return number
    return _rounded(exact, places)


def _rounded(number: Decimal, places: int) -> Decimal:
    return number.quantize(Decimal(1).scaleb(-places), ROUND_HALF_EVEN)


@lru_cache(maxsize=128)
def _places_that_tell(unit: str, base: str) -> int:
    """Decimal places of a unit that are a base unit or more: five of a lb, whose last is 4.5 mg."""
    return max(_scale(unit, base)[0].adjusted(), 0)


def show(value: Decimal | float, kind: Kind, system: System) -> dict[str, float | str]:
    """The wire form `{"value", "unit"}` of a number in `kind.base` units."""
    unit = kind.unit(system)
    return {"value": float(figure(value, kind, unit, kind.places)), "unit": unit}


def written(value: int, kind: Kind, system: System) -> str:
    """An amount in `kind.base` units as a request takes it: `"6.9 kg"`, read back as itself."""
    unit = kind.unit(system)
    return f"{figure(value, kind, unit, kind.places).normalize():f} {unit}"


def whole(value: Decimal) -> int:
    """A number as a whole count of base units, to the nearest: what comes in and what goes out.

    Raises:
        Invalid: more than the books hold, as an amount may become by its conversion.
    """
    if abs(value) > GREATEST:
        raise Invalid("That is more than a yard has.", advice="Check the number, and its unit.")
    return int(value.to_integral_value(ROUND_HALF_EVEN))


def is_bare_ounce(given: Given) -> bool:
    """Whether an amount was given in 'oz' and nothing else, which may be of weight or fluid."""
    match = _NUMBER.fullmatch(given.text)
    return match is not None and _tidy(match["unit"] or "") in _BARE_OUNCES
