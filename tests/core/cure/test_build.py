"""How thick at once: what has not cooled counts together, on the careful side."""

from __future__ import annotations

from typing import Any

import pytest
from cureyard_service.core.cure.build import NEAR_K, Ply, cooled, is_film, together
from hypothesis import given
from hypothesis import strategies as st

H = 3600.0
MM = 1000.0
PLIES = st.builds(Ply, st.floats(1, 9_000), st.floats(1_000, 9_000), st.booleans())


def is_cool(hours: float, **known: Any) -> bool:
    """Of a layer whose application ended at 0, with its peak over at an hour, sandable at 8."""
    return cooled(hours * H, **{"finished": 0.0, "peaked": 1 * H, "sandable": 8 * H, **known})


def test_four_and_four_in_twenty_minutes_are_eight() -> None:
    """On a limit of 5 mm."""
    assert together(Ply(4 * MM, 5 * MM), [Ply(4 * MM, 5 * MM)]) == (8 * MM, 5 * MM)
    assert not is_cool(20 / 60)


@pytest.mark.parametrize(
    ("hours", "known", "cool"),
    [
        (7.9, {}, False),
        (8, {}, True),  # by the clock it can be sanded
        (2, {"above_air": NEAR_K}, True),  # as somebody measured it
        (2, {"above_air": NEAR_K + 0.1}, False),
        (9, {"above_air": 12.0}, False),  # hot is hot, whatever the clock says
        (0.3, {"above_air": 0.0}, False),  # cool because its heat is still to come
        (2, {"above_air": 0.0, "peaked": None}, False),
        (2, {"found_hard": 1.5 * H}, True),
        (2, {"found_hard": 2.5 * H}, False),
        (0.9, {"found_hard": 0.8 * H}, False),  # hard already at its peak
        (23.9, {"sandable": None}, False),
        (24, {"sandable": None}, True),
    ],
)
def test_when_it_has_cooled(hours: float, known: dict[str, Any], cool: bool) -> None:
    """By a thermometer or a hand once it can have peaked, else by the clock, else after a day."""
    assert is_cool(hours, **known) is cool


def test_a_film_holds_no_heat() -> None:
    """Half a millimetre of gel coat adds nothing to the skin, nor is it judged with it."""
    gel_coat = Ply(500, 800, film=is_film("coat", 500))
    assert together(Ply(4 * MM, 5 * MM), [gel_coat]) == (4 * MM, 5 * MM)
    assert together(gel_coat, [Ply(4 * MM, 5 * MM)]) == (500, 800)
    assert not is_film("coat", 3 * MM)
    assert not is_film("laminate", 500)
    assert not is_film("coat", None)


def test_what_nobody_knows_is_not_judged() -> None:
    """No thickness, or no limit."""
    assert together(Ply(None, 5 * MM), []) is None
    assert together(Ply(4 * MM, None), []) is None
    assert together(Ply(4 * MM, 5 * MM), [Ply(None, 3 * MM)]) == (4 * MM, 3 * MM)


@given(PLIES, st.lists(PLIES, max_size=4), PLIES)
def test_more_below_is_never_more_room(own: Ply, hot: list[Ply], more: Ply) -> None:
    """A layer that has not cooled never makes the sum less, nor the limit greater."""
    total, greatest = together(own, hot) or (0.0, 0.0)
    with_more = together(own, [*hot, more]) or (0.0, 0.0)
    assert with_more[0] >= total
    assert with_more[1] <= greatest
