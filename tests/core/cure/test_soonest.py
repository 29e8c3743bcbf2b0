"""Which looks are believed at once, and which are asked again."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest
from cureyard_service.core.cure.soonest import HARD_AFTER_GELS, Soonest, heard, soonest
from cureyard_service.core.cure.touch import Word

from ..makers import EXACT, MIN, POLYESTER, layer, steady

SOONEST = Soonest(gel=600, opens=1200, hard=3600, shuts=18_000, length=720, blind=inf)


@pytest.mark.parametrize(
    ("said", "left_out", "asked", "confirmed"),
    [
        ("gelled 9", {0}, True, False),
        ("gelled 10", set(), False, False),
        ("no_transfer 19", {0}, True, False),
        ("hardness 59", {0}, True, False),
        ("hardness 59, hardness 60", set(), False, True),
        ("hardness 58, hardness 58.9", {0, 1}, True, False),
        ("hardness 58, hardness 58.5, hardness 59", set(), False, True),
        ("hardness 58, hardness 58.5, thumbnail 58.9", {0, 1, 2}, True, False),
        ("hardness 59.9, hardness 60", set(), False, True),
        ("hardness 58, thumbnail 59", {0, 1}, True, False),
        ("gelled 5, not_gelled 6", {0}, False, False),
        ("gelled 5, gelled 6, not_gelled 7, gelled 8", {3}, True, False),
        ("gelled 5, not_gelled 6, gelled 7", {0, 2}, True, False),
        ("gelled 5, gelled 6, thumbnail 7", set(), False, True),
        ("not_gelled 59, hardness 61", {1}, True, False),
        ("not_gelled 59, hardness 71", set(), False, False),
        ("not_gelled 59, green 61", {1}, True, False),
        ("not_gelled 59, green 62", set(), False, False),
        ("green 300", {0}, True, False),
        ("green 299", set(), False, False),
        ("blush 1, hardness 61", set(), False, False),
    ],
)
def test_what_is_believed(said: str, left_out: set[int], asked: bool, confirmed: bool) -> None:
    """Said by the minute: an early word waits for a second, 60 s later; a wet look ends that."""
    words = [Word(each.split()[0], MIN * float(each.split()[1])) for each in said.split(", ")]
    told = heard(words, SOONEST)
    assert (told.left_out, told.asked, told.confirmed) == (left_out, asked, confirmed)


def test_without_a_sandable_time_it_is_hard_after_six_gels() -> None:
    """Common practice, no source: at a steady temperature, of the likely gel."""
    stages = tuple(each for each in POLYESTER.stages if each[0] != "sandable")
    bare = layer(replace(POLYESTER, stages=stages))
    (told,) = soonest([bare], steady(20), EXACT)
    assert told.hard == pytest.approx(HARD_AFTER_GELS * told.length, rel=0.01)
    assert HARD_AFTER_GELS == 6
    assert told.length > 5 * MIN
