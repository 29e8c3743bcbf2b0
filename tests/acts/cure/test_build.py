"""What is laid on a layer that has not cooled is as thick as both: 5 mm are the most at once."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.amounts import quantities
from peewee import Database

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, MIN, NOW

pytestmark = pytest.mark.usefixtures("books")

BY_LEAVE = {"reason": "cooled with fans"}


def laid(minutes: float, thickness: str | None = "4 mm", **facts: Any) -> LayupView:
    """A layup that went on so many minutes from now, gelled for all that hands know."""
    known = {} if thickness is None else {
        "thickness": quantities.parse(thickness, quantities.SIZE)
    }  # fmt: skip
    asked = {"product": "LAM", "catalyst_percent": Decimal(2), "now": int(NOW + minutes * MIN)}
    return yard.laid(**(asked | known | facts))


def gelled(layup: LayupView, minutes: float, kind: str = "gelled") -> int:
    """What a hand felt of it so many minutes from now; its id."""
    at = int(NOW + minutes * MIN)
    observe_layup(finding.layup(layup.id), kind=kind, now=at, hand=HAND)
    return int(layup.id)


def test_four_and_four_millimetres_in_twenty_minutes(books: Database) -> None:
    """Each alone is within 5 mm; together they are a stop, which a lead may override."""
    lower = gelled(laid(0), 18)
    before = yard.contents(books)
    with pytest.raises(errors.OutsideLimits, match="has not cooled") as refused:
        laid(20, over=lower)
    assert refused.value.pointer == "/thickness"
    assert yard.contents(books) == before
    upper = laid(20, over=lower, override=BY_LEAVE)
    (row,) = yard.overrides()
    assert (row.slug, row.reason, row.layup_id) == (
        "outside-limits", BY_LEAVE["reason"], upper.id,
    )  # fmt: skip


def test_within_the_limit_they_may_be() -> None:
    """Two and three."""
    lower = gelled(laid(0, "2 mm"), 18)
    laid(20, "3 mm", over=lower)
    assert yard.overrides() == []


@pytest.mark.parametrize(
    ("minutes", "surface", "refused"),
    [
        (20, "20 degC", True),  # its heat is still to come
        (120, "24.9 degC", False),
        (120, "25.1 degC", True),
        (120, None, True),
        (20 * 60, None, False),  # it can be sanded by then
        (20 * 60, "40 degC", True),
    ],
)
def test_when_it_has_cooled(minutes: float, surface: str | None, refused: bool) -> None:
    """By the face that it is laid on, within 5 K of a shed at 20 °C; else by the clock."""
    lower = gelled(laid(0), 18)
    measured = {} if surface is None else {"surface_temperature": yard.heat(surface)}
    if refused:
        with pytest.raises(errors.OutsideLimits):
            laid(minutes, over=lower, **measured)
    else:
        laid(minutes, over=lower, **measured)


def test_a_hand_that_found_it_hard_knows_that_it_has_cooled() -> None:
    """Two hours on, with a nail; before it can have peaked that says nothing of heat."""
    lower = laid(0)
    for minutes in (24, 25):  # so early a nail is asked again
        gelled(lower, minutes, "thumbnail")
    with pytest.raises(errors.OutsideLimits):
        laid(26, over=lower.id)
    laid(120, over=lower.id)


def test_every_ply_since_the_last_that_had_cooled() -> None:
    """Three times 2 mm, a quarter of an hour apart: the third is one too many; not a day later."""
    first = gelled(laid(0, "2 mm"), 14)
    second = gelled(laid(15, "2 mm", over=first), 29)
    with pytest.raises(errors.OutsideLimits, match=r"4\.0 mm"):
        laid(30, "2 mm", over=second)
    third = gelled(laid(24 * 60, "2 mm", over=second), 24 * 60 + 18)
    laid(24 * 60 + 20, "2 mm", over=third)


def test_a_film_of_gel_coat_adds_nothing() -> None:
    """It has given its heat off by the time that the skin goes on it."""
    coat = gelled(laid(0, "0.6 mm", kind="coat"), 18)
    laid(20, "4.8 mm", over=coat)


def test_the_strictest_of_their_limits() -> None:
    """A resin that may be built to 8 mm, on one that may to 5: five."""
    yard.add(products=[makers.resin("THICK", cure=makers.sheet(build_max="8 mm"))])
    lower = gelled(laid(0, "2 mm"), 18)
    with pytest.raises(errors.OutsideLimits, match=r"greatest build, .*5\.0 mm"):
        laid(20, "4 mm", over=lower, product="THICK")


def test_a_thickness_that_nobody_said_is_a_word() -> None:
    """It can't be added up, and the hand hears that."""
    lower = gelled(laid(0, None), 18)
    told = laid(20, over=lower)
    assert any(f"how thick layup {lower} is" in word for word in told.warnings)


def test_a_day_where_the_sheet_does_not_say_when_it_can_be_sanded() -> None:
    """Nothing better is known."""
    bare = makers.sheet(milestones={"recoat_opens": "2 h"})
    yard.add(products=[makers.resin("BARE", cure=bare)])
    lower = gelled(laid(0, product="BARE"), 18)
    with pytest.raises(errors.OutsideLimits):
        laid(23.9 * 60, over=lower)
    laid(24 * 60, over=lower)
