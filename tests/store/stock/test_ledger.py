"""The ledger against a plain model of it, and each of its refusals by name."""

from __future__ import annotations

import pytest
from cureyard_service.core import errors
from cureyard_service.store import tables
from cureyard_service.store.engine.database import writing
from cureyard_service.store.stock import ledger
from cureyard_service.store.upkeep.proofs import prove
from hypothesis import given, settings
from hypothesis import strategies as st
from peewee import Database

from ...paper import Line, Page
from .. import sample_yard as yard

laws = settings(max_examples=60)  # each example has its own lot


amounts = st.integers(1, 400)
acts = st.one_of(
    st.tuples(st.sampled_from(["draw", "scrap", "return"]), amounts),
    st.tuples(st.just("count"), st.integers(0, 1200)),
    st.tuples(st.just("reverse"), st.integers(0, 30)),
)


class Pages:
    """The same acts done in the store and in the paper book."""

    def __init__(self, amount: int) -> None:
        """A lot that was just received, with a cost that does not divide."""
        self.lot = yard.add_lot()
        first = yard.post(self.lot, "receipt", amount, at=0, cost_minor=9_973, currency="EUR")
        self.rows = [first]
        self.job = yard.add_job()
        self.book = Page([Line("receipt", amount, 0)])

    def act(self, now: int, kind: str, number: int) -> None:
        """Do one act in both."""
        if kind == "reverse":
            self.reverse(now, number % len(self.rows))
        elif kind == "count":
            counted_at = max(0, now - number % 40)
            difference = number - ledger.on_hand_at(self.lot.id, counted_at)
            assert difference == number - self.book.at(counted_at)
            self.post(now, Line("count", difference, counted_at), counted_at=counted_at)
        else:
            amount = number if kind == "return" else -number
            self.post(now, Line(kind, amount, now), job=self.job.id)

    def post(self, now: int, line: Line, **facts: int) -> None:
        """A line, refused when it takes more than there is."""
        if self.book.on_hand + line.amount < 0:
            with pytest.raises(errors.ShortStock):
                yard.post(self.lot, line.kind, line.amount, at=now, **facts)
            return
        self.rows.append(yard.post(self.lot, line.kind, line.amount, at=now, **facts))
        self.book.lines.append(line)

    def reverse(self, now: int, number: int) -> None:
        """A line struck out, refused when the book says that it can't be."""
        refusal = self.book.refusal_of_reversing(number)
        if refusal is not None:
            with pytest.raises(refusal):
                yard.reverse(self.rows[number])
            return
        self.rows += yard.reverse(self.rows[number])
        self.book.strike(number)


@laws
@given(amount=st.integers(1, 1000), done=st.lists(acts, max_size=25))
def test_the_ledger_is_the_paper_book(
    store: Database, amount: int, done: list[tuple[str, int]]
) -> None:
    """Whatever is done, both have the same on hand, refuse the same, and the proofs hold."""
    with writing():
        pages = Pages(amount)
        for step, (kind, number) in enumerate(done, start=1):
            pages.act(step * 10, kind, number)
            assert yard.on_hand(pages.lot) == pages.book.on_hand
        assert [proof for proof in prove(store) if not proof.ok] == []


@laws
@given(draws=st.lists(st.integers(1, 90), min_size=1, max_size=12), cost=st.integers(0, 10_000))
def test_shares_add_up_to_the_cost(store: Database, draws: list[int], cost: int) -> None:
    """Drawn to the last of it, a lot's shares make its cost, each true to a minor unit a draw."""
    whole = sum(draws)
    with writing():
        lot = yard.received(whole, cost_minor=cost, currency="EUR")
        shares = [yard.post(lot, "draw", -amount).cost_minor for amount in draws]
    assert sum(shares) == cost
    for amount, share in zip(draws, shares, strict=True):
        assert abs(share - cost * amount / whole) <= len(draws)


@laws
@given(draws=st.lists(st.integers(1, 90), min_size=1, max_size=8), data=st.data())
def test_a_reversal_gives_the_cost_back(
    store: Database, draws: list[int], data: st.DataObject
) -> None:
    """Undone in any order, every draw brings its share back."""
    with writing():
        lot = yard.received(sum(draws), cost_minor=1_001, currency="EUR")
        lines = [yard.post(lot, "draw", -amount) for amount in draws]
        for line in data.draw(st.permutations(lines)):
            yard.reverse(line)
    kept = tables.Lot.get_by_id(lot.id)
    assert (kept.on_hand, kept.cost_left_minor) == (sum(draws), 1_001)


