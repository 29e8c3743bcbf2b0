"""Gel coat and colour of two lots on one face are noticed, in a pot, a layup and a job.

One lot for one visible area: common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.acts.cure.show import LayupView
from cureyard_service.acts.jobs import job as open_job
from cureyard_service.acts.pots.card import BatchView
from cureyard_service.store import tables

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, MIN, NOW, q

pytestmark = pytest.mark.usefixtures("books")


@pytest.fixture
def gel() -> list[tables.Lot]:
    """A gel coat, a colour paste and peroxide in stock; of the gel coat two lots in three tins."""
    paste = makers.product("BLUE", "filler", effects=["pigments"])
    yard.add(products=[makers.resin("GEL", role="coating"), paste])
    yard.receive("PEROX", "1 kg")
    tins = [("G-1", "1"), ("G-1", "2"), ("G-2", "1")]
    return [yard.receive("GEL", "5 kg", number=number, container=c) for number, c in tins]


def pot(lot: tables.Lot, now: int = NOW, **facts: Any) -> BatchView:
    """A pot of a lot."""
    return yard.pot(
        "0.5 kg", now=now, resin=lot.product.code, resin_lot=lot.id, catalyst_percent=2, **facts
    )


def coat(*pots: BatchView, **facts: Any) -> LayupView:
    """A coat of pots."""
    return yard.laid(*(one.id for one in pots), kind="coat", **facts)


def said(told: LayupView | BatchView) -> list[str]:
    """What is said of lots on a face."""
    return [word for word in told.warnings if "one lot on a face" in word]


def test_two_lots_in_the_pots_of_a_layup(gel: list[tables.Lot]) -> None:
    """Named with both numbers; two tins of one number are one lot."""
    assert said(coat(pot(gel[0]), pot(gel[1]))) == []
    open_job.open_job(number="D-8", title="Keel", craft="the Tern", structural="no",
                      now=NOW, hand=HAND)  # fmt: skip
    word = "GEL of lots G-1 and G-2 in one layup: use gel coat and colour of one lot on a face."
    pots = [pot(gel[0], job="D-8"), pot(gel[2], job="D-8")]
    assert said(coat(*pots, job="D-8")) == [word]


def test_two_lots_in_the_layups_of_a_job(gel: list[tables.Lot]) -> None:
    """Said when the pot is mixed, and again when it is laid; of that job's layups alone."""
    first = coat(pot(gel[0]), title="Gel coat, stem")
    word = (
        f"GEL of lot G-2 here, of G-1 in layup {first.id} (Gel coat, stem): "
        "use gel coat and colour of one lot on a face."
    )
    second = pot(gel[2])
    assert said(second) == [word]
    assert said(coat(second)) == [word]
    assert said(pot(gel[1])) != []  # G-2 lies there by now
    other = pot(gel[2], job="S-1")
    assert said(other) == said(coat(other, job="S-1")) == []


def test_a_colour_and_the_resin_that_it_is_in(gel: list[tables.Lot]) -> None:
    """Two lots of paste, or two of the resin that it was stirred into."""
    resins = [yard.receive("LAM", "5 kg", number=number) for number in ("R-1", "R-2")]
    yard.receive("BLUE", "15 g", number="B-1", expires_on=yard.day(9))
    yard.receive("BLUE", "1 kg", number="B-2", expires_on=yard.day(99))
    blue = [{"product": "BLUE", "quantity": q("15 g")}]
    pots = [pot(resins[0], fillers=blue), pot(resins[1], now=NOW + MIN, fillers=blue)]
    assert said(coat(*pots, now=NOW + 2 * MIN)) == [
        "LAM of lots R-1 and R-2 in one layup: use gel coat and colour of one lot on a face.",
        "BLUE of lots B-1 and B-2 in one layup: use gel coat and colour of one lot on a face.",
    ]


def test_resin_without_colour_may_be_of_any_lot() -> None:
    """Nobody sees a laminate's drum."""
    _, _ = yard.stocked()
    lots = [yard.receive("LAM", "5 kg") for _ in range(2)]
    assert said(coat(*(pot(lot) for lot in lots))) == []
    assert said(coat(pot(lots[0]))) == []
