"""Signs of a layup hour by hour."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.cure.forecast import forecasts
from cureyard_service.core.cure.layer import Layer
from cureyard_service.core.cure.signs import Sign, signs
from cureyard_service.core.cure.touch import Touch
from cureyard_service.core.products.cure_sheet import CureSheet

from ..makers import EXACT, HOUR, MIN, POLYESTER, layer, steady, trace

PLAIN = replace(POLYESTER, surface="plain")
COLD = trace([0, 1, 1, 30], [20, 20, 5, 5])


def seen(
    minutes: float, sheet: CureSheet = PLAIN, lived: Trace | None = None, **touch: float
) -> tuple[Sign, ...]:
    """The signs of a layup at so many minutes after its mixing, at a steady 20 °C."""
    cured = layer(sheet, wet_at=touch.get("not_gelled"))
    return _stood(cured, lived or steady(20), minutes, Touch(**touch))


def _stood(cured: Layer, lived: Trace, minutes: float, touch: Touch) -> tuple[Sign, ...]:
    (told,) = forecasts([cured], lived, EXACT)
    return signs(cured, told.found, told.stalled, touch, minutes * MIN, told.pots)


@pytest.mark.parametrize(
    ("minutes", "expected"),
    [
        (0, ("wet",)),
        (24, ("wet",)),
        (25, ("gelling",)),
        (37, ("gelling",)),
        (38, ("gelled",)),
        (119, ("gelled",)),
        (121, ("gelled", "recoat_touch")),
        (160, ("gelled", "recoat_touch")),
        (162, ("gelled", "recoat_open")),
        (482, ("gelled", "recoat_open")),
        (483, ("gelled", "recoat_open", "sandable")),
        (894, ("gelled", "recoat_open", "sandable")),
        (896, ("gelled", "recoat_touch", "sandable")),
        (1199, ("gelled", "recoat_touch", "sandable")),
        (1201, ("gelled", "recoat_past", "sandable")),
        (96 * 60, ("gelled", "recoat_past", "sandable")),
        (97 * 60, ("gelled", "recoat_past", "sandable", "handling_cure")),
    ],
)
def test_signs_hour_by_hour(minutes: float, expected: tuple[Sign, ...]) -> None:
    """Each sign from its inward edge: open late, closed early, gelled at the latest.

    Log-normal by hand: 30 min × e^(± 1.645 × 0.1317) is 24.2 to 37.3; u of what follows is 0.178,
    so the sheet's 2, 6, 20 and 72 h are 160.8, 482.5, 895.3 and 5790 min at their inward edges.
    From its likely opening to its likely closing a hand's touch may find the window open.
    """
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
        (38, ("gelled",)),
        (50, ("gelled",)),
        (71, ("gelled",)),
        (72, ("wet", "late")),
        (142, ("wet", "late")),
        (144, ("wet", "late", "suspect")),
    ],
)
def test_still_wet_past_its_latest_is_late_and_then_suspect(
    found_wet: float, expected: tuple[Sign, ...]
) -> None:
    """By the latest gel of a film, and by twice that; found wet before then says nothing.

    By hand: the cup's 30 min × e^(0.4 + 1.645 √(0.1317² + 0.25²)) is 71.2 min.
    """
    at = max(90.0, found_wet)
    assert seen(at, not_gelled=found_wet * MIN)[: len(expected)] == expected


@pytest.mark.parametrize(("found_wet", "late"), [(37, False), (38, True)])
def test_a_cup_and_a_timed_film_are_late_by_their_own_time(found_wet: float, late: bool) -> None:
    """30 min × e^(1.645 × 0.1317) is 37.3 min: in a cup, and on a part whose sheet times a film."""
    timed = layer(replace(PLAIN, film_gel=30 * MIN), wet_at=found_wet * MIN)
    on_part = _stood(timed, steady(20), 90, Touch(not_gelled=found_wet * MIN))
    in_cup = _stood(layer(PLAIN, cup_wet_at=found_wet * MIN), steady(20), 90, Touch())
    assert ("late" in on_part, "late" in in_cup) == (late, late)


def test_twice_its_latest_counts_from_its_own_mixing() -> None:
    """Mixed at hour 10: suspect when found wet 143 min on, at 12:23, and not at hour 20."""
    for found_wet, suspect in ((741, False), (743, True)):
        late = layer(PLAIN, 10 * HOUR, finished=10 * HOUR, wet_at=found_wet * MIN)
        stood = _stood(late, steady(20), 750, Touch(not_gelled=found_wet * MIN))
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