def test_what_comes_back_brings_its_share_back(store: Database) -> None:
    """100 drawn of 300 that cost 10.00 took 3.33; a half of it returned brings 1.66 back."""
    lot = yard.received(300, cost_minor=1_000, currency="EUR")
    assert yard.post(lot, "draw", -100).cost_minor == 333
    assert yard.post(lot, "return", 50).cost_minor == -166
    assert yard.post(lot, "draw", -250).cost_minor == 833


def test_an_offcut_brings_its_worth_along(store: Database) -> None:
    """As a lot of its own it carries what it is worth, and the job is spared that."""
    roll, job = yard.received(300, cost_minor=1_000, currency="EUR"), yard.add_job()
    drawn = yard.post(roll, "draw", -100, job=job.id)
    worth = ledger.worth_back(tables.Lot.get_by_id(roll.id), 50)
    piece = yard.add_lot(roll.product, parent=roll)
    back = yard.post(piece, "return", 50, job=job.id, cost_minor=worth, currency="EUR")
    assert (drawn.cost_minor, back.cost_minor) == (333, -166)
    assert yard.post(piece, "draw", -50, job=job.id).cost_minor == 166
    assert all(proof.ok for proof in prove(store))


def test_a_counted_loss_takes_its_share(store: Database) -> None:
    """What a count finds missing cost something too; what it finds more is free."""
    lot = yard.received(100, cost_minor=1_000, currency="EUR")
    assert yard.post(lot, "count", -10, counted_at=yard.NOW).cost_minor == 100
    assert yard.post(lot, "count", 20, counted_at=yard.NOW).cost_minor == 0


def test_a_lot_of_unknown_cost_costs_nothing_known(store: Database) -> None:
    """Unknown is not zero."""
    line = yard.post(yard.received(100), "draw", -10)
    assert (line.cost_minor, line.currency) == (None, None)


def test_a_cost_is_given_once(store: Database) -> None:
    """A second cost for the same container would mix two deliveries, so it is a fault."""
    lot = yard.received(100, cost_minor=1_000, currency="EUR")
    with pytest.raises(ValueError, match="once"):
        yard.post(lot, "receipt", 10, cost_minor=5, currency="EUR")
    assert yard.on_hand(lot) == 100


def test_a_delivery_that_never_was_may_be_received_again(store: Database) -> None:
    """A receipt typed wrong and reversed leaves the lot without stock and without cost."""
    lot = yard.add_lot()
    yard.reverse(yard.post(lot, "receipt", 10, cost_minor=5, currency="EUR"))
    yard.post(lot, "receipt", 100, cost_minor=50, currency="EUR")
    kept = tables.Lot.get_by_id(lot.id)
    assert (kept.on_hand, kept.cost_minor, kept.cost_left_minor) == (100, 50, 50)
    assert all(proof.ok for proof in prove(store))


def test_a_line_says_who_and_when_and_what_was_typed(store: Database) -> None:
    """Everything that a surveyor asks for stands on the line."""
    line = yard.post(
        yard.received(2_260), "draw", -1_130, at=5, job=yard.add_job().id,
        reason="trial", typed="1 mL", density_mg_l=1_130_000,
    )  # fmt: skip
    kept = tables.Movement.get_by_id(line.id)
    assert (kept.who, kept.verified, kept.recorded_at, kept.at) == ("Ines", False, yard.NOW, 5)
    assert (kept.typed, kept.density_mg_l, kept.reason) == ("1 mL", 1_130_000, "trial")
    assert kept.on_hand == 1_130


def test_more_than_any_store_has_is_refused(store: Database) -> None:
    """A million tonnes is a slip of the unit."""
    with pytest.raises(errors.Invalid):
        yard.received(ledger.MOST + 1)


def test_a_lot_that_is_not_there_is_refused(store: Database) -> None:
    """An id of no lot is named in the refusal."""
    with pytest.raises(errors.UnknownReference, match="lot 77"):
        ledger.post(77, "draw", -1, at=0, now=0, hand=yard.HAND)


def test_short_stock_says_what_there_is(store: Database) -> None:
    """A refused draw names the lot and what is in it, for a program to show."""
    lot = yard.received(10)
    with pytest.raises(errors.ShortStock) as refused:
        yard.post(lot, "draw", -11)
    assert refused.value.fields == {"lot": lot.id, "on_hand": 10, "wanted": 11}


def test_a_pot_is_undone_whole(store: Database) -> None:
    """One draw of a pot can't be undone alone; asked for the whole, both come back."""
    resin, catalyst = yard.received(5_000), yard.received(100)
    pot = yard.add_batch(resin, catalyst)
    first = yard.post(resin, "draw", -1_000, batch=pot.id)
    yard.post(catalyst, "draw", -20, batch=pot.id)
    with pytest.raises(errors.PartOfBatch):
        yard.reverse(first)
    undone = yard.reverse(first, whole_batch=True)
    assert [line.batch_id for line in undone] == [pot.id, pot.id]
    assert (yard.on_hand(resin), yard.on_hand(catalyst)) == (5_000, 100)


