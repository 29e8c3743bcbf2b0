"""Cup tests: the lot factor, the verdicts at their bounds, and cups that prove nothing."""

from __future__ import annotations

import pytest
from cureyard_service.core.errors import Invalid
from cureyard_service.core.stock.cup_test import Condition, Verdict, judge
from hypothesis import given
from hypothesis import strategies as st

CUP = 100_000


@pytest.mark.parametrize(
    ("factor", "verdict"),
    [
        (1.0, "use"), (0.8, "use"), (1.25, "use"), (0.799, "caution"), (1.251, "caution"),
        (0.67, "caution"), (1.5, "caution"), (0.669, "hold"), (1.501, "hold"), (3.0, "hold"),
    ],
)  # fmt: skip
def test_verdicts_at_their_bounds(factor: float, verdict: Verdict) -> None:
    """0.8 to 1.25 use, 0.67 to 1.5 caution, beyond them held."""
    found = judge([1000 * factor], 1000, CUP, CUP)
    assert (found.factor, found.verdict) == (pytest.approx(factor), verdict)
    assert found.advice


@pytest.mark.parametrize("condition", ["lumps", "strings", "skin"])
def test_a_resin_gone_off_is_scrap_whatever_its_gel_time(condition: Condition) -> None:
    """A perfect gel time does not save a lot with lumps in it."""
    found = judge([1000.0], 1000, CUP, CUP, condition)
    assert (found.verdict, found.factor) == ("scrap", 1.0)
    assert condition in found.advice.lower()


@given(st.floats(100, 5000), st.floats(0.87, 1.16))
def test_two_cups_are_one_factor_in_any_order(time: float, ratio: float) -> None:
    """Their mean counts, and which was poured first is nothing."""
    cups = [time, time * ratio]
    assert judge(cups, 1000, CUP, CUP) == judge(cups[::-1], 1000, CUP, CUP)
    assert judge(cups, 1000, CUP, CUP).factor == pytest.approx(sum(cups) / 2000)


@pytest.mark.parametrize(("second", "agree"), [(1161, True), (1163, False), (850, False)])
def test_two_cups_agree_within_15_percent(second: float, agree: bool) -> None:
    """Of their mean: 1000 and 1161 do, 1000 and 1163 don't, nor 1000 and 850."""
    if agree:
        judge([1000.0, second], 1000, CUP, CUP)
        return
    with pytest.raises(Invalid, match="15 %"):
        judge([1000.0, second], 1000, CUP, CUP)


@pytest.mark.parametrize(
    ("mass", "fits"), [(80_000, True), (120_000, True), (79_999, False), (120_001, False)]
)
def test_the_cup_is_the_sheet_s_cup_within_a_fifth(mass: float, fits: bool) -> None:
    """A bigger cup heats itself: its gel time says nothing of the lot."""
    if fits:
        assert judge([1000.0], 1000, mass, CUP).verdict == "use"
        return
    with pytest.raises(Invalid) as caught:
        judge([1000.0], 1000, mass, CUP)
    assert "100 g" in caught.value.advice


@pytest.mark.parametrize("cups", [[], [1000.0] * 3, [0.0], [-5.0], [0.0, 0.0]])
def test_one_cup_or_two_that_took_some_time(cups: list[float]) -> None:
    """None is no test, three one too many; a factor of nothing would break every dose."""
    with pytest.raises(Invalid):
        judge(cups, 1000, CUP, CUP)
