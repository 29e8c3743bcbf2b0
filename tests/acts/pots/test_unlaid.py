"""A pot that nobody laid up is told of until it is laid, lost or gelled."""

from __future__ import annotations

import pytest
from cureyard_service.acts.jobs import job as open_job
from cureyard_service.acts.pots.observe import observe_pot
from cureyard_service.acts.wall import now as what_now
from cureyard_service.acts.wall import wall
from cureyard_service.acts.yard import finding
from peewee import Database

from .. import sample_yard as yard
from ..sample_yard import DAY, HAND, MIN, NOW, H

pytestmark = pytest.mark.usefixtures("books")


@pytest.fixture(autouse=True)
def stock(books: Database) -> None:
    """A drum of resin and a bottle of peroxide."""
    yard.stocked()


def mixed(now: int = NOW) -> int:
    """A pot of a kilogram, just mixed."""
    return int(yard.pot(now=now).id)


def told(now: int = NOW) -> list[int]:
    """The pots of 'now', which are those of the wall."""
    pots = what_now.what_now(now).pots
    on_wall = [row.pot for row in wall.wall(now).rows if row.pot]
    assert sorted(pot.id for pot in pots) == sorted(pot.id for pot in on_wall)
    return [pot.id for pot in pots]


def seen(pot: int, kind: str, at: int = NOW + MIN) -> None:
    """What a hand saw of it."""
    observe_pot(finding.batch(pot), kind=kind, at=at, now=at, hand=HAND)


def test_it_is_told_from_the_moment_that_it_was_mixed() -> None:
    """Also days on, when it must have gelled long ago."""
    first, second = mixed(), mixed()
    assert told() == told(NOW + 3 * DAY) == [first, second]


def test_the_pot_to_be_spread_next_comes_first() -> None:
    """What is past its working time hides none that can still be spread."""
    past, later = mixed(NOW - 3 * H), mixed(NOW - 2 * H)
    sooner, last = mixed(NOW - 2 * MIN), mixed()
    assert told() == [sooner, last, later, past]


def test_what_is_to_be_done_with_it() -> None:
    """While it can be worked, when that is over, and when it must have gelled."""
    mixed()
    (pot,) = what_now.what_now(NOW).pots
    assert (pot.job, pot.resin, pot.amount) == ("D-7", "LAM", 1_000_000)
    assert NOW < pot.work_until < pot.gel_at_latest
    said = []
    for moment in (NOW, pot.work_until, pot.gel_at_latest):
        (again,) = what_now.what_now(moment).pots
        said.append(again.text)
    for text, word in zip(said, ("spread it", "lay up no more", "must have gelled"), strict=True):
        assert word in text


def test_laid_up_it_is_gone() -> None:
    """It is the layup that is told of then."""
    pot = mixed()
    yard.laid(pot)
    assert told() == []


@pytest.mark.parametrize("kind", ["lost", "gelled", "not_mixed"])
def test_what_became_of_it_ends_it(kind: str) -> None:
    """One word is enough."""
    pot, other = mixed(), mixed()
    seen(pot, kind)
    assert told(NOW + H) == [other]


def test_the_latest_word_of_its_gel_counts() -> None:
    """Not gelled says that it is still there; so it does after 'gelled'."""
    pot = mixed()
    seen(pot, "not_gelled")
    assert told(NOW + H) == [pot]
    seen(pot, "gelled", NOW + 2 * MIN)
    assert told(NOW + H) == []
    seen(pot, "not_gelled", NOW + 3 * MIN)
    assert told(NOW + H) == [pot]


def test_a_closed_jobs_pots_are_told_no_more() -> None:
    """Its work is done."""
    mixed()
    open_job.change_job(finding.job("D-7"), state="closed", now=NOW, hand=HAND)
    assert told(NOW + H) == []
