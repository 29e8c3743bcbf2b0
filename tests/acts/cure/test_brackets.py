"""Layups that hands found wet, then gelled, tell of the next ones and of the doses of the pair."""

from __future__ import annotations

from decimal import Decimal
from math import exp, log, sqrt
from typing import Any

import pytest
from cureyard_service.acts.bays import readings as read_bay
from cureyard_service.acts.cure import change_layup, watch
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.score import score_of
from cureyard_service.acts.cure.take_back import take_back_seen
from cureyard_service.acts.pots.dose import DoseView, dose_pot
from cureyard_service.acts.yard import finding
from cureyard_service.store import tables

from ... import makers
from .. import by_hand
from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW

pytestmark = pytest.mark.usefixtures("books")

WET, GELLED = 66, 78
"""Minutes after the mixing; the sheet says 60."""


@pytest.fixture(autouse=True)
def filmed(books: object) -> None:
    """The laminating resin gels in a film in 60 min, and its bay is read at 20 °C."""
    yard.revise("LAM", makers.sheet(film_gel="60 min"))
    read = [{"at": NOW + m * MIN, "temperature": yard.heat("20 degC")} for m in (0, 90)]
    read_bay.read_bay(bay="SHED", readings=read, now=NOW + 90 * MIN, hand=HAND)


def laid(*looks: tuple[str, float], pots: int = 1, **facts: Any) -> int:
    """A layup of one pot, or more, with looks so many minutes after."""
    layup = yard.laid(*(yard.pot().id for _ in range(pots)), **facts).id
    for kind, minutes in looks:
        look(layup, kind, minutes)
    return layup


def look(layup: int, kind: str, minutes: float) -> None:
    """A look so many minutes after the mixing."""
    at = int(NOW + minutes * MIN)
    observe_layup(finding.layup(layup), kind=kind, at=at, now=NOW + 2 * 3600, hand=HAND)


def both() -> tuple[tuple[str, float], ...]:
    """The two looks that bracket a gel."""
    return ("not_gelled", WET), ("gelled", GELLED)


def dose(lot: tables.Lot, now: int = NOW + DAY) -> DoseView:
    """A dose of a lot the day after."""
    return dose_pot(
        resin="LAM", amount=yard.q("1 kg"), temperature=yard.heat("20 degC"),
        catalyst_percent=Decimal(2), resin_lot=finding.lot(lot.id), now=now,
    )  # fmt: skip


def expected() -> tuple[float, float]:
    """What the lot, and another, gel in over the sheet's time, by hand: one look of noise."""
    shared = by_hand.SHEET**2 + by_hand.PAIR**2
    bay = (by_hand.A_KELVIN * 2) ** 2 / 3
    noise = by_hand.POT**2 + log(GELLED / WET) ** 2 / 12 + bay
    seen = log(sqrt(WET * GELLED) / 60) / (shared + by_hand.LOT**2 + noise)
    return exp((shared + by_hand.LOT**2) * seen), exp(shared * seen)


def test_two_looks_move_the_next_dose_and_one_does_not() -> None:
    """The lot's most, another lot's a little: as a cup does; and the gel is told later."""
    drum, _ = yard.stocked()
    other = yard.receive("LAM", "20 kg")
    laid(("gelled", GELLED))
    assert dose(drum).basis.factor == dose(other).basis.factor == 1
    before = dose(drum).gel
    laid(*both())
    own, others = expected()
    told = dose(drum)
    assert told.basis.factor == pytest.approx(own, rel=0.01)
    assert dose(other).basis.factor == pytest.approx(others, rel=0.01)
    assert told.basis.factor_basis == "looks at layups of the pair"
    assert told.gel.time > before.time
    assert log(told.gel.latest / told.gel.earliest) < log(before.latest / before.earliest)
    (pair,) = score_of(finding.product("LAM"), NOW + DAY).pairs
    assert (pair.cups, pair.films) == (0, 1)


def test_they_move_the_next_layup_and_not_what_was_told() -> None:
    """The layup itself, and one that was laid before the looks, stand as they were told."""
    yard.stocked()
    first, beside = laid(), laid()
    told = {row: finding.layup(row).told for row in (first, beside)}
    earlier = watch.watch(finding.layup(beside), NOW + DAY).found["recoat_opens"]
    for kind, minutes in both():
        look(first, kind, minutes)
    then = watch.watch(finding.layup(beside), NOW + DAY).found["recoat_opens"]
    assert then == earlier
    assert {row: finding.layup(row).told for row in (first, beside)} == told
    at = NOW + DAY
    after = yard.laid(yard.pot(now=at).id, now=at).milestones
    assert after.recoat_opens.at - at > earlier.at - NOW
    known = watch.watch(finding.layup(first), NOW + DAY, NOW + 60).layer.law
    assert known.films == ()


def test_a_look_that_was_taken_back_teaches_no_more() -> None:
    """Either of the two."""
    drum, _ = yard.stocked()
    layup = laid(*both())
    assert dose(drum).basis.factor > 1
    rows = tables.LayupObservation.select().where(tables.LayupObservation.kind == "not_gelled")
    take_back_seen(finding.layup(layup), rows.get().id, reason="?", now=NOW + DAY, hand=HAND)
    assert dose(drum).basis.factor == 1


def test_what_does_not_count() -> None:
    """Several pots, a thickened one, one that was carried off, hands that disagree."""
    drum, _ = yard.stocked()
    laid(*both(), pots=2)
    laid(("gelled", 30), *both())
    yard.receive("MICROS", "1 kg")
    thick = yard.laid(yard.pot(fillers=[{"product": "MICROS", "quantity": yard.q("100 g")}]).id).id
    for kind, minutes in both():
        look(thick, kind, minutes)
    carried = laid()
    change_layup.change_layup(finding.layup(carried), bay="TENT", now=NOW + MIN, hand=HAND)
    for kind, minutes in both():
        look(carried, kind, minutes)
    assert dose(drum).basis.factor == 1


def test_it_grows_old() -> None:
    """Half as sure after months; nothing lapses overnight."""
    drum, _ = yard.stocked()
    laid(*both())
    months = [dose(drum, NOW + DAY * days).basis.factor for days in (1, 60, 150)]
    assert months[0] > months[1] > months[2] > 1
