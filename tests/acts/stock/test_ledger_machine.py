"""The store and a store on paper, driven side by side by whatever Hypothesis thinks of.

Every act is foreseen on paper: the lines that it writes, or the slug that it is refused with, and
then no row of any table is another. After each step both have the same on hand, reserved and
free of every lot; at the end the proofs hold.
"""

from __future__ import annotations

from contextlib import ExitStack
from typing import Any

from cureyard_service.acts.jobs import job as open_job
from cureyard_service.acts.jobs import need
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.stock import change_lot, count, draw, return_stock, reverse
from cureyard_service.acts.stock.lot import show_lots
from cureyard_service.acts.stock.movement import MovedView
from cureyard_service.acts.yard import finding
from cureyard_service.store import tables
from cureyard_service.store.engine.database import open_store
from cureyard_service.store.upkeep.proofs import prove
from hypothesis import strategies as st
from hypothesis.stateful import (
    initialize,
    invariant,
    precondition,
    rule,
)

from ... import makers
from ...engines import Engine
from ...paper import Line
from ...putting import by_acts
from .. import sample_yard as yard
from ..conftest import set_up
from ..living import live
from ..paper_store import ROLL, PaperLot, PaperNeed
from ..sample_yard import HAND
from ..side_by_side import SIZES, SideBySide

which = st.integers(0, 999)
sizes = st.integers(1, 9).map(lambda tenths: tenths * 10)
of_stock = st.sampled_from(["MICROS", "MICROS", "MAT"])
jobs = st.integers(0, 2)


