"""What turns about a layup, and when: told inwards, in whole minutes."""

from __future__ import annotations

from dataclasses import replace

from cureyard_service.core.cure.milestones import NAMES, Milestone
from cureyard_service.core.cure.turns import CLOSING_SOON_S, REACHED, Turn, turns
from hypothesis import given
from hypothesis import strategies as st

H = 3600.0
NEVER = Milestone(None, why="not-on-sheet")
MOMENTS = st.floats(1e9, 4e9, allow_nan=False)


def found(**hours: tuple[float, float, float | None]) -> dict[str, Milestone]:
    """Milestones at (at, earliest, latest) hours; those not named are not on the sheet.

    The window is sure from its latest opening to its earliest closing, where that is any time.
    """
    told = dict.fromkeys(NAMES, NEVER)
    for name, (at, earliest, latest) in hours.items():
        told[name] = Milestone(at * H, earliest * H, None if latest is None else latest * H)
    opens, closes = told["recoat_opens"], told["recoat_closes"]
    if opens.latest is not None and closes.earliest is not None and opens.latest < closes.earliest:
        told["recoat_opens"] = replace(opens, sure=opens.latest)
        told["recoat_closes"] = replace(closes, sure=closes.earliest)
    return told


def test_reached_late_and_shut_early() -> None:
    """A day in order: each at its inward edge, and word before the window shuts."""
    told = turns(
        found(
            gel=(0.5, 0.4, 0.7), recoat_opens=(2, 1.5, 3), recoat_closes=(9, 8, 11),
            sandable=(10, 8, 12), full_cure=(99, 80, 120),
        ),
        None,
    )  # fmt: skip
    assert told == [
        Turn("gel", 45 * 60), Turn("recoat_opens", 3 * 3600), Turn("recoat_closing", 6 * 3600),
        Turn("recoat_closes", 8 * 3600), Turn("sandable", 12 * 3600), Turn("full_cure", 120 * 3600),
    ]  # fmt: skip


def test_what_may_never_come_is_not_told() -> None:
    """A cold edge that never gets there promises nothing."""
    assert turns(found(gel=(1, 0.5, None), sandable=(8, 6, None)), None) == []


def test_a_short_window_is_told_of_when_it_opens() -> None:
    """Never before."""
    told = turns(found(recoat_opens=(1, 1, 2), recoat_closes=(4, 3, 5)), None)
    assert [(turn.name, turn.at) for turn in told] == [
        ("recoat_opens", 7200), ("recoat_closing", 7200), ("recoat_closes", 10800),
    ]  # fmt: skip


def test_a_window_too_uncertain_is_tried_with_a_glove() -> None:
    """It might shut before it opens, so neither end is told."""
    told = turns(found(recoat_opens=(2, 1, 5), recoat_closes=(6, 4, 8)), None)
    assert told == [Turn("touch", 7200)]


def test_a_layup_that_stalls_cold_has_one_turn() -> None:
    """Heat or check: what else was promised is not."""
    assert turns(found(gel=(1, 1, 1), trim=(2, 2, 2)), 5 * H + 59) == [Turn("heat", 5 * 3600)]


@given(opens=MOMENTS, width=st.floats(-1e5, 1e5), reached=st.lists(MOMENTS, min_size=4, max_size=4))
def test_never_outwards(opens: float, width: float, reached: list[float]) -> None:
    """Whatever the moments: in order, on five minutes, reached late, shut early."""
    edges = {name: Milestone(at, at, at) for name, at in zip(REACHED, reached, strict=True)}
    ends = {
        "recoat_opens": Milestone(opens, opens, opens, sure=opens),
        "recoat_closes": Milestone(*(opens + width,) * 3, sure=opens + width),
    }
    told = turns({**dict.fromkeys(NAMES, NEVER), **edges, **ends}, None)
    assert [turn.at for turn in told] == sorted(turn.at for turn in told)
    at = {turn.name: turn.at for turn in told}
    assert len(at) == len(told)
    assert all(moment % 300 == 0 for moment in at.values())
    for name in REACHED:
        assert 0 <= at[name] - edges[name].at <= 300
    if "recoat_closes" in at:
        assert opens <= at["recoat_opens"] <= at["recoat_closing"] < at["recoat_closes"]
        assert at["recoat_closes"] <= opens + width
        assert at["recoat_closes"] - at["recoat_closing"] <= CLOSING_SOON_S
