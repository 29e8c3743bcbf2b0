"""The whole floor, driven by whatever Hypothesis thinks of, beside a foreman's notebook.

People receive, mix, lay up one to four pots, look, cover, read the bay, wait, take back and start
the program anew. After each step: no opening is earlier and no closing later than any one pot of a
layup alone would have it; nothing lies on a layer that is not sound without an override on
record; what is to be done next never speaks against a hand; trouble that was told stays among what
is to be done now until a record settles it; and the drums hold what the notebook says.
"""

from __future__ import annotations

from contextlib import ExitStack
from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import watch
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView, show_layup
from cureyard_service.acts.cure.take_back import take_back_layup, take_back_seen
from cureyard_service.acts.pots.dose import dose_pot
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.wall import now as what_now
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.store import tables
from cureyard_service.store.engine.database import open_store
from cureyard_service.store.upkeep.proofs import prove
from hypothesis import Phase
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
)

from ..engines import Engine
from . import sample_yard as yard
from .conftest import set_up
from .floor import (
    IN_TROUBLE,
    LOOKS,
    OPENINGS,
    SETTLES,
    Laid,
    Look,
    closes,
    contradictions,
    is_doubted,
    opens,
)
from .living import live
from .sample_yard import HAND, MIN, NOW, H

which = st.integers(0, 999)
percents = st.sampled_from(["1", "1.5", "2", "3"])
OFTEN = (*LOOKS, "not_gelled", "not_gelled", "no_transfer")
ROUNDING_S = 60.0
"""Moments of two sums of the same thing may differ by so much, where a bay's air falls by kelvins
within one cell of the clocks' ten minutes."""


