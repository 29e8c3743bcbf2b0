"""Pots: shared out so that each is spread in time and none is over the greatest."""

from __future__ import annotations

from math import ceil

import pytest
from cureyard_service.core.errors import Invalid, OutsideLimits
from cureyard_service.core.pots import sharing as pots
from hypothesis import given
from hypothesis import strategies as st

KG = 1_000_000
resins = st.integers(1000, 40 * KG)
rates = st.floats(1000, 100_000)
greatest = st.integers(KG, 5 * KG)
workings = st.floats(60, 7200)


def share(resin: int, rate: float, most: int, working: float, mixing: float = 120) -> pots.Run:
    """The pots of a mix whose working time is always the same."""
    return pots.share(
        resin, rate, 0, mixing, lambda m: m <= most, lambda m, at: working,
        more_time=lambda: "a cooler hour",
    )  # fmt: skip


@given(resins, rates, greatest, workings)
def test_all_is_spread_in_time_in_the_fewest_equal_pots(
    resin: int, rate: float, most: int, working: float
) -> None:
    """Nothing is lost, none too big, none too late; one pot fewer would break a rule."""
    needed = max(ceil(resin / most), ceil(resin / (rate * working) - 1e-6))
    if needed > pots.MOST_POTS:
        with pytest.raises(OutsideLimits):
            share(resin, rate, most, working)
        return
    run = share(resin, rate, most, working)
    assert sum(turn.resin for turn in run.turns) == resin
    for turn in run.turns:
        assert turn.resin <= most
        assert turn.spread_until - turn.spread_from <= working + 1e-5
    assert max(t.resin for t in run.turns) - min(t.resin for t in run.turns) <= 1
    assert len(run.turns) in (needed, needed + 1), "one more only for the odd milligram"


@given(resins, rates, greatest, workings, st.floats(0, 600))
def test_hands_do_one_thing_at_a_time(
    resin: int, rate: float, most: int, working: float, mixing: float
) -> None:
    """Each pot is stirred when the last one is down; in all it takes stirring and spreading."""
    try:
        run = share(resin, rate, most, working, mixing)
    except OutsideLimits:
        return
    for before, after in zip(run.turns, run.turns[1:], strict=False):
        assert after.mixed == before.spread_until
    for turn in run.turns:
        assert turn.spread_from == turn.mixed + mixing
    assert run.turns[-1].spread_until == pytest.approx(len(run.turns) * mixing + resin / rate)


@given(resins, greatest, workings)
def test_faster_hands_never_need_more_pots(resin: int, most: int, working: float) -> None:
    """Monotone in the rate."""
    try:
        slow = share(resin, 5000, most, working)
    except OutsideLimits:
        return
    assert len(share(resin, 10_000, most, working).turns) <= len(slow.turns)


def test_a_bay_that_warms_makes_smaller_pots() -> None:
    """Each pot has the working time of its own moment, and the shortest one rules."""
    run = pots.share(6 * KG, 1000, 0, 120, lambda m: m <= 3 * KG,
                     lambda m, at: 3000 - at / 10, more_time=str)  # fmt: skip
    assert run.limited_by == "time"
    assert all(turn.in_time for turn in run.turns)
    working = [turn.working for turn in run.turns]
    assert working == sorted(working, reverse=True)


def test_what_bound() -> None:
    """Nothing, the greatest pot, or the time."""
    assert share(KG, 10_000, KG, 600).limited_by is None
    assert share(2 * KG, 10_000, KG, 600).limited_by == "pot_max"
    assert share(2 * KG, 1000, KG, 600).limited_by == "time"


@pytest.mark.parametrize("bad", [(0, 1.0, 1, 1.0), (1, 0.0, 1, 1.0), (1, 1.0, 1, 1.0, -1.0)])
def test_no_pots(bad: tuple[int, float, int, float]) -> None:
    """Nothing to mix, nobody to spread it."""
    with pytest.raises(Invalid):
        share(*bad)


def test_what_can_t_be_spread() -> None:
    """Too much, too slow, or gelled while it is stirred: with words on what would help."""
    for resin, rate, working in ((61 * KG, 1e6, 600), (KG, 1e-9, 600), (KG, 1000, 0)):
        with pytest.raises(OutsideLimits) as caught:
            share(resin, rate, KG, working)
        assert "For more time: a cooler hour." in caught.value.advice
    with pytest.raises(OutsideLimits, match="week"):
        share(60 * KG, 60 * KG / pots.LONGEST_S, KG, 1e9)
