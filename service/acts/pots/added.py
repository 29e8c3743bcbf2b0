"""Fillers and additives: what is stirred into a pot beside its resin and its catalyst."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from ...core.amounts.quantities import MASS, Given
from ...core.errors import Invalid
from ...core.frozen import frozen
from ...core.pots import additives
from ...core.products.fillers import Consistency
from ...core.products.materials import AS_RESIN, CURING_ROLES
from ...store.products import Product
from ..products.nature import natures_of
from ..products.stuff import stuff_of
from ..yard import conversions, finding
from .look_up import Asked


@frozen
class Added:
    """Something stirred in: a filler, wax solution, colour paste.

    Attributes:
        quantity, mass: how much, and that in mg. Of one that is given by its `consistency` they
            are 0 until the pot is dosed, see `putty.weigh`.
    """

    product: Product
    quantity: Given
    mass: int
    consistency: Consistency | None = None

    @property
    def effects(self) -> tuple[str, ...]:
        """Its effects on the mix."""
        return tuple(self.product.effects.split())

    @property
    def counts_as_resin(self) -> bool:
        """Whether the catalyst's percent is of it too."""
        return bool(AS_RESIN & set(self.effects))

    @property
    def cures(self) -> bool:
        """Whether it sets off or makes the cure: a peroxide or isocyanate, whatever its role."""
        hot = natures_of(self.product) & {"peroxide", "isocyanate"}
        return bool(hot) or self.product.role in ("catalyst", "hardener")

    @property
    def promotes(self) -> bool:
        """Whether it must never meet peroxide undiluted."""
        return "promoter" in natures_of(self.product)


def read(items: Sequence[Mapping[str, Any]]) -> list[Added]:
    """The fillers of a request, each a `product` with a `quantity` or a `consistency`.

    Raises:
        UnknownReference. Invalid: one that counts as resin is not weighed, or is given by its
        consistency; one has both a quantity and a consistency, or neither.
    """
    return [_read(number, item) for number, item in enumerate(items)]


def _read(number: int, item: Mapping[str, Any]) -> Added:
    product = finding.product(item["product"], f"/fillers/{number}/product")
    given: Given | None = item.get("quantity")
    consistency: Consistency | None = item.get("consistency")
    if (given is None) == (consistency is None):
        raise Invalid(
            f"{product.code} needs a quantity or a consistency, one of the two.",
            advice="Give 'quantity', or 'consistency' for what its sheet says.",
            pointer=f"/fillers/{number}",
        )
    if given is None:
        return _by_consistency(number, product, consistency)
    mass = conversions.in_ledger(given, stuff_of(product), f"/fillers/{number}/quantity")
    added = Added(product, given, mass)
    if added.counts_as_resin and product.measure != "mass":
        raise Invalid(
            f"{product.code} counts as resin, but is not kept by mass.",
            advice="Keep it in the catalogue under a role that is weighed, such as filler.",
            pointer=f"/fillers/{number}/product",
        )
    return added


def _by_consistency(number: int, product: Product, consistency: Consistency | None) -> Added:
    added = Added(product, Given(Decimal(0), MASS, ""), 0, consistency)
    if product.role != "filler" or added.counts_as_resin:
        raise Invalid(
            f"{product.code} thickens no mix: only a filler has a consistency.",
            advice="Give its quantity instead.",
            pointer=f"/fillers/{number}/consistency",
        )
    return added


def check(pot: Asked, added: Sequence[Added]) -> None:
    """Refuse what is no filler of a pot: a catalyst, another resin, or promoter with peroxide.

    Raises: Invalid. As `additives.check`.
    """
    for number, item in enumerate(added):
        pointer = f"/fillers/{number}/product"
        if item.cures:
            raise Invalid(
                f"{item.product.code} is a catalyst or hardener: it goes in by the dose, and never "
                "as a filler.",
                advice="Name it as the pot's catalyst, if the resin's cure sheet names it.",
                pointer=pointer,
            )
        if item.product.role in CURING_ROLES - {"filler"} and not item.counts_as_resin:
            raise Invalid(
                f"{item.product.code} is cured by a dose of its own, and is no filler.",
                advice="Mix it in a pot of its own, or name more of the pot's resin.",
                pointer=pointer,
            )
    _check_percents(pot, added)
    peroxide = pot.catalyst is not None and "peroxide" in natures_of(pot.catalyst)
    if (peroxide or pot.sheet.mix.kind == "catalysed") and any(i.promotes for i in added):
        raise Invalid(
            "Never add promoter and peroxide in one step: together they explode.",
            advice="Stir the promoter into the resin first, on its own; then dose the catalyst. "
            "Record it as 'promoter', not among the fillers.",
            pointer="/fillers",
        )


def _check_percents(pot: Asked, added: Sequence[Added]) -> None:
    """Hold wax and styrene to the sheet; a solution of wax in styrene counts as wax."""
    as_resin = sum(each.mass for each in added if each.counts_as_resin)
    wax = sum(each.mass for each in added if "waxes" in each.effects)
    thin = sum(
        each.mass for each in added if "thins" in each.effects and "waxes" not in each.effects
    )
    additives.check(pot.sheet, pot.resin_mg - as_resin, wax, thin, pot.heat.temperature)
