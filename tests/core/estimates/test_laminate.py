"""Laminates: plies and stacks, counted each by its own fibre or as one combination."""

from __future__ import annotations

import pytest
from cureyard_service.core.errors import CureSheetMissing, Invalid
from cureyard_service.core.estimates import laminate
from cureyard_service.core.estimates.laminate import Ply
from hypothesis import given
from hypothesis import strategies as st

weights = st.floats(50_000, 2_000_000)
fractions = st.floats(0.1, 0.75)
plies = st.builds(Ply, weights, fractions)


@given(weights, fractions, st.floats(1.05, 1.4))
def test_thickness_follows_weight_and_falls_with_fibre(w: float, p: float, d: float) -> None:
    """Twice the cloth is twice as thick; more fibre in it, or denser resin, is thinner."""
    thick = laminate.thickness(w, p, d)
    assert laminate.thickness(2 * w, p, d) == pytest.approx(2 * thick)
    assert laminate.thickness(w, p + 0.01, d) < thick
    assert laminate.thickness(w, p, d + 0.05) < thick


@given(weights, fractions, st.floats(1.05, 1.4))
def test_volumes_add_up(w: float, p: float, d: float) -> None:
    """Thickness is the volume of fibre and of resin on the area."""
    whole = laminate.each_ply([Ply(w, p)], d)
    volume = whole.fibre / laminate.FIBRE_DENSITY + whole.resin / d
    assert whole.thickness == pytest.approx(volume / 1000)
    assert whole.fibre_fraction == pytest.approx(p)


@given(st.lists(plies, min_size=1, max_size=8), st.lists(plies, min_size=1, max_size=8))
def test_stacks_add_up_in_any_order(first: list[Ply], second: list[Ply]) -> None:
    """Two stacks together weigh and measure their sum, whichever is laid first."""
    one, two = laminate.each_ply(first), laminate.each_ply(second)
    both = laminate.each_ply(second + first)
    for name in ("thickness", "fibre", "resin"):
        assert getattr(both, name) == pytest.approx(getattr(one, name) + getattr(two, name))
    least, most = sorted((one.fibre_fraction, two.fibre_fraction))
    assert least - 1e-9 <= both.fibre_fraction <= most + 1e-9


@given(weights, weights, st.floats(0.01, 0.5))
def test_more_mat_takes_more_resin(mat: float, cloth: float, shift: float) -> None:
    """The combination's fibre falls as mat's share of the same weight grows."""

    def combined(mat: float, cloth: float) -> float:
        pair = [Ply(mat, 0.3, "mat"), Ply(cloth, 0.48, "woven")]
        return laminate.combination(pair).resin

    moved = cloth * shift
    assert combined(mat + moved, cloth - moved) > combined(mat, cloth)


@pytest.mark.parametrize("fraction", [0.0, 0.099, 0.751, 1.0, -0.3, float("nan")])
def test_a_fraction_that_is_no_laminate(fraction: float) -> None:
    """Outside 0.1 to 0.75 nothing can be laid up."""
    with pytest.raises(Invalid, match="fibre fraction"):
        Ply(450_000, fraction)


@pytest.mark.parametrize("weight", [0.0, -1.0, 10_000_001.0, float("nan")])
def test_a_weight_that_is_no_ply(weight: float) -> None:
    """A ply weighs something, and not more than a man can wet."""
    with pytest.raises(Invalid, match="ply's weight"):
        Ply(weight, 0.3)


def test_a_stack_of_nothing() -> None:
    """It is refused, and says what to do."""
    with pytest.raises(Invalid) as caught:
        laminate.each_ply([])
    assert caught.value.advice


@pytest.mark.parametrize(
    "stack",
    [
        [Ply(450_000, 0.3, "mat")],
        [Ply(450_000, 0.3), Ply(600_000, 0.48, "woven")],
        [Ply(450_000, 0.3, "mat"), Ply(300_000, 0.55, "unidirectional")],
    ],
)
def test_what_is_no_combination(stack: list[Ply]) -> None:
    """Mat alone, a ply of unknown fabric, and unidirectional cloth have no combined fraction."""
    with pytest.raises(Invalid, match="combination"):
        laminate.combination(stack)


def test_a_ply_that_says_nothing_of_its_fibre() -> None:
    """Without a fraction and without a fabric nothing is guessed."""
    with pytest.raises(CureSheetMissing):
        laminate.usual_fraction(None)


def test_resin_that_is_none() -> None:
    """A cured density of a typing slip is refused rather than used."""
    with pytest.raises(Invalid, match="kg/L"):
        laminate.each_ply([Ply(450_000, 0.3)], 0.12)
