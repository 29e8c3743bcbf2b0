"""The leak test of a bag.

Source: TM 1-1500-204-23-11, vacuum integrity test, (g): at least 20 inHg, and a loss of at most
1 inHg a minute. An inch of mercury is 33.86 hPa (NIST SP 811, appendix B, conventional).
"""

from __future__ import annotations

import pytest
from cureyard_service.core.amounts import quantities
from cureyard_service.core.cure import leaks
from cureyard_service.core.errors import Invalid
from cureyard_service.core.words import shown

MIN = 60


def inches(number: float) -> int:
    """Inches of mercury in Pa, by the units of the trade."""
    return round(quantities.parse(f"{number} inHg", quantities.PRESSURE))


@pytest.mark.parametrize(
    ("first", "second", "minutes", "passed"),
    [
        (20, 15, 5, True),  # both figures of the manual, to the letter
        (20, 14.9, 5, False),
        (19.9, 19.9, 5, False),
        (26, 16, 10, True),
        (26, 15.9, 10, False),
        (28, 28, 5, True),
        (28, 13, 15, True),
    ],
)
def test_the_manuals_own_figures(first: float, second: float, minutes: int, passed: bool) -> None:
    """At 20 inHg and 1 inHg a minute it passes, a tenth beyond either it does not."""
    found = leaks.judge(inches(first), inches(second), minutes * MIN)
    assert found.passed is passed
    assert found.loss == pytest.approx(inches(first - second) / minutes, abs=1)


@pytest.mark.parametrize(
    ("first", "second", "lacks"),
    [
        (88_000, 85_000, ()),
        (60_000, 59_000, ("begin at 677 hPa",)),
        (88_000, 60_000, ("lose 34.0 hPa a minute",)),
        (60_000, 30_000, ("begin at 677 hPa", "lose 34.0 hPa a minute")),
    ],
)
def test_it_says_what_it_lacks(first: int, second: int, lacks: tuple[str, ...]) -> None:
    """Each figure that is missed, in the reader's units."""
    found = leaks.judge(first, second, 5 * MIN)
    told = shown(found.words, "metric")
    assert told.startswith("Tight enough." if not lacks else "Not tight enough.")
    for word in ("begin at 677 hPa", "lose 34.0 hPa a minute"):
        assert (word in told) is (word in lacks)
    assert "inHg" in shown(found.words, "us")


def test_a_rising_vacuum_is_no_leak_test() -> None:
    """The pump is on."""
    with pytest.raises(Invalid, match="the pump is on") as refused:
        leaks.judge(85_000, 85_001, 5 * MIN)
    assert refused.value.pointer == "/second"


def test_five_minutes_at_least() -> None:
    """A second less is refused."""
    assert leaks.judge(88_000, 88_000, 300).passed
    with pytest.raises(Invalid, match="5 minutes") as refused:
        leaks.judge(88_000, 88_000, 299)
    assert refused.value.pointer == "/second_at"


def test_an_absolute_pressure_is_of_the_air_of_that_hour() -> None:
    """130 hPa left, under air of 1013 hPa, is a vacuum of 883 hPa."""
    assert leaks.below_air(13_000, 101_300) == 88_300
    assert leaks.below_air(88_300, None) == 88_300
    with pytest.raises(Invalid, match="no vacuum"):
        leaks.below_air(101_301, 101_300)


@pytest.mark.parametrize("seconds", [5 * MIN - 1, 15 * MIN + 1, 22 * MIN, 24 * 60 * MIN])
def test_too_short_and_too_long_a_wait_are_refused(seconds: int) -> None:
    """A slow leak does not show at once; a fast one hides in a mean over 22 minutes."""
    with pytest.raises(Invalid) as refused:
        leaks.judge(68_000, 100, seconds)
    assert refused.value.pointer == "/second_at"


def test_no_pump_pulls_the_whole_air() -> None:
    """Below the air at most 1000 hPa; with the air's own pressure told, up to all of it."""
    assert leaks.below_air(100_000, None) == 100_000
    with pytest.raises(Invalid, match="No pump"):
        leaks.below_air(101_300, None)
    assert leaks.below_air(1_000, 101_300) == 100_300
