"""The next step with a layup, hour by hour."""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

import pytest
from cureyard_service.core.amounts import sentences
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.clocks import Doubt
from cureyard_service.core.cure.forecast import forecasts
from cureyard_service.core.cure.layer import Layer
from cureyard_service.core.cure.next_step import Clock, NextStep, next_step
from cureyard_service.core.cure.night import ColdAhead, cold_ahead
from cureyard_service.core.cure.signs import signs
from cureyard_service.core.cure.touch import Touch, by_hand
from cureyard_service.core.products.cure_sheet import StageTime
from cureyard_service.core.words import shown

from ..bands import UNTESTED_U, at, later_u
from ..makers import EXACT, HOUR, MIN, POLYESTER, WAXED, layer, steady, trace

PLAIN = replace(POLYESTER, surface="plain")
COLD = trace([0, 1, 1, 30], [20, 20, 5, 5])
U = sqrt(UNTESTED_U**2 + 0.05**2 / 5)
GEL_BY, OPEN_BY, SHUT_BY = (
    at(0.95, 30, 0, sqrt(U**2 + 4.3e-5)),
    at(0.95, 120, 0, later_u(U)),
    at(0.05, 1200, 0, later_u(U)),
)
"""Minutes, log-normal by SciPy: the latest gel, the sure opening and closing of `PLAIN`."""


def step(
    minutes: float,
    cured: Layer | None = None,
    lived: Trace | None = None,
    structural: bool = False,
    cold: ColdAhead | None = None,
    clock: Clock = sentences.utc,
    **touch: float,
) -> NextStep:
    """The next step at so many minutes after its mixing, by default at a steady 20 °C."""
    hands = Touch(**touch)
    cured = cured or layer(PLAIN, wet_at=hands.not_gelled)
    (told,) = forecasts([cured], lived or steady(20), EXACT)
    found, now = by_hand(told.found, hands), minutes * MIN
    shown = signs(cured, found, told.stalled, hands, now, told.pots)
    return next_step(
        cured, found, shown, now, structural=structural, touch=hands, cold=cold, clock=clock
    )


@pytest.mark.parametrize(
    ("minutes", "action", "word", "at"),
    [
        (10, "wait", "until it has gelled", GEL_BY),
        (60, "wait", "recoat window", OPEN_BY),
        (170, "coat", "without abrading", SHUT_BY),
        (130, "touch", "open already", OPEN_BY),
        (900, "touch", "may have shut", None),
        (1210, "prepare", "abrade", None),
    ],
)
def test_next_steps_of_a_plain_layer(
    minutes: float, action: str, word: str, at: float | None
) -> None:
    """Wait, wait, coat until the window may shut, then abrade; a hand finds out near its ends."""
    found = step(minutes)
    assert (found.action, word in found.text) == (action, True)
    assert found.at == (None if at is None else pytest.approx(at * MIN, rel=2e-4))


def test_past_the_window_it_waits_to_be_sandable_first() -> None:
    """Wax: nothing till it is hard, then wipe and abrade, with the reason and the dust caution."""
    found = step(60, layer(WAXED))
    assert (found.action, found.at) == ("wait", pytest.approx(3 * OPEN_BY * MIN, rel=2e-4))
    done = step(500, layer(WAXED))
    assert done.action == "prepare"
    assert "wax has risen" in done.text
    assert done.cautions


def test_an_assumed_window_wants_a_glove_on_structural_work() -> None:
    """Measured, cosmetic, or touched already: coat; else touch first, and the surveyor's word."""
    guessed = trace([0, 400], [20, 20], measured=False)
    assert step(170, lived=guessed, structural=True).action == "touch"
    assert step(170, lived=guessed, structural=True).cautions
    for kwargs in (
        {"lived": guessed},
        {"structural": True},
        {"lived": guessed, "structural": True, "no_transfer": 165 * MIN},
    ):
        assert step(170, **kwargs).action == "coat"  # type: ignore[arg-type]
    assert "glove" in step(170, lived=guessed).text
    assert "glove" not in step(170, no_transfer=165 * MIN).text