class Ledger(SideBySide):
    """Whatever people do to the stock of a small yard within a few hours."""

    engine: Engine

    def __init__(self) -> None:
        super().__init__()
        self.stack = ExitStack()
        self.store = open_store(self.stack.enter_context(self.engine.copy(set_up)))

    def teardown(self) -> None:
        """The books hold; then all is gone."""
        amiss = [proof for proof in prove(self.store) if not proof.ok]
        self.store.close()
        self.stack.close()
        assert not amiss

    @initialize()
    def stocked(self) -> None:
        """Two lots of what is drawn, some of it promised, enough for a pot, a third job."""
        for number, product in enumerate(("MICROS", "MICROS", "MAT", "LAM", "PEROX")):
            self.receive(product, 90 if number else 40, None, number)
        self.open()
        for job in range(2):
            self.need("MICROS", 50, job, None)

    @rule(
        product=st.sampled_from(list(SIZES)),
        part=sizes,
        label=st.sampled_from([None, -1, 0, 30, 30, 90]),
        number=st.integers(0, 12),
    )
    def receive(self, product: str, part: int, label: int | None, number: int) -> None:
        """A delivery, out of date or not, perhaps of a container that came before."""
        facts = {} if label is None else {"expires_on": yard.day(label)}
        amount, text = self.amount(product, part)
        told = self.agree(
            lambda: self.paper.receive(product, f"L-{number}"),
            lambda: yard.receive(product, text, now=self.now, number=f"L-{number}", **facts),
        )
        if told is not None:
            page = PaperLot(
                id=told.id, product=product, number=f"L-{number}", label=label,
                received_at=self.now,
            )  # fmt: skip
            page.lines.append(Line("receipt", amount, self.now, id=self.last_line()))
            self.paper.lots[told.id] = page

    @rule(product=of_stock, part=sizes, job=jobs, scrap=st.booleans(), back=st.integers(0, 9))
    def draw_product(self, product: str, part: int, job: int, scrap: bool, back: int) -> None:
        """First expired first out, some of it booked late."""
        amount, text = self.amount(product, part)
        self.take(scrap, self.job(job), amount, text, back, product=product)

    @rule(
        lot=which, part=st.none() | sizes, job=jobs, scrap=st.booleans(), back=st.integers(0, 9),
        override=st.booleans(),
    )  # fmt: skip
    def draw_lot(
        self, lot: int, part: int | None, job: int, scrap: bool, back: int, override: bool
    ) -> None:
        """From one lot, all of it or a part, by a lead's leave or without."""
        page = self.lot(lot)
        amount, text = self.amount(page.product, part) if part else (None, "")
        self.take(
            scrap, self.job(job), amount, text, back, lot=page.id,
            override=override and not scrap,
        )  # fmt: skip

    @rule(lot=which, off=st.integers(-12, 12), job=jobs, scrap=st.booleans(), free=st.booleans(),
          named=st.booleans())  # fmt: skip
    def draw_about_all(
        self, lot: int, off: int, job: int, scrap: bool, free: bool, named: bool
    ) -> None:
        """All that there is, or all that is free, as other scales and units have it."""
        page = self.lot(lot)
        amount = page.on_hand - (self.paper.reserved()[page.id] if free else 0) + off
        if amount > 0:
            of: dict[str, Any] = {"lot": page.id} if named else {"product": page.product}
            unit = "um" if page.product == ROLL else "mg"
            self.take(scrap, self.job(job), amount, f"{amount} {unit}", 0, **of)

    def take(
        self, scrap: bool, job: str, amount: int | None, text: str, back: int, **of: Any
    ) -> None:
        """Draw or scrap in both."""
        override = of.get("override", False)
        kind: Any = "scrap" if scrap else "draw"
        asked = {name: what for name, what in of.items() if name != "override"}
        asked |= {"override": {"reason": "boat goes out"}} if override else {}
        asked |= {"job": None, "reason": "spilt"} if scrap else {"job": job}
        at = self.now - 60 * back
        told = self.agree(
            lambda: self.paper.draw(kind, None if scrap else job, amount, **of),
            lambda: draw.draw(
                kind=kind, quantity=yard.q(text) if amount else "all", at=at, now=self.now,
                hand=HAND, **asked,
            ),
        )  # fmt: skip
        self.book(told, at, None if scrap else job)

    @precondition(lambda self: self.drawn())
    @rule(draw=which, part=sizes, job=st.none() | jobs, off=st.none() | st.integers(-9, 9))
    def return_(self, draw: int, part: int, job: int | None, off: int | None) -> None:
        """Some, or about all, comes back: into its drum, or as an offcut, or for the wrong job."""
        drawn = self.drawn()
        page, owner = drawn[draw % len(drawn)]
        number = owner if job is None else self.job(job)
        amount, text = self.amount(page.product, part)
        if off is not None and self.paper.drawn(number, page.id) + off > 0:
            amount = self.paper.drawn(number, page.id) + off
            text = f"{amount} {'um' if page.product == ROLL else 'mg'}"
        told = self.agree(
            lambda: self.paper.bring_back(number, page.id, amount),
            lambda: return_stock.return_stock(
                quantity=yard.q(text), job=number, lot=page.id, now=self.now, hand=HAND
            ),
        )
        for line in told.movements if told else ():
            if line.lot != page.id:
                self.paper.lots[line.lot] = PaperLot(
                    id=line.lot, product=ROLL, label=page.label, received_at=self.now
                )
        self.book(told, self.now, number, source=page.id)

    @rule(lot=which, part=st.integers(0, 12), ago=st.integers(0, 8))
    def count(self, lot: int, part: int, ago: int) -> None:
        """What is there, as it was counted some minutes ago."""
        page, counted_at = self.lot(lot), self.now - 60 * ago
        amount, text = self.amount(page.product, 10 * part)
        told = self.agree(
            lambda: self.paper.count(page.id, amount, counted_at),
            lambda: count.count(
                lot=page.id, quantity=yard.q(text), counted_at=counted_at, now=self.now, hand=HAND
            ),
        )
        self.book(told, counted_at)

    @rule(line=which)
    def reverse(self, line: int) -> None:
        """Any line is struck out, as far as that may still be."""
        lines = self.paper.lines()
        page, place = lines[line % len(lines)]
        told = self.agree(
            lambda: self.paper.reverse(page, place),
            lambda: reverse.reverse(
                reverses=page.lines[place].id, reason="typed wrong", now=self.now, hand=HAND
            ),
        )
        if told is not None:
            page.strike(place, mirror=told.movements[0].id)

    @rule(product=st.sampled_from(["MICROS", "LAM"]), part=sizes, job=jobs,
          replaces=st.none() | which)  # fmt: skip
    def need(self, product: str, part: int, job: int, replaces: int | None) -> None:
        """A job says what it will take, or says it anew, or withdraws it."""
        number = self.job(job)
        said = list(self.paper.needs.values())
        old = said[replaces % len(said)] if said and replaces is not None else None
        withdrawn = old is not None and part > 60
        amount, text = (0, "0 g") if withdrawn else self.amount(product, part)
        asked = {"product": product, "quantity": yard.q(text)}
        asked |= {} if old is None else {"replaces": old.id}
        told = self.agree(
            lambda: self.paper.need(number, product, old.id if old else None),
            lambda: need.add_needs(
                finding.job(number), wanted=[asked], now=self.now, hand=HAND
            ),
        )  # fmt: skip
        if told is not None:
            after = old.after if old else max(lot.lines[n].id for lot, n in self.paper.lines())
            new = PaperNeed(self.last(tables.Need), number, product, amount, after)
            self.paper.needs[new.id] = new
            if old is not None:
                old.replaced = True

    @rule(part=sizes, job=jobs)
    def mix(self, part: int, job: int) -> None:
        """A pot with 2 % of catalyst, drawn for a job."""
        amount, text = self.amount("LAM", 5 * (part // 10))
        number = self.job(job)
        told = self.agree(
            lambda: self.paper.mix(number, amount),
            lambda: yard.pot(text, now=self.now, job=number),
        )
        if told is not None:
            self.paper.pots.append(told.id)
            self.book(MovedView(told.draws, []), self.now, number, pot=told.id)

    @precondition(lambda self: self.paper.pots)
    @rule(pot=which, kind=st.sampled_from(["not_mixed", "lost"]))
    def look_at_pot(self, pot: int, kind: str) -> None:
        """What was not mixed comes back, once; what is lost stays drawn."""
        number = self.paper.pots[pot % len(self.paper.pots)]
        told = self.agree(
            lambda: self.paper.unmix(number) if kind == "not_mixed" else None,
            lambda: observe_pot(tables.Batch.get_by_id(number), kind=kind, now=self.now, hand=HAND),
        )
        if told is not None and kind == "not_mixed":
            mirrors = {line.reverses: line.id for line in told.draws}
            for page, place in self.paper.unmix(number):
                page.strike(place, mirror=mirrors[page.lines[place].id])

    @rule(what=st.sampled_from(["open", "close", "reopen", "hold", "release"]), number=which)
    def around(self, what: str, number: int) -> None:
        """What moves no stock: a job opened, closed or reopened, a lot set aside or released."""
        if what == "open":
            self.open()
        elif what == "close":
            self.close(self.job(number % 3))
        elif what == "reopen":
            self.reopen(self.job(number % 3))
        else:
            self.hold(self.lot(number), held=what == "hold")

    def open(self) -> None:
        """A job is opened; the last three of them are worked on."""
        number = f"J-{len(self.paper.jobs)}"
        by_acts(self.now, HAND, jobs=[makers.job(number)])
        self.paper.jobs.append(number)

    def close(self, number: str) -> None:
        """A job is closed: nothing more is booked to it, and its needs are let go."""
        told = self.agree(
            lambda: self.paper.close(number),
            lambda: open_job.change_job(
                finding.job(number), state="closed", now=self.now, hand=HAND
            ),
        )
        if told is not None:
            self.paper.closed.add(number)

    def reopen(self, number: str) -> None:
        """A job that was closed takes on as it was: its needs count again."""
        open_job.change_job(finding.job(number), state="open", now=self.now, hand=HAND)
        self.paper.closed.discard(number)

    def hold(self, page: PaperLot, *, held: bool) -> None:
        """A lot is set aside, or released."""
        change_lot.change_lot(
            finding.lot(page.id), held=held, reason="lumps", now=self.now, hand=HAND
        )
        page.held = held

    @invariant()
    def both_have_the_same(self) -> None:
        """On hand is the page's, free that less what is kept, nothing of what nobody may draw."""
        rows = list(tables.Lot.select().order_by(tables.Lot.id))
        kept = self.paper.reserved()
        told = {
            lot.id: (lot.on_hand[0], lot.reserved[0], lot.free[0])
            for lot in show_lots(rows, self.now)
        }
        assert told == {
            lot.id: (lot.on_hand, kept[lot.id], (lot.on_hand - kept[lot.id]) * lot.usable)
            for lot in self.paper.lots.values()
        }
        assert all(free >= 0 for _on_hand, _kept, free in told.values())


DAYS = {"sqlite": 16, "postgresql": 8}
"""Where an act is quick, more of them."""


def test_the_store_is_the_store_on_paper(engine: Engine) -> None:
    """Some days of forty acts each, on either engine."""
    live(Ledger, engine, DAYS[engine.name], acts=40)
