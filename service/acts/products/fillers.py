"""A filler in the catalogue: what its sheet says of thickening a mix, kept and shown."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Annotated, Any

from ...core.amounts.views import OneOf, Says, View
from ...core.errors import Invalid
from ...core.frozen import frozen
from ...core.products import fillers
from ...core.products.fillers import CONSISTENCIES, Filler, Thickening
from ...store.products import Product

FIGURES = ("bulk_density", "particle_density", "consistencies")
"""The facts of a product that only a filler has."""


@frozen
class ConsistencyView(View):
    """How much of a filler gives a consistency: one of two figures."""

    consistency: Annotated[str, OneOf(CONSISTENCIES)]
    loose_parts: Annotated[
        Decimal | None, Says("Parts by volume, as it lies loose, to one of mixed resin.")
    ]
    grams_per_kg: Annotated[Decimal | None, Says("Grams to a kilogram of mixed resin.")]


def filler_of(row: Product) -> Filler:
    """A product's figures as a filler."""
    kept = json.loads(row.consistencies)
    thickenings = tuple(
        Thickening(
            each["consistency"],
            _plain(each.get("loose_parts_ppm")),
            _plain(each.get("grams_per_kg_ppm")),
        )
        for each in kept
    )
    return Filler(row.code, thickenings, row.bulk_density_mg_l, row.particle_density_mg_l)


def check(row: Product) -> None:
    """Refuse a filler whose figures can't be true, or another product that has them.

    Raises: Invalid. CureSheetInconsistent: as `fillers.check`.
    """
    filler = filler_of(row)
    has = (filler.bulk_density, filler.particle_density, filler.thickenings)
    if row.role != "filler" and any(has):
        name = next(name for name, value in zip(FIGURES, has, strict=True) if value)
        raise Invalid(
            f"A {row.role} thickens no mix: '{name}' is of a filler.",
            advice="Leave it out, or add the product under the role filler.",
            pointer=f"/{name}",
        )
    fillers.check(filler)


def as_kept(consistencies: Sequence[Mapping[str, Any]]) -> str:
    """The column of a request's consistencies."""
    return json.dumps([
        {"consistency": each["consistency"]}
        | {
            f"{name}_ppm": round(each[name] * 10**6)
            for name in ("loose_parts", "grams_per_kg")
            if each.get(name) is not None
        }
        for each in consistencies
    ])  # fmt: skip


def show(row: Product) -> list[ConsistencyView]:
    """A product's consistencies, as they were entered."""
    return [
        ConsistencyView(
            each["consistency"],
            _exact(each.get("loose_parts_ppm")),
            _exact(each.get("grams_per_kg_ppm")),
        )
        for each in json.loads(row.consistencies)
    ]


def asking(row: Product) -> list[str]:
    """Words on figures that mixing by consistency would still ask for."""
    names = fillers.lacking(filler_of(row))
    if not names:
        return []
    return [
        f"{row.code} can't be mixed by consistency without its {' and '.join(names)}: enter them "
        "from its data sheet."
    ]


def _plain(parts: int | None) -> float | None:
    return None if parts is None else parts / 1e6


def _exact(parts: int | None) -> Decimal | None:
    return None if parts is None else Decimal(parts) / 10**6
