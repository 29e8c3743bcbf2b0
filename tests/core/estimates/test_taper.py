"""Tapers: ground widths, plies in both orders, both faces, a side short of room."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.core.errors import Invalid
from cureyard_service.core.estimates import outlines
from cureyard_service.core.estimates.taper import (
    ORDERS,
    Ground,
    cuts,
    faces,
    judge,
    reaches,
    step_caution,
)
from cureyard_service.core.words import shown
from hypothesis import given
from hypothesis import strategies as st

MM = 1000
plies = st.lists(st.floats(200, 2000), min_size=1, max_size=8)
ratios = st.floats(1, 50)
orders = st.sampled_from(ORDERS)
HOLE = outlines.hole("rectangular", 200 * MM, 120 * MM, 20 * MM)


@given(plies, ratios)
def test_the_largest_ply_covers_the_taper(stack: list[float], ratio: float) -> None:
    """The last of smallest first and the first of largest first both reach r T."""
    whole = sum(stack)
    assert reaches(stack, whole, ratio, "smallest_first")[-1] == pytest.approx(ratio * whole)
    assert reaches(stack, whole, ratio, "largest_first")[0] == pytest.approx(ratio * whole)


@given(plies, ratios)
def test_each_ply_steps_by_its_own_or_its_neighbour_s_thickness(
    stack: list[float], ratio: float
) -> None:
    """Smallest first, ply k steps r t_k past the last; largest first it is r t_{k-1} shorter."""
    out = reaches(stack, sum(stack), ratio, "smallest_first")
    back = reaches(stack, sum(stack), ratio, "largest_first")
    for k in range(1, len(stack)):
        assert out[k] - out[k - 1] == pytest.approx(ratio * stack[k])
        assert back[k - 1] - back[k] == pytest.approx(ratio * stack[k - 1])


@given(st.integers(1, 12), st.floats(200, 2000), ratios)
def test_equal_plies_mirror_each_other(count: int, ply: float, ratio: float) -> None:
    """For equal plies one order is the other's list reversed."""
    stack = [ply] * count
    out = reaches(stack, sum(stack), ratio, "smallest_first")
    assert reaches(stack, sum(stack), ratio, "largest_first") == pytest.approx(out[::-1])


def test_unlike_plies_do_not() -> None:
    """1 mm then 2 mm at 10:1: 10 and 30 mm, against 30 and 20."""
    assert reaches([1000, 2000], 3000, 10, "smallest_first") == [10_000, 30_000]
    assert reaches([1000, 2000], 3000, 10, "largest_first") == [30_000, 20_000]


def test_a_stack_thinner_than_the_skin_still_covers_the_ground() -> None:
    """Largest first, the first ply goes to the taper's rim; smallest first, each to its height."""
    assert reaches([1000, 1000], 3000, 10, "largest_first") == [30_000, 20_000]
    assert reaches([1000, 1000], 3000, 10, "smallest_first") == [10_000, 20_000]


@given(plies, st.floats(1, 25), orders, st.floats(1.1, 2))
def test_cuts_scale(stack: list[float], ratio: float, order: Any, factor: float) -> None:
    """A steeper ratio cuts nothing larger, and a ratio twice as long reaches twice as far."""
    skin = sum(stack)
    short = cuts(HOLE, stack, Ground(skin, ratio), order)
    long = cuts(HOLE, stack, Ground(skin, ratio * factor), order)
    for one, other in zip(short, long, strict=True):
        assert other.reach == pytest.approx(one.reach * factor)
        assert other.outline.area > one.outline.area


@given(plies, st.floats(8, 50))
def test_a_seam_s_ply_is_the_full_strip(stack: list[float], ratio: float) -> None:
    """Both sides of the seam, its length kept."""
    for cut in cuts(outlines.seam(900 * MM), stack, Ground(sum(stack), ratio), "largest_first"):
        assert cut.outline.width == pytest.approx(2 * cut.reach)
        assert cut.outline.length == 900 * MM


