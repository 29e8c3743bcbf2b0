"""Pots worked by hand (no published table: common practice, no source)."""

from __future__ import annotations

from cureyard_service.core.pots import sharing as pots

KG = 1_000_000


def test_six_kilograms_by_hand() -> None:
    """6 kg, greatest pot 3 kg, 1 kg goes down in 6 min, 13 min of working time, 2 min to stir.

    13 min at 1/6 kg a minute are 2.17 kg, so two pots of 3 kg (18 min each) are too many
    minutes, and three of 2 kg (12 min) do. Each turn takes 2 + 12 = 14 min: mixed at 0, 14 and
    28 min, the last one down at 42 min.
    """
    run = pots.share(
        6 * KG, KG / 360, 0, 120, lambda m: m <= 3 * KG, lambda m, at: 780, more_time=str
    )
    assert [turn.resin for turn in run.turns] == [2 * KG] * 3
    assert [round(turn.mixed / 60) for turn in run.turns] == [0, 14, 28]
    assert round(run.turns[-1].spread_until / 60) == 42
    assert run.limited_by == "time"