def test_a_pot_is_undone_whole_or_not_at_all(store: Database) -> None:
    """When one of its lots was counted since, nothing of the pot comes back."""
    resin, catalyst = yard.received(5_000), yard.received(100)
    pot = yard.add_batch(resin, catalyst)
    first = yard.post(resin, "draw", -1_000, batch=pot.id)
    yard.post(catalyst, "draw", -20, batch=pot.id)
    yard.post(catalyst, "count", 0, counted_at=yard.NOW)
    with pytest.raises(errors.CountedSince):
        yard.reverse(first, whole_batch=True)
    assert yard.on_hand(resin) == 4_000


def count(lot: tables.Lot, found: int, at: int, counted_at: int) -> tables.Movement:
    """A count entered at a moment, of what was there at an earlier one."""
    difference = found - ledger.on_hand_at(lot.id, counted_at)
    return yard.post(lot, "count", difference, at=at, counted_at=counted_at)


def test_a_count_holds_from_when_it_was_counted(store: Database) -> None:
    """Not from when it was entered; and a count taken back never was."""
    lot = yard.add_lot()
    yard.post(lot, "receipt", 100, at=0)
    taken = count(lot, 90, at=30, counted_at=10)
    assert [ledger.on_hand_at(lot.id, moment) for moment in (9, 10, 30)] == [100, 90, 90]
    yard.reverse(taken)
    assert [ledger.on_hand_at(lot.id, moment) for moment in (9, 10, 30)] == [100, 100, 100]


def test_a_count_is_final_once_a_later_one_was_taken(store: Database) -> None:
    """The moments of counting are compared, not those of entering."""
    lot = yard.add_lot()
    yard.post(lot, "receipt", 100, at=0)
    first = count(lot, 90, at=30, counted_at=10)
    count(lot, 80, at=40, counted_at=20)
    with pytest.raises(errors.CountedSince):
        yard.reverse(first)


def test_a_draw_after_the_count_but_entered_before_it_may_be_undone(store: Database) -> None:
    """The count says nothing of what happened after it."""
    lot = yard.add_lot()
    yard.post(lot, "receipt", 100, at=0)
    draw = yard.post(lot, "draw", -10, at=20)
    count(lot, 100, at=30, counted_at=10)
    yard.reverse(draw)
    assert yard.on_hand(lot) == 100


def test_a_delivery_that_was_used_stays(store: Database) -> None:
    """Even when all of it is back in the drum: the draw and the return name the lot."""
    lot = yard.received(100)
    yard.post(lot, "draw", -10)
    yard.post(lot, "return", 10)
    with pytest.raises(errors.ShortStock, match="drawn from"):
        yard.reverse(tables.Movement.get(tables.Movement.kind == "receipt"))
    assert yard.on_hand(lot) == 100


def test_a_draw_of_which_some_came_back_is_not_undone(store: Database) -> None:
    """The lot would have more than ever came in; the return is undone first."""
    lot, job = yard.received(300), yard.add_job()
    draw = yard.post(lot, "draw", -100, job=job.id)
    back = yard.post(lot, "return", 50, job=job.id)
    with pytest.raises(errors.ShortStock, match="was returned"):
        yard.reverse(draw)
    yard.reverse(back)
    yard.reverse(draw)
    assert yard.on_hand(lot) == 300


def test_an_offcut_brought_back_holds_its_draw(store: Database) -> None:
    """A piece of roll comes back as a lot of its own, and counts against the draw as well."""
    lot, job = yard.received(300), yard.add_job()
    draw = yard.post(lot, "draw", -100, job=job.id)
    piece = yard.add_lot(lot.product, parent=lot)
    back = yard.post(piece, "return", 50, job=job.id)
    with pytest.raises(errors.ShortStock, match="was returned"):
        yard.reverse(draw)
    yard.reverse(back)
    yard.reverse(draw)
    assert (yard.on_hand(lot), yard.on_hand(piece)) == (300, 0)


def test_an_act_that_fails_leaves_nothing(store: Database) -> None:
    """Two draws in one transaction: when the second is refused the first is undone."""
    lot = yard.received(10)

    def two_draws() -> None:
        with writing():
            yard.post(lot, "draw", -6)
            yard.post(lot, "draw", -6)

    with pytest.raises(errors.ShortStock):
        two_draws()
    assert yard.on_hand(lot) == 10
    assert tables.Movement.select().count() == 1
