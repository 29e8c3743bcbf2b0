"""Look up the steps of a plan: their products and sheets, the bay, the layer below."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any

from ...core.bays.temperature import DAY_S
from ...core.cure.clocks import Doubt
from ...core.cure.layer import LaidPot, Layer, surface_of
from ...core.errors import Invalid, OutsideLimits, PeroxideLimit
from ...core.frozen import frozen
from ...core.plan import chain
from ...core.plan.chain import Plan
from ...core.plan.routes import Shop
from ...core.plan.shop_hours import ShopHours, nights
from ...core.plan.steps import Ground, Hold, Lay, Step, Wait, Work
from ...core.pots import limits
from ...core.products.cure_sheet import CureSheet, Surface
from ...store import cure_sheets as store_sheets
from ...store.bays import Bay
from ...store.cure.layups import Layup
from ...store.products import Product
from ..bays import air
from ..cure import watch
from ..products import cure_sheets
from ..products.cure_sheets import strength_of
from ..yard import finding

BEYOND_D = 14
"""How far past the last slot a layer's milestones are looked for."""


LIKELY = 0.5
"""The chance that a plan by touch goes by: a hand finds out whether it holds."""


@frozen
class Chain:
    """A chain looked up in the store.

    Attributes:
        products: of each step that cures, by its place. start: of the first slot, epoch s.
        slot: s. ground: the window and hardness of `below`, the layer that the first step goes on.
        by_touch: whether each layer waits for the likely window and a touch, not for the sure one.
    """

    steps: tuple[Step, ...]
    products: dict[int, Product]
    bay: Bay
    start: float
    slot: float
    ground: Ground | None
    below: Layup | None
    by_touch: bool = False

    @property
    def surface_below(self) -> Surface:
        """The surface of the layer that the first step goes on, as it was laid."""
        if self.below is None:
            raise ValueError("the first step goes on no layer")
        sheet = cure_sheets.kept(store_sheets.sheet(self.below.cure_sheet_id)).sheet
        return surface_of(sheet.surface, self.below.effects.split())

    def _doubt(self) -> Doubt:
        doubt = air.doubt(self.bay, int(self.start))
        return replace(doubt, sure=LIKELY) if self.by_touch else doubt.of_bonds(self.bonds)

    @property
    def bonds(self) -> int:
        """How many of its layers go on a layer below."""
        laid = sum(isinstance(step, Lay) for step in self.steps)
        return max(laid if self.ground else laid - 1, 1)

    def plan(self, hours: ShopHours, days: int, warmer: float = 0.0) -> Plan:
        """The plan over so many days, with the bay's nights so much warmer, K.

        Raises: NoPlan.
        """
        return chain.plan(self.steps, self.shop(hours, days, warmer), self.ground)

    def shop(self, hours: ShopHours, days: int, warmer: float = 0.0) -> Shop:
        """The bay and the hours over so many days, with its nights so much warmer, K."""
        end = self.start + days * DAY_S
        until = int(end + BEYOND_D * DAY_S)
        return Shop(
            air.trace(self.bay, int(self.start), until, night_warmer=warmer),
            self._doubt(),
            hours.spans(self.start, end),
            nights(self.start, until, hours.zone),
            self.start,
            self.slot,
            int(days * DAY_S / self.slot),
        )


def look_up(
    bay: str,
    steps: Sequence[Mapping[str, Any]],
    start: float,
    slot: float,
    after: int | None,
    now: int,
    *,
    by_touch: bool = False,
) -> Chain:
    """Look up a plan's bay, products and the layer that it goes on.

    Args:
        steps: in their order, each with its `kind`, a `title`, and what `_lay` or `_plain` say.
        start: of the first slot, epoch s. slot: s. after: id of a layup, or None.

    Raises:
        UnknownReference, CureSheetMissing, PartnerMissing, OutsideLimits, PeroxideLimit.
        Invalid: a step lacks something.
    """
    its_bay = finding.bay(bay, "/bay")
    made: list[Step] = []
    products: dict[int, Product] = {}
    for number, step in enumerate(steps):
        pointer = f"/steps/{number}"
        if step["kind"] == "cure":
            code = _given(step, "product", pointer)
            products[number] = finding.product(code, f"{pointer}/product")
            made.append(_lay(step, products[number], pointer))
        else:
            made.append(_plain(step, pointer))
    below = None if after is None else finding.laid(after, "/after")
    if by_touch and below is not None and below.job.structural != "no":
        raise Invalid(
            f"Layup {below.id} is of a job that may carry load, so nothing on it is planned by "
            "touch.",
            advice="Leave out 'touch'; or say that the job is not structural.",
            pointer="/after",
        )
    ground = None if below is None else watch.ground(below, now, by_touch=by_touch)
    return Chain(tuple(made), products, its_bay, start, slot, ground, below, by_touch)


def _plain(step: Mapping[str, Any], pointer: str) -> Step:
    """A step without a product: `work`, `wait` so long, or `hold` until a moment."""
    title = step["title"]
    if step["kind"] == "hold":
        return Hold(title, float(_given(step, "until", pointer)))
    if step["kind"] == "wait":
        return Wait(title, float(_given(step, "wait", pointer)))
    return Work(title, float(_given(step, "work", pointer)))


def _lay(step: Mapping[str, Any], product: Product, pointer: str) -> Lay:
    """A step that cures: `product`, its `catalyst` and percent, hands-on `work`, `abrade`."""
    named, where = step.get("catalyst"), f"{pointer}/catalyst"
    kept, partner = cure_sheets.pair(product, named, where, weighed=False)
    sheet = kept.sheet
    law, percent = cure_sheets.law_of(sheet), _percent(step, sheet, product, partner, pointer)
    work = float(_given(step, "work", pointer))
    abrade = step.get("abrade")
    return Lay(
        step["title"],
        Layer(sheet, law, (LaidPot(percent, law.belief(), 0.0),), work, sheet.surface),
        None if abrade is None else float(abrade),
    )


def _percent(
    step: Mapping[str, Any],
    sheet: CureSheet,
    product: Product,
    partner: Product | None,
    pointer: str,
) -> float | None:
    """The step's percent of catalyst, as a percent of the sheet's own peroxide."""
    pointer = f"{pointer}/catalyst_percent"
    percent: Decimal | None = step.get("catalyst_percent")
    if sheet.mix.kind != "catalysed":
        if percent is None:
            return None
        raise Invalid(
            f"{product.code} has a fixed mix: it takes no percent.",
            advice="Leave out catalyst_percent.",
            pointer=pointer,
        )
    if percent is None:
        raise Invalid(
            f"{product.code} is catalysed, and its catalyst percent is missing.",
            advice="Give catalyst_percent.",
            pointer=pointer,
        )
    strength = strength_of(sheet, partner)
    try:
        limits.check_percent(float(percent), sheet, strength)
    except (OutsideLimits, PeroxideLimit) as refused:
        refused.pointer = pointer
        raise
    return float(percent) * strength


def _given(step: Mapping[str, Any], name: str, pointer: str) -> Any:
    """A value that a step of its kind must have."""
    if step.get(name) is None:
        raise Invalid(
            f"The step '{step['title']}' needs '{name}'.",
            advice="A step that cures takes product and work; work takes work; a wait takes "
            "wait; a hold takes until.",
            pointer=f"{pointer}/{name}",
        )
    return step[name]