def test_a_cover_comes_off_before_the_next_layer() -> None:
    """In its window and past it."""
    covered = layer(POLYESTER, cover="peel_ply")
    assert step(170, covered).text.startswith("Strip the cover")
    assert "strip the cover" in step(1210, covered).text


@pytest.mark.parametrize(
    ("minutes", "found_wet", "action", "word"),
    [(160, 144, "probe", "do not cover"), (90, 74, "probe", "Late to gel")],
)
def test_what_does_not_gel_is_probed(
    minutes: float, found_wet: float, action: str, word: str
) -> None:
    """Suspect outranks late; neither is told to wait."""
    found = step(minutes, not_gelled=found_wet * MIN)
    assert (found.action, word in found.text) == (action, True)


def test_a_stalled_layer_wants_flameless_heat() -> None:
    """And a hardness or solvent check before anything goes on it."""
    found = step(14 * 60, lived=COLD)
    assert found.action == "heat"
    assert "solvent" in found.text
    assert "flameless" in found.cautions[0]


def test_a_cold_night_ahead_comes_before_anything_else_on_a_wet_part() -> None:
    """A forecast cold comes with what to hold and from when; without it a wet part waits."""
    first = step(10, lived=COLD, cold=cold_ahead(layer(PLAIN), COLD, EXACT))
    assert (first.action, first.at) == ("heat", HOUR)
    assert "10 °C" in shown(first.text, "metric")
    unsure = step(
        10, lived=COLD, cold=cold_ahead(layer(PLAIN), COLD, Doubt.steady(2.0)),
        clock=lambda moment: f"hour {moment / HOUR:.0f}",
    )  # fmt: skip
    assert "hold at least 12 °C" in shown(unsure.text, "metric")
    assert "until hour 16." in shown(unsure.text, "metric")
    assert step(10, lived=COLD).action == "wait"


def test_a_glove_that_comes_away_clean_lets_the_next_layer_go_on() -> None:
    """An hour after its mixing, long before the clock opens the window; found hard, it is past."""
    clean = step(61, no_transfer=60 * MIN, gelled=60 * MIN)
    assert clean.action == "coat"
    assert "without abrading" in clean.text
    assert "glove" not in clean.text
    hard = step(61, hard=60 * MIN, gelled=60 * MIN)
    assert (hard.action, "abrade" in hard.text) == ("prepare", True)


def test_a_cold_night_does_not_hide_an_open_window() -> None:
    """A glove opened it, and the cold is still to come: coat, and heat."""
    lived = trace([0, 4, 4, 400], [20, 20, 5, 5])
    cold = cold_ahead(layer(PLAIN), lived, EXACT)
    both = step(61, lived=lived, cold=cold, no_transfer=60 * MIN, gelled=60 * MIN)
    assert both.action == "coat"
    assert "hold at least" in shown(both.text, "metric")
    assert any("flameless" in caution for caution in both.cautions)


def test_finished_leaves_nothing_to_do() -> None:
    """Covered or handed over."""
    assert step(200, finished=180 * MIN).action == "none"


def test_a_window_that_no_moment_can_promise_is_left_to_the_glove() -> None:
    """Between its likely ends it is touched, with what else to do; before them it waits."""
    narrow = replace(
        PLAIN,
        stages=(("recoat_opens", StageTime(3 * HOUR)), ("recoat_closes", StageTime(4 * HOUR))),
    )
    early = step(90, layer(narrow))
    assert (early.action, early.at) == ("wait", pytest.approx(180 * MIN, rel=1e-4))
    assert "touch it" in early.text
    asked = step(200, layer(narrow))
    assert (asked.action, asked.at) == ("touch", pytest.approx(240 * MIN, rel=1e-4))
    assert "acetone" in asked.text
    assert "abrade" in asked.text
