"""Ply count: a thickness filled with plies, and what is left over."""

from __future__ import annotations

import pytest
from cureyard_service.core.errors import Invalid
from cureyard_service.core.estimates.ply_count import fill, words
from cureyard_service.core.words import shown
from hypothesis import given
from hypothesis import strategies as st

stacks = st.lists(st.floats(200, 2000), min_size=1, max_size=5)
depths = st.floats(2000, 30_000)


@given(depths, stacks)
def test_what_is_laid_and_left_over_is_the_thickness(depth: float, stack: list[float]) -> None:
    """Nothing is lost; the next ply would not fit; the stack is laid in its order."""
    filled = fill(depth, stack)
    assert sum(filled.plies) + filled.left_over == pytest.approx(depth)
    following = stack[len(filled.plies) % len(stack)]
    assert filled.left_over < following
    assert filled.one_more == pytest.approx(following - filled.left_over)
    assert all(ply == stack[k % len(stack)] for k, ply in enumerate(filled.plies))


@given(st.integers(1, 150), st.floats(300, 2000))
def test_a_thickness_of_whole_plies_leaves_nothing(count: int, ply: float) -> None:
    """Rounded numbers do not lose the last ply."""
    filled = fill(count * ply, [ply])
    assert len(filled.plies) == count
    assert filled.left_over == pytest.approx(0, abs=1e-3)


@given(depths, stacks, st.floats(1, 3))
def test_scaled(depth: float, stack: list[float], factor: float) -> None:
    """Everything thicker alike takes as many plies."""
    scaled = fill(depth * factor, [ply * factor for ply in stack])
    assert abs(len(scaled.plies) - len(fill(depth, stack).plies)) <= 1  # a tie may fall either way
    assert sum(scaled.plies) <= depth * factor * (1 + 1e-8)


@pytest.mark.parametrize(
    ("depth", "stack"),
    [(0, [1.0]), (-1, [1.0]), (5, []), (5, [0.0]), (5, [1.0, -1.0]), (5, [6.0]), (500_000, [1.0])],
)
def test_what_can_t_be_filled(depth: float, stack: list[float]) -> None:
    """Nothing, less than nothing, one ply too thick, and a stack without end."""
    with pytest.raises(Invalid) as caught:
        fill(depth, stack)
    assert caught.value.advice


def test_words_for_what_is_left() -> None:
    """Below flush, flush and proud are three different things to a person."""
    assert "0.87 mm is left over" in shown(words(870), "metric")
    assert "0.40 mm proud" in shown(words(-400), "metric")
    assert "fill the thickness" in words(0.1)