@given(st.lists(st.floats(200, 2000), min_size=2, max_size=9), ratios, orders)
def test_two_faces(stack: list[float], ratio: float, order: Any) -> None:
    """Half the ground on each face; every ply once, in its order; the part as even as can be."""
    skin = sum(stack)
    assert Ground(skin, ratio, 2).width == pytest.approx(Ground(skin, ratio).width / 2)
    first, second = faces(stack, 2)
    assert [*first, *second] == stack
    assert abs(sum(first) - sum(second)) <= max(stack) * (1 + 1e-9)
    found = cuts(HOLE, stack, Ground(skin, ratio, 2), order)
    assert [cut.ply for cut in found] == list(range(1, len(stack) + 1))
    assert [cut.face for cut in found] == [1] * len(first) + [2] * len(second)


@given(plies, st.floats(0.1, 0.99), orders)
def test_a_side_short_of_room(stack: list[float], share: float, order: Any) -> None:
    """It gets room over thickness; no ply reaches past the room; the rest is as it was."""
    skin = sum(stack)
    room = 12 * skin * share
    ground = Ground(skin, 12, 1, room)
    assert ground.short_ratio == pytest.approx(room / skin)
    free = cuts(HOLE, stack, Ground(skin, 12), order)
    for cut, unhindered in zip(cuts(HOLE, stack, ground, order), free, strict=True):
        assert cut.short_reach <= room * (1 + 1e-9)
        assert cut.reach == unhindered.reach
        assert cut.outline.length == unhindered.outline.length
        lost = cut.reach - cut.short_reach
        assert cut.outline.width == pytest.approx(unhindered.outline.width - lost)


def test_room_enough_is_no_short_side() -> None:
    """Room for the whole ground changes nothing."""
    assert Ground(6 * MM, 12, 1, 72 * MM).short_ratio is None


@pytest.mark.parametrize(
    ("ratio", "structural", "verdict"),
    [
        (12, "yes", "pass"), (20, "unknown", "pass"), (11.9, "yes", "caution"),
        (8, "yes", "caution"), (7.9, "yes", "stop"), (7.9, "unknown", "stop"),
        (7.9, "no", "caution"), (1, "no", "caution"),
    ],
)  # fmt: skip
def test_a_ratio_is_judged(ratio: float, structural: Any, verdict: str) -> None:
    """Under 12:1 a caution; under 8:1 a stop, unless it is known to bear nothing."""
    found, words = judge(Ground(6 * MM, ratio), structural)
    assert found == verdict
    assert bool(words) == (verdict != "pass")


def test_a_short_side_is_judged_by_its_own_ratio() -> None:
    """12:1 all round, but 5:1 at the flange: a stop that says so."""
    verdict, words = judge(Ground(6 * MM, 12, 1, 30 * MM), "yes")
    assert verdict == "stop"
    assert "5.0:1" in words[0]


def test_steps_under_twelve_millimetres_are_told() -> None:
    """1 mm at 12:1 is 12 mm and passes; thinner plies are named."""
    assert step_caution([1000, 1000], 12) is None
    told = shown(step_caution([1000, 900], 12) or "", "metric")
    assert told == "Ply 2 steps as little as 10.8 mm a side, under 12 mm."
    assert "Plies 1, 3 step" in shown(step_caution([500, 1000, 600], 12) or "", "metric")
    assert "Every ply" in shown(step_caution([500, 600], 12) or "", "metric")


@pytest.mark.parametrize(
    "ground",
    [
        (0, 12), (99, 12), (-1, 12), (500_001, 12), (float("nan"), 12), (6000, 0.99), (6000, 101),
        (6000, float("nan")), (6000, 12, 3), (6000, 12, 0), (6000, 12, 1, 0), (6000, 12, 1, -5),
    ],
)  # fmt: skip
def test_ground_that_can_t_be(ground: Any) -> None:
    """Each is refused with what to do."""
    with pytest.raises(Invalid) as caught:
        Ground(*ground)
    assert caught.value.advice


@pytest.mark.parametrize(("stack", "sides"), [([], 1), ([1.0], 2), ([1.0] * 201, 1), ([0.0], 1)])
def test_plies_that_fill_no_taper(stack: list[float], sides: int) -> None:
    """None, one for two faces, too many, and one without thickness."""
    with pytest.raises(Invalid):
        faces(stack, sides)
