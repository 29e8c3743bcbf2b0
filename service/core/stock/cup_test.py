"""The cup test: the gel time of a lot in a cup, compared with its cure sheet.

Common practice, no source: the mass is within 20 % of the sheet's test mass, two cups agree within
15 %, and the verdict is good for 30 days.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from ..errors import Invalid
from ..frozen import frozen

Verdict = Literal["use", "caution", "hold", "scrap"]
Condition = Literal["normal", "lumps", "strings", "skin"]

CONDITIONS: tuple[Condition, ...] = ("normal", "lumps", "strings", "skin")
MASS_TOLERANCE = 0.20
CUPS_TOLERANCE = 0.15
FACTOR_MOST = 1000
"""A test that differs from the sheet by more than this factor was written down wrong."""
BELIEVED = (0.67, 1.5)
"""A lot whose factor lies outside these is held, and teaches nothing."""
LAPSES_AFTER_S = 30 * 86_400
TAKEN_UP_WITHIN_S = 7 * 86_400
"""A test up to this long after a pot still replaces its assumed factor of 1, with a flag."""


@frozen
class Result:
    """The lot factor (measured over expected gel time), the verdict, and advice."""

    factor: float
    verdict: Verdict
    advice: str


def judge(
    gel_times: Sequence[float],
    expected: float,
    mass: float,
    gel_mass: float,
    condition: Condition = "normal",
) -> Result:
    """Judge one or two cups.

    Args:
        gel_times: measured, s. expected: the sheet's for the same temperature and percent, s.
        mass: of resin in the cup, mg. gel_mass: of resin in the sheet's test, mg.
        condition: of the resin.

    Raises:
        Invalid: not one or two cups, no time, a cup of another size, two cups that disagree, or
            times that are far from the sheet's.
    """
    if not 1 <= len(gel_times) <= 2:
        raise Invalid("A cup test has one or two gel times.", advice="Give one, or two cups.")
    if min(gel_times) <= 0:
        raise Invalid("The cup's gel time is zero.", advice="Time it from the stirring to the gel.")
    if abs(mass - gel_mass) > MASS_TOLERANCE * gel_mass:
        raise Invalid(
            f"A cup of {mass / 1e3:.0f} g can't be compared with a gel time of "
            f"{gel_mass / 1e3:.0f} g.",
            advice=f"Test with {gel_mass / 1e3:.0f} g, give or take a fifth: mass makes heat.",
        )
    low, high = min(gel_times), max(gel_times)
    if high - low > CUPS_TOLERANCE * (sum(gel_times) / len(gel_times)):
        raise Invalid(
            "The two cups differ by more than 15 %.", advice="Weigh again, and test two more."
        )
    factor = sum(gel_times) / len(gel_times) / expected
    if not 1 / FACTOR_MOST <= factor <= FACTOR_MOST:
        raise Invalid(
            f"By the sheet it gels in {expected:.3g} s: far from what was timed.",
            advice="Check the percent, the temperature and the times.",
        )
    return _verdict(factor, condition)


def _verdict(factor: float, condition: Condition) -> Result:
    if condition != "normal":
        return Result(factor, "scrap", f"{condition.capitalize()} in the resin: scrap the lot.")
    if 0.8 <= factor <= 1.25:
        return Result(factor, "use", "As the sheet says; doses use the factor.")
    if BELIEVED[0] <= factor <= BELIEVED[1]:
        return Result(factor, "caution", "Drifting: doses use the factor; use it first.")
    return Result(factor, "hold", "Suspect: held. Test again, ask the maker, or scrap it.")
