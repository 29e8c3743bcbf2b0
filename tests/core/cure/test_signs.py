"""Signs of a layup hour by hour, and the next thing to do with it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.amounts import sentences as worded
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.layer import Layer
from cureyard_service.core.cure.milestones import forecasts, milestones
from cureyard_service.core.cure.night import cold_ahead
from cureyard_service.core.cure.signs import NextStep, Sign, Touch, next_step, recoat_stand, signs
from cureyard_service.core.products.cure_sheet import CureSheet, StageTime

from ..makers import HOUR, MIN, POLYESTER, WAXED, layer, steady, trace

PLAIN = replace(POLYESTER, surface="plain")
COLD = trace([0, 1, 1, 30], [20, 20, 5, 5])


def seen(
    minutes: float, sheet: CureSheet = PLAIN, lived: Trace | None = None, **touch: float
) -> tuple[Sign, ...]:
    """The signs of a layup at so many minutes after its mixing, at a steady 20 °C."""
    return _stood(layer(sheet), lived or steady(20), minutes, Touch(**touch))


def _stood(cured: Layer, lived: Trace, minutes: float, touch: Touch) -> tuple[Sign, ...]:
    (told,) = forecasts([cured], lived, 0.0)
    return signs(cured, told.found, told.stalled, touch, minutes * MIN, told.pots)


def step(
    minutes: float,
    cured: Layer | None = None,
    lived: Trace | None = None,
    structural: bool = False,
    **touch: float,
) -> NextStep:
    """The next step at so many minutes after its mixing."""
    cured, lived, hands = cured or layer(PLAIN), lived or steady(20), Touch(**touch)
    found = milestones(cured, lived, 0.0)
    shown = _stood(cured, lived, minutes, hands)
    return next_step(cured, found, shown, minutes * MIN, structural=structural, touch=hands)


@pytest.mark.parametrize(
    ("minutes", "expected"),
    [
        (0, ("wet",)),
        (22, ("wet",)),
        (23, ("gelling",)),
        (37, ("gelling",)),
        (38, ("gelled",)),
        (161, ("gelled",)),
        (163, ("gelled", "recoat_open")),
        (779, ("gelled", "recoat_open", "sandable")),
        (781, ("gelled", "recoat_past", "sandable")),
        (97 * 60, ("gelled", "recoat_past", "sandable")),
        (98 * 60, ("gelled", "recoat_past", "sandable", "handling_cure")),
    ],
)
def test_signs_hour_by_hour(minutes: float, expected: tuple[Sign, ...]) -> None:
    """Each sign from its inward edge: open late, closed early, gelled at the latest."""
    assert seen(minutes) == expected


def test_tack_is_a_sign_that_no_hour_takes_away() -> None:
    """Air-inhibited and bare: tacky on every day, sandable on none."""
    for minutes in (60, 1000, 100_000):
        assert "tacky" in seen(minutes, POLYESTER)
        assert "sandable" not in seen(minutes, POLYESTER)


def test_what_a_hand_did_is_a_sign_before_its_hour() -> None:
    """Sanded fine at the second hour: sandable, whatever the sheet said."""
    assert "sandable" not in seen(120)
    assert "sandable" in seen(120, sanded=110 * MIN)
    gelled = _stood(layer(PLAIN, gelled_at=10 * MIN), steady(20), 12, Touch())
    assert gelled[0] == "gelled"


@pytest.mark.parametrize(
    ("found_wet", "expected"),
    [
        (20, ("gelled",)),
        (37, ("gelled",)),
        (38, ("wet", "late")),
        (74, ("wet", "late")),
        (76, ("wet", "late", "suspect")),
    ],
)
def test_still_wet_past_its_latest_is_late_and_then_suspect(
    found_wet: float, expected: tuple[Sign, ...]
) -> None:
    """By the latest gel, 37.5 min, and by twice that; found wet before then says nothing."""
    assert seen(90, not_gelled=found_wet * MIN) == expected


def test_twice_its_latest_counts_from_its_own_mixing() -> None:
    """Mixed at hour 10: suspect when found wet 75 min on, at 11:15, and not at hour 20."""
    late = layer(PLAIN, started=10 * HOUR, finished=10 * HOUR)
    for found_wet, suspect in ((674, False), (676, True)):
        stood = _stood(late, steady(20), 700, Touch(not_gelled=found_wet * MIN))
        assert ("suspect" in stood) is suspect


def test_stalled_cold_and_never_wet() -> None:
    """Twelve hours under the floor, from hour 1 to 13. Hard in the cold, it is stalled still."""
    assert "cold_stalled" not in seen(12.9 * 60, lived=COLD)
    stalled = seen(13.1 * 60, lived=COLD)
    assert "cold_stalled" in stalled
    assert not {"wet", "gelling", "recoat_open", "handling_cure"} & set(stalled)
    assert {"cold_stalled", "sandable"} <= set(seen(20 * 60, lived=COLD, hard=19 * HOUR))


def test_finished_is_the_only_sign_from_then_on() -> None:
    """Covered or handed over: nothing more is watched; before that moment it still was."""
    assert seen(200, finished=180 * MIN) == ("finished",)
    assert "finished" not in seen(170, finished=180 * MIN)
    assert step(200, finished=180 * MIN).action == "none"


def test_wax_has_no_window_but_a_before_and_a_past() -> None:
    """Until it is sandable at the latest it is too soft, then it wants abrading."""
    waxed = layer(WAXED)
    found = milestones(waxed, steady(20), 0.0)
    assert recoat_stand(waxed, found, 8 * HOUR) == "before"
    assert recoat_stand(waxed, found, 8.2 * HOUR) == "past"


@pytest.mark.parametrize(
    ("minutes", "action", "word", "at"),
    [
        (10, "wait", "until it has gelled", 37.5),
        (60, "wait", "recoat window", 162),
        (170, "coat", "without abrading", 780),
        (800, "prepare", "abrade", None),
    ],
)
def test_next_steps_of_a_plain_layer(
    minutes: float, action: str, word: str, at: float | None
) -> None:
    """Wait, wait, coat until the window shuts, then abrade."""
    found = step(minutes)
    assert (found.action, word in found.text) == (action, True)
    assert found.at == (None if at is None else pytest.approx(at * MIN))


def test_past_the_window_it_waits_to_be_sandable_first() -> None:
    """Wax: nothing till it is hard, then wipe and abrade, with the reason and the dust caution."""
    found = step(60, layer(WAXED))
    assert (found.action, found.at) == ("wait", pytest.approx(8.1 * HOUR))
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
    assert "strip the cover" in step(800, covered).text


@pytest.mark.parametrize(
    ("minutes", "found_wet", "action", "word"),
    [(90, 76, "probe", "do not cover"), (60, 40, "probe", "Late to gel")],
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


def test_a_cold_night_ahead_is_told_before_anything_else_of_a_wet_part() -> None:
    """A forecast cold comes with what to hold and from when; a hand's hardness ends it."""
    lived = trace([0, 1, 1, 30], [20, 20, 5, 5])
    cured = layer(PLAIN)
    found = milestones(cured, lived, 0.0)
    shown = _stood(cured, lived, 10, Touch())
    cold = cold_ahead(cured, lived, 0.0)
    step = next_step(cured, found, shown, 600, structural=False, touch=Touch(), cold=cold)
    assert (step.action, step.at) == ("heat", HOUR)
    assert "10 °C" in step.text
    unsure = cold_ahead(cured, lived, 2.0)
    told = next_step(cured, found, shown, 600, structural=False, touch=Touch(), cold=unsure,
                     clock=lambda moment: f"hour {moment / HOUR:.0f}")  # fmt: skip
    assert "hold at least 12 °C" in worded.shown(told.text, "metric")
    assert "until hour 12." in told.text
    assert next_step(cured, found, shown, 600, structural=False, touch=Touch()).action == "wait"


def test_a_window_that_no_edge_can_promise_is_left_to_the_glove() -> None:
    """Where opening late comes after closing early, the answer says so and what else to do."""
    narrow = replace(
        PLAIN,
        stages=(("recoat_opens", StageTime(3 * HOUR)), ("recoat_closes", StageTime(4 * HOUR))),
    )
    asked = step(90, layer(narrow))
    assert asked.action == "touch"
    assert "too uncertain" in asked.text
    assert "abrade" in asked.text
