"""Materials: the roles of products, the measure of each, and amounts converted into stock."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType

from ..amounts import quantities
from ..amounts.quantities import KIND_OF_MEASURE, Given, Kind, Measure
from ..errors import CureSheetMissing, Invalid, UnitMismatch
from ..frozen import frozen

MEASURE_OF_ROLE: Mapping[str, Measure] = MappingProxyType(
    {
        "reinforcement": "length",
        "bagging": "length",
        "resin": "mass",
        "catalyst": "mass",
        "hardener": "mass",
        "promoter": "mass",
        "filler": "mass",
        "coating": "mass",
        "foam": "mass",
        "adhesive": "mass",
        "sheet": "count",
        "sundry": "count",
    }
)
"""The measure of each role's stock: mg, µm of roll, thousandths of a piece."""

ROLES = tuple(MEASURE_OF_ROLE)

POURED_ROLES = frozenset({"resin", "catalyst", "hardener", "promoter", "coating", "foam"})
"""Roles whose products are liquids."""

CURING_ROLES = frozenset({"resin", "coating", "foam", "adhesive", "filler"})
"""Roles that may carry a cure sheet."""

LIVELY_ROLES = CURING_ROLES - {"filler"} | {"catalyst", "hardener", "promoter"}
"""Roles that age on the shelf, as they cure or start a cure; so do fillers with a cure sheet."""

EFFECTS = ("waxes", "thins", "pigments", "promotes")
"""What an additive may do to a mix."""

AS_RESIN = frozenset({"waxes", "thins", "pigments"})
"""Additives with these effects count as resin for the dose (common practice, no source)."""

CHEMISTRIES = (
    "polyester", "vinyl_ester", "epoxy", "polyurethane", "acrylic", "silicone", "polysulfide",
    "ketone_peroxide", "benzoyl_peroxide", "amine", "isocyanate", "cobalt", "e_glass", "carbon",
    "aramid", "polystyrene", "acetone", "other",
)  # fmt: skip


@frozen
class Stuff:
    """A product's figures for converting amounts; None where a figure is not known.

    Attributes:
        code: the product's code, for messages.
        measure: of its stock.
        density: of the liquid, mg/L.
        areal_weight: mg/m². width: of the roll, µm.
        poured: whether it is a liquid, see `is_poured`.
    """

    code: str
    measure: Measure
    density: int | None = None
    areal_weight: int | None = None
    width: int | None = None
    poured: bool = False


ACCEPTED: Mapping[Measure, tuple[Kind, ...]] = MappingProxyType(
    {
        "mass": (quantities.MASS, quantities.VOLUME),
        "length": (quantities.LENGTH, quantities.AREA, quantities.MASS),
        "count": (quantities.COUNT,),
    }
)
"""The kinds of quantity that a person may give for stock of each measure."""


def stock_amount(value: Decimal, kind: Kind, stuff: Stuff) -> Decimal:
    """An amount converted into the product's stock units, unrounded.

    Volume becomes mass by the liquid's density; area becomes length by the roll's width;
    mass of a roll becomes length by width × areal weight (nominal, good to ±10 %).

    Raises:
        UnitMismatch: the product is not counted by that kind.
        CureSheetMissing: the product lacks the figure that the conversion needs.
    """
    if kind.name == KIND_OF_MEASURE[stuff.measure].name:
        return value
    if stuff.measure == "mass" and kind.name == "volume":
        return value * _known(stuff.density, "density", stuff) / 10**6
    if stuff.measure == "length" and kind.name == "area":
        return value / _known(stuff.width, "width", stuff) * 10**6
    if stuff.measure == "length" and kind.name == "mass":
        per_metre = _known(stuff.areal_weight, "areal_weight", stuff) * Decimal(
            _known(stuff.width, "width", stuff)
        ).scaleb(-6)
        return value / per_metre * 10**6
    wanted = KIND_OF_MEASURE[stuff.measure]
    raise UnitMismatch(
        f"{stuff.code} is counted by {wanted.name}, not by {kind.name}.",
        advice=f"Units that fit: {quantities.fitting(wanted)}.",
    )


def is_gel_coat(role: str, chemistry: str | None) -> bool:
    """Whether a product is a gel coat: a coating of polyester or vinyl ester."""
    return role == "coating" and chemistry in ("polyester", "vinyl_ester")


def ledger_amount(given: Given, stuff: Stuff) -> int:
    """An amount as a person gave it, in whole stock units, rounded to the nearest.

    Raises:
        As `stock_amount`. UnitMissing: it has no unit. UnitMismatch: an unknown unit, or plain
        ounces of a liquid.
    """
    if given.kind is quantities.UNREAD:
        given = quantities.parse_any(given.text, ACCEPTED[stuff.measure])
    if stuff.poured and quantities.is_bare_ounce(given):
        raise UnitMismatch(
            f"{stuff.code} is a liquid, and {given.text!r} may mean its volume or its weight.",
            advice="Write 'fl oz' for a volume, or 'oz by weight' for what a scale shows.",
        )
    return quantities.whole(stock_amount(given.value, given.kind, stuff))


def is_poured(role: str, chemistry: str | None, density: int | None) -> bool:
    """Whether a product is a liquid, which may be measured by volume or by weight.

    It is one by its role, or because its density (mg/L) is known. Benzoyl peroxide, adhesives and
    fillers are pastes or powders (common practice, no source).
    """
    if density is not None:
        return True
    if chemistry == "benzoyl_peroxide":
        return False
    return role in POURED_ROLES


def check_role(role: str) -> Measure:
    """The measure of a role.

    Raises:
        Invalid: there is no such role.
    """
    if role not in MEASURE_OF_ROLE:
        raise Invalid(f"'{role}' is not a role.", advice=f"Roles: {', '.join(MEASURE_OF_ROLE)}.")
    return MEASURE_OF_ROLE[role]


def _known(figure: int | None, name: str, stuff: Stuff) -> int:
    if not figure:
        raise CureSheetMissing(
            f"{stuff.code} has no {name.replace('_', ' ')}, which this amount needs.",
            advice=f"Give the amount by {KIND_OF_MEASURE[stuff.measure].name}, "
            f"or set the product's {name}.",
        )
    return figure
