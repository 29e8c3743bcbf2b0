"""What the store keeps: roles, how each is measured, and amounts turned into stock."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

from ..amounts import quantities
from ..amounts.quantities import KIND_OF_MEASURE, Given, Kind, Measure
from ..errors import CureSheetMissing, Invalid, UnitMismatch

MEASURE_OF_ROLE: Mapping[str, Measure] = MappingProxyType(
    {
        "reinforcement": "length",
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
"""Each role, and what its stock is counted in: mg, µm of roll, thousandths of a piece."""

ROLES = tuple(MEASURE_OF_ROLE)

POURED_ROLES = frozenset({"resin", "catalyst", "hardener", "promoter", "coating", "foam"})
"""Roles whose products are liquids."""

CURING_ROLES = frozenset({"resin", "coating", "foam", "adhesive", "filler"})
"""Roles that may carry a cure sheet."""

LIVELY_ROLES = CURING_ROLES - {"filler"} | {"catalyst", "hardener", "promoter"}
"""Roles that go off on the shelf, as they cure or set off a cure; a filler does if it cures."""

EFFECTS = ("waxes", "thins", "pigments", "promotes")
"""What an additive does to the mix that it goes into."""

CHEMISTRIES = (
    "polyester", "vinyl_ester", "epoxy", "polyurethane", "acrylic", "silicone", "polysulfide",
    "ketone_peroxide", "benzoyl_peroxide", "amine", "isocyanate", "cobalt", "e_glass", "carbon",
    "aramid", "polystyrene", "acetone", "other",
)  # fmt: skip


@dataclass(frozen=True)
class Stuff:
    """What turns one measure of a product into another; None where it is not known.

    Attributes:
        code: the product's code, for messages.
        measure: what its stock is counted in.
        density: of the liquid, mg/L.
        areal_weight: mg/m². width: of the roll, µm.
        poured: whether a hand may measure it by volume.
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
    """An amount as a person gave it, in the product's stock units, unrounded.

    Volume becomes mass by the liquid's density; area becomes length by the roll's width;
    mass of a roll becomes length by width × areal weight (nominal, good to ±10 %).

    Raises:
        UnitMismatch: the product is not counted so.
        CureSheetMissing: the figure that the conversion needs is not on the product.
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
    """An amount as a person gave it, in whole stock units, to the nearest.

    Raises: as `stock_amount`. UnitMissing: it has no unit. UnitMismatch: an unknown one, or bare
    ounces of what is poured.
    """
    if given.kind is quantities.UNREAD:
        given = quantities.parse_any(given.text, ACCEPTED[stuff.measure])
    if stuff.poured and quantities.is_bare_ounce(given):
        raise UnitMismatch(
            f"{stuff.code} is poured, and {given.text!r} may be of volume or of weight.",
            advice="Write 'fl oz' for a volume, or 'oz by weight' for what a scale shows.",
        )
    return quantities.whole(stock_amount(given.value, given.kind, stuff))


def is_poured(role: str, chemistry: str | None, density: int | None) -> bool:
    """Whether a product is a liquid, which a hand may measure by volume or by weight.

    By its role, or because its density as a liquid is known. Benzoyl peroxide is a paste or a
    powder, and so are adhesives and fillers (common practice, no source).
    """
    if density is not None:
        return True
    if chemistry == "benzoyl_peroxide":
        return False
    return role in POURED_ROLES


def check_role(role: str) -> Measure:
    """The measure of a role; refuses a role that the trade does not have."""
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