class Floor(RuleBasedStateMachine):
    """What people do on the floor of a small yard within a few days."""

    engine: Engine

    def __init__(self) -> None:
        super().__init__()
        self.stack = ExitStack()
        self.url = self.stack.enter_context(self.engine.copy(set_up))
        self.store = open_store(self.url)
        self.now = NOW
        self.drums: dict[int, int] = {}
        self.fresh: list[int] = []
        self.laid: dict[int, Laid] = {}
        self.came: dict[int, int] = {}
        self.gels_by: dict[int, int] = {}

    def teardown(self) -> None:
        """The books hold; then all is gone."""
        amiss = [proof for proof in prove(self.store) if not proof.ok]
        self.store.close()
        self.stack.close()
        assert not amiss

    @initialize()
    def stocked(self) -> None:
        """Two drums and two bottles; one drum gels slower than its sheet, one faster."""
        for product, amount in (("LAM", "20 kg"), ("LAM", "20 kg"), ("PEROX", "1 kg")):
            self.receive(product, amount)
        slow, fast, bottle = (finding.lot(number) for number in self.drums)
        yard.cup(slow, bottle, "24 min", now=self.now)
        yard.cup(fast, bottle, "17 min", now=self.now)
        for percent in ("1", "3"):
            self.mix(percent, 5, int(percent))
        self.lay_up(2, "SHED", None, False)

    def receive(self, product: str, amount: str) -> None:
        """A delivery."""
        lot = yard.receive(product, amount, now=self.now)
        self.drums[lot.id] = lot.on_hand

    @rule(product=st.sampled_from(["LAM", "PEROX"]), kilograms=st.integers(1, 4))
    def deliver(self, product: str, kilograms: int) -> None:
        """Another drum or bottle comes."""
        self.receive(product, f"{kilograms} kg")

    @rule(percent=percents)
    def dose(self, percent: str) -> None:
        """A sum alone takes nothing from the store."""
        told = dose_pot(
            now=self.now, resin="LAM", amount=yard.q("500 g"), temperature=yard.heat("20 degC"),
            catalyst_percent=Decimal(percent),
        )  # fmt: skip
        assert told.catalyst.mass == round(5_000 * Decimal(percent))

    @rule(percent=percents, hundreds=st.integers(2, 10), drum=which)
    def mix(self, percent: str, hundreds: int, drum: int) -> None:
        """A pot, from whichever drum holds enough."""
        amount = hundreds * 100_000
        drums = [
            lot for lot, left in self.drums.items()
            if left >= amount and finding.lot(lot).product.code == "LAM"
        ]  # fmt: skip
        told = yard.pot(
            f"{hundreds * 100} g", now=self.now, catalyst_percent=Decimal(percent),
            resin_lot=drums[drum % len(drums)],
        )  # fmt: skip
        drawn = [(line.lot, -line.quantity[0]) for line in told.draws]
        wanted = round(amount * Decimal(percent) / 100 / 100) * 100
        assert sum(taken for _lot, taken in drawn) == amount + wanted
        for lot, taken in drawn:
            self.drums[lot] -= taken
        self.fresh.append(told.id)
        self.gels_by[told.id] = told.gel_at_latest

    @precondition(lambda self: self.fresh)
    @rule(pot=which)
    def take_back(self, pot: int) -> None:
        """A pot was not mixed after all: what was drawn for it is in the drums again."""
        number = self.fresh.pop(pot % len(self.fresh))
        told = observe_pot(
            tables.Batch.get_by_id(number), kind="not_mixed", now=self.now, hand=HAND
        )
        for line in told.draws:
            if line.kind == "reversal":
                self.drums[line.lot] += line.quantity[0]

    @precondition(lambda self: self.fresh)
    @rule(
        count=st.integers(1, 4), bay=st.sampled_from(["SHED", "TENT"]), over=st.none() | which,
        by_leave=st.booleans(),
    )  # fmt: skip
    def lay_up(self, count: int, bay: str, over: int | None, by_leave: bool) -> None:
        """One to four pots are laid down, on the bare part or on a layer."""
        pots = tuple(self.fresh[:count])
        open_ = [number for number, laid in self.laid.items() if not laid.covered]
        below = open_[over % len(open_)] if over is not None and open_ else None
        facts = {"bay": bay, "finished_at": self.now}
        facts |= {} if below is None else {"over": below}
        lies_on = None if below is None else self.show(below)
        if below is not None and lies_on is not None and self.laid[below].unsound(
            lies_on.state, doubted=is_doubted(lies_on)
        ):  # fmt: skip
            rows = yard.contents(self.store)
            with pytest.raises(errors.Refusal) as refused:
                yard.laid(*pots, now=self.now, **facts)
            assert refused.value.slug == "unsound-below"
            assert yard.contents(self.store) == rows
            if not by_leave:
                return
            facts |= {"override": {"reason": "the surveyor agreed"}}
        told = yard.laid(*pots, now=self.now, **facts)
        if "override" in facts:
            assert (yard.overrides()[-1].slug, yard.overrides()[-1].layup_id) == (
                "unsound-below", told.id,
            )  # fmt: skip
        twins = tuple(
            yard.laid(pot, now=self.now, bay=bay, finished_at=self.now).id for pot in pots
        )
        self.laid[told.id] = Laid(pots, twins if len(pots) > 1 else (), below)
        self.laid |= {twin: Laid((pot,)) for twin, pot in zip(twins, pots, strict=True)}
        for number in (told.id, *twins):
            gels = [self.gels_by[pot] for pot in self.laid[number].pots]
            self.laid[number].stale = min(gels) < self.now
        if below is not None:
            self.laid[below].covered = True
            self.laid[below].told |= {"unsettled"} if "override" in facts else set()
        del self.fresh[:count]

    @precondition(lambda self: any(not laid.gone for laid in self.laid.values()))
    @rule(layup=which, kind=st.sampled_from(OFTEN), ago=st.integers(0, 2))
    def look(self, layup: int, kind: str, ago: int) -> None:
        """A hand says what it finds, at once or a little later."""
        there = [number for number, laid in self.laid.items() if not laid.gone]
        number = there[layup % len(there)]
        at = max(self.now - ago * MIN, finding.layup(number).applied_at)
        value = {"value": 40} if kind == "hardness" else {}
        told = observe_layup(
            finding.layup(number), kind=kind, at=at, now=self.now, hand=HAND, **value
        )
        laid = self.laid[number]
        laid.looks.append(Look(at, max(seen.id for seen in told.observations), kind))
        if kind in SETTLES:
            laid.told.clear()
        if kind == "scraped_off":
            self.came_off(number)
        self.now += MIN

    def came_off(self, lower: int) -> None:
        """What lies on a layer comes off with it."""
        for number, laid in self.laid.items():
            if laid.over == lower and not any(look.kind == "scraped_off" for look in laid.looks):
                seen = max(self.show(number).observations, key=lambda seen: int(seen.id))
                assert seen.kind == "scraped_off"
                laid.looks.append(Look(seen.at, seen.id, seen.kind))
                self.came[seen.id] = lower
                laid.told.clear()
                self.came_off(number)

    @precondition(lambda self: any(self.own(laid) for laid in self.laid.values()))
    @rule(layup=which, look=which)
    def unsay(self, layup: int, look: int) -> None:
        """A hand takes back what it said: it had felt another part."""
        seen = [number for number, laid in self.laid.items() if self.own(laid)]
        number = seen[layup % len(seen)]
        laid = self.laid[number]
        own = self.own(laid)
        taken = own[look % len(own)]
        laid.looks.remove(taken)
        take_back_seen(
            finding.layup(number), taken.id, reason="another part", now=self.now, hand=HAND
        )
        laid.told.clear()
        if taken.kind == "scraped_off":
            self.came_back(number)

    def own(self, laid: Laid) -> list[Look]:
        """What hands said of a layer itself, not of one that it came off with."""
        return [look for look in laid.looks if look.id not in self.came]

    def came_back(self, lower: int) -> None:
        """What came off with a layer did not, either."""
        for number, laid in self.laid.items():
            for look in [each for each in laid.looks if self.came.get(each.id) == lower]:
                laid.looks.remove(look)
                self.came_back(number)

    @precondition(lambda self: self.unseen())
    @rule(layup=which)
    def not_laid(self, layup: int) -> None:
        """A layup was entered by mistake: its pots are still in their buckets."""
        unseen = self.unseen()
        number = unseen[layup % len(unseen)]
        laid = self.laid[number]
        for each in (number, *laid.twins):
            take_back_layup(finding.layup(each), reason="another job", now=self.now, hand=HAND)
            del self.laid[each]
        self.fresh += laid.pots
        if laid.over is not None:
            self.laid[laid.over].covered = False

    def unseen(self) -> list[int]:
        """The layups of several pots that no hand has felt and nothing lies on, nor on a twin."""
        return [
            number
            for number, laid in self.laid.items()
            if laid.twins
            and not any(self.laid[n].looks or self.laid[n].covered for n in (number, *laid.twins))
        ]

    @rule(bay=st.sampled_from(["SHED", "TENT"]), celsius=st.integers(5, 30))
    def read(self, bay: str, celsius: int) -> None:
        """The thermometer is read: what was forecast is forecast anew."""
        self.now += MIN
        reading = {"at": self.now, "temperature": yard.heat(f"{celsius} degC")}
        read_bay.read_bay(bay=bay, readings=[reading], now=self.now, hand=HAND)
        for laid in self.laid.values():
            laid.told &= {"unsettled"}

    @rule(ahead=st.sampled_from([5 * MIN, 30 * MIN, 2 * H, 9 * H, 24 * H]))
    def wait(self, ahead: int) -> None:
        """Time passes."""
        self.now += ahead

    @rule()
    def restart(self) -> None:
        """The program is stopped and started."""
        self.store.close()
        self.store = open_store(self.url)

    def show(self, layup: int) -> LayupView:
        """A layup as the store tells it now."""
        return show_layup(watch.watch(finding.layup(layup), self.now))

    @invariant()
    def the_store_agrees_with_the_notebook(self) -> None:
        """Each layup is shown once, and all that is held of it is held of that."""
        shown = {number: self.show(number) for number in self.laid}
        told = what_now.what_now(self.now)
        self.no_promise_beyond_a_pot_alone(shown)
        self.nobody_is_contradicted(shown)
        self.trouble_stays_until_settled(shown, {layup.id for layup in told.layups})
        assert {pot.id for pot in told.pots} == set(self.fresh), "pots that wait"
        assert {lot.id: lot.on_hand for lot in tables.Lot.select()} == self.drums

    def no_promise_beyond_a_pot_alone(self, shown: dict[int, dict[str, Any]]) -> None:
        """Opening by the last pot, closing by the first."""
        for number, laid in self.laid.items():
            if laid.looks or any(self.laid[twin].looks for twin in laid.twins):
                continue  # a hand has spoken of one of them alone
            whole = shown[number]
            for alone in (shown[twin] for twin in laid.twins):
                if "trouble" in (whole.do.urgency, alone.do.urgency):
                    continue  # nothing is promised of it
                for edge in ("earliest", "at", "latest"):
                    for name in OPENINGS:
                        assert opens(whole, name, edge) >= opens(alone, name, edge) - ROUNDING_S
                    assert closes(whole, edge) <= closes(alone, edge) + ROUNDING_S

    def nobody_is_contradicted(self, shown: dict[int, dict[str, Any]]) -> None:
        """What is to be done next agrees with what hands said."""
        for number, laid in self.laid.items():
            if not laid.covered:
                assert not contradictions(laid, shown[number], self.now)

    def trouble_stays_until_settled(
        self, shown: dict[int, dict[str, Any]], listed: set[int]
    ) -> None:
        """What was said to be in trouble is among what is to be done now."""
        listed = {layup.id for layup in what_now.what_now(self.now).layups}
        for number, laid in self.laid.items():
            laid.told |= IN_TROUBLE & set(self.show(number).state)
            if laid.told or laid.seen_wet:
                assert number in listed

    @invariant()
    def a_pot_is_told_of_until_it_is_laid(self) -> None:
        """What stands in a bucket is among what is to be done now."""
        assert {pot.id for pot in what_now.what_now(self.now).pots} == set(self.fresh)

    @invariant()
    def the_drums_hold_what_the_notebook_says(self) -> None:
        """Lot by lot."""
        assert {lot.id: lot.on_hand for lot in tables.Lot.select()} == self.drums


DAYS = {"sqlite": 30, "postgresql": 6}
"""Where an act is quick, more of them."""


def test_the_floor_is_as_the_notebook_says(engine: Engine) -> None:
    """Some days of thirty acts each, on either engine."""
    # A day that fails is told as it was: to shorten it takes minutes.
    unshortened = [Phase.explicit, Phase.reuse, Phase.generate]
    live(Floor, engine, DAYS[engine.name], acts=30, phases=unshortened)
