"""What a layup is made of: its pots or, where nothing was mixed here, a product."""

from __future__ import annotations

from decimal import Decimal

from ...core.errors import Invalid
from ...core.frozen import frozen
from ...core.products.cure_sheet import CureSheet
from ...store import cure_sheets as store_sheets
from ...store.cure import pots
from ...store.cure.pots import Batch
from ...store.products import Product
from ...store.stock.lines import draws_of_batch
from ..products import cure_sheets
from ..products.cure_sheets import Kept
from ..yard import conversions, finding, moments


@frozen
class Material:
    """What was laid down.

    Attributes:
        kept: the cure sheet. stated_ppm: the percent of catalyst as it was said, without pots.
        effects: of all that was stirred in, by a space. pots: the first mixed first.
    """

    product: Product
    catalyst: Product | None
    kept: Kept
    stated_ppm: int | None
    effects: str
    pots: list[Batch]

    @property
    def sheet(self) -> CureSheet:
        """Its cure sheet."""
        return self.kept.sheet

    @property
    def last_mixed(self) -> int:
        """When its last pot was mixed, epoch s; 0 without pots."""
        return max((pot.mixed_at for pot in self.pots), default=0)


def look_up(
    batches: list[int] | None, product: str | None, catalyst: str | None, percent: Decimal | None
) -> Material:
    """The material of a layup, from the ids of its pots or from a product's code.

    Raises:
        Invalid: both or neither are named; pots of several products, lost or not mixed; a
            catalysed product without its percent.
        UnknownReference, CureSheetMissing, PartnerMissing.
    """
    if bool(batches) == (product is not None):
        raise Invalid(
            "A layup needs either the pots that went in or a product.",
            advice="Name the pots of a mix that was mixed here; otherwise name the product.",
        )
    if product is not None:
        return _unmixed(product, catalyst, percent)
    found = [finding.batch(n, f"/batches/{i}") for i, n in enumerate(batches or ())]
    if len({pot.id for pot in found}) < len(found):
        raise Invalid("A pot is named twice.", advice="Name it once.", pointer="/batches")
    return _mixed(sorted(found, key=lambda pot: (pot.mixed_at, pot.id)))


def _unmixed(code: str, catalyst: str | None, percent: Decimal | None) -> Material:
    product = finding.product(code, "/product")
    kept, partner = cure_sheets.pair(product, catalyst, weighed=False)
    dosed = kept.sheet.mix.kind == "catalysed"
    if dosed and percent is None:
        raise Invalid(
            f"{product.code} is catalysed: its cure needs the percent.",
            advice="Give catalyst_percent, or mix the pot here first and name it.",
            pointer="/catalyst_percent",
        )
    return Material(
        product=product,
        catalyst=partner,
        kept=kept,
        stated_ppm=conversions.ppm(percent) if dosed else None,
        effects="",
        pots=[],
    )


def _mixed(mixed: list[Batch]) -> Material:
    """The material of some pots; the face has the effects of all that was stirred into them."""
    first = mixed[0]
    for pot in mixed:
        _check_pot(pot, first)
    added = [line.lot.product for pot in mixed for line in draws_of_batch(pot.id)]
    effects = {effect for product in added for effect in product.effects.split()}
    return Material(
        product=first.resin_lot.product,
        catalyst=first.catalyst_lot.product if first.catalyst_lot else None,
        kept=cure_sheets.kept(store_sheets.sheet(first.cure_sheet_id)),
        stated_ppm=None,
        effects=" ".join(sorted(effects)),
        pots=mixed,
    )


def _check_pot(pot: Batch, first: Batch) -> None:
    if pot.cure_sheet_id != first.cure_sheet_id:
        raise Invalid(
            "The pots have different resins or catalysts.",
            advice="Record a layup for each resin and catalyst.",
            pointer="/batches",
        )
    for seen in pots.observations_of_batch(pot.id):
        if seen.kind in ("lost", "not_mixed"):
            raise Invalid(
                f"Pot {pot.id} was {seen.kind.replace('_', ' ')}.",
                advice="Leave it out.",
                pointer="/batches",
            )


def check_liquid(mixed: list[Batch], at: int) -> None:
    """Refuse a pot that a hand saw gelled before it was laid, `at` in epoch s.

    Raises: Invalid.
    """
    seen = pots.observations_of_batches([pot.id for pot in mixed])
    for pot in mixed:
        last = [look for look in seen[pot.id] if look.at <= at][-1:]
        if last and last[0].kind == "gelled":
            raise Invalid(
                f"Pot {pot.id} had gelled at {moments.noted(last[0].at)}, before it was laid.",
                advice="Say when it went on, as 'applied_at', or leave the pot out: lumps do not "
                "bond. If it had not gelled, take that observation back.",
                pointer="/batches",
            )


def check_times(material: Material, at: int, done: int) -> None:
    """Refuse a layup that ends before it begins, or was laid before its pots were mixed.

    Raises: Invalid.
    """
    if done < at:
        raise Invalid(
            "The layup can't end before it began.",
            advice="Check both times.",
            pointer="/finished_at",
        )
    if material.pots and at < material.pots[0].mixed_at:
        raise Invalid(
            "The layup can't begin before its first pot was mixed.",
            advice="Check applied_at against the time when the pot was mixed.",
            pointer="/applied_at",
        )
    if done < material.last_mixed:
        raise Invalid(
            "The layup can't end before its last pot was mixed.",
            advice="Check finished_at against the times when the pots were mixed.",
            pointer="/finished_at",
        )
