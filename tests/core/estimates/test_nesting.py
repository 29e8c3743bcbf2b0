"""Pieces on a bed: never over each other, never off it, the fibre kept, and little left over."""

from __future__ import annotations

import random
from itertools import combinations

import pytest
from cureyard_service.core import errors
from cureyard_service.core.estimates.nesting import (
    MOST_PIECES,
    Bed,
    Laid,
    Piece,
    bands,
    check,
    fill,
    left_out,
    tenths,
    unrolled,
    used,
)
from hypothesis import given
from hypothesis import strategies as st

WIDTH = 12_500
sizes = st.tuples(st.integers(1, 20_000), st.integers(1, WIDTH), st.booleans())
lists = st.lists(sizes, min_size=1, max_size=12)


def pieces(given_sizes: list[tuple[int, int, bool]]) -> list[Piece]:
    """Pieces by number."""
    return [Piece(number, *size) for number, size in enumerate(given_sizes)]


def sound(laid: list[Laid], bed: Bed, kerf: int = 0) -> None:
    """Each once, on the bed, as large as it is, apart by the kerf, turned only if it may be."""
    assert len({each.piece.number for each in laid}) == len(laid)
    for each in laid:
        assert 0 <= each.start <= each.end <= bed.length
        assert 0 <= each.edge <= each.edge + each.width <= bed.width
        piece = each.piece
        assert sorted((each.length, each.width)) == sorted((piece.length, piece.width))
        assert piece.turns or not each.turned
    for one, other in combinations(laid, 2):
        along = max(one.start, other.start) - min(one.end, other.end)
        across = max(one.edge, other.edge) - min(one.edge + one.width, other.edge + other.width)
        assert max(along, across) >= kerf


@given(lists)
def test_plies_on_a_roll(given_sizes: list[tuple[int, int, bool]]) -> None:
    """All of them, soundly, and in no less length than their area fills."""
    wanted = pieces(given_sizes)
    laid = unrolled(wanted, WIDTH)
    sound(laid, Bed(used(laid), WIDTH))
    assert left_out(wanted, laid) == []
    assert used(laid) * WIDTH >= sum(piece.length * piece.width for piece in wanted)
    assert used(laid) <= sum(max(piece.length, piece.width) for piece in wanted)


@given(lists, st.integers(1, 20_000), st.integers(0, 60), st.booleans())
def test_pieces_on_a_sheet(
    given_sizes: list[tuple[int, int, bool]], length: int, kerf: int, sawn: bool
) -> None:
    """What has room lies soundly, the kerf between; what lies nowhere is left out, not lost."""
    wanted, bed = pieces(given_sizes), Bed(length, WIDTH)
    laid = fill(bed, wanted, kerf, sawn=sawn)
    sound(laid, bed, kerf)
    assert len(laid) + len(left_out(wanted, laid)) == len(wanted)
    if any(piece.fits(bed) for piece in wanted):
        assert laid


@given(st.permutations([(900, 700), (900, 300), (900, 500), (800, 500)]))
def test_the_order_is_nothing(given_sizes: list[tuple[int, int]]) -> None:
    """Two and two side by side, however they are given."""
    assert used(unrolled([Piece(n, *s) for n, s in enumerate(given_sizes)], 1000)) == 1800


@given(lists)
def test_a_band_is_cut_through_no_ply(given_sizes: list[tuple[int, int, bool]]) -> None:
    """The bands are the whole length, and every ply is inside one."""
    laid = unrolled(pieces(given_sizes), WIDTH)
    lines = [sum(bands(laid)[:n]) for n in range(len(bands(laid)) + 1)]
    assert lines[-1] == used(laid)
    for each in laid:
        assert not [line for line in lines if each.start < line < each.end]


def test_by_hand() -> None:
    """A metre of roll: 600 × 500 beside 600 × 500, then 400 × 1000 below them: a metre in all.

    Turned the third would not fit better; kept or not, no thread is left over.
    """
    laid = unrolled([Piece(1, 600, 500), Piece(2, 600, 500), Piece(3, 400, 1000)], 1000)
    assert used(laid) == 1000
    assert sorted(bands(laid)) == [400, 600]


def test_only_what_may_turn_is_turned() -> None:
    """Wider than the roll: mat is turned, unidirectional cloth is not laid."""
    wide = Bed(2000, 1000)
    assert Piece(1, 500, 1500, turns=True).fits(wide)
    assert not Piece(1, 500, 1500).fits(wide)
    assert [each.turned for each in fill(wide, [Piece(1, 500, 1500, turns=True)])] == [True]
    assert fill(wide, [Piece(1, 500, 1500)]) == []


WITHIN = 1.25
"""Length over the area bound that 95 of 100 lists of 10 to 40 mixed plies keep to."""


def test_little_is_left_over() -> None:
    """Of a hundred lists, 95 take at most 1.25 times what their area alone would fill."""
    ratios = sorted(_ratio(random.Random(seed)) for seed in range(100))
    assert ratios[94] <= WITHIN
    assert ratios[49] <= 1.2


def _ratio(chance: random.Random) -> float:
    """A list of plies of 8 to 120 cm by 8 to 90 cm, on a roll as it is sold."""
    width = chance.choice((10_000, 12_500, 12_700))
    turns = chance.random() < 0.5
    wanted = [
        Piece(n, chance.randint(800, 12_000), chance.randint(800, 9000), turns)
        for n in range(chance.randint(10, 40))
    ]
    area = sum(piece.length * piece.width for piece in wanted)
    return used(unrolled(wanted, width)) * width / area


def test_a_list_has_an_end() -> None:
    """Nothing, and more than a day's cutting, are refused."""
    for count in (0, MOST_PIECES + 1):
        with pytest.raises(errors.Invalid):
            check([Piece(n, 1, 1) for n in range(count)])


def test_tenths() -> None:
    """Up, but for what a float has too much."""
    assert [tenths(size) for size in (100, 100.0000001, 101, 558_800)] == [1, 1, 2, 5588]
