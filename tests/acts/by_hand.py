"""What the budget says of a cure time in a steady bay, worked out by hand beside the service.

The parts are common practice, typed again: 0.0866 of a pair against its sheet, 0.08 of a lot, 0.054
of a pot or a cup, and 0.12 of a later stage beside its gel, in ln(time). A range of half-width h
counts h/√3.
"""

from __future__ import annotations

from math import exp, hypot, log, pi, sqrt

import numpy as np

PAIR, LOT, POT, LATER = 0.0866, 0.08, 0.054, 0.12
SHEET = 0.025
"""Four gel times of a sheet, each 0.05 unsure, together."""
A_KELVIN = 50e3 / 8.314462618 / 293.15**2
"""By so much, in ln, everything is faster a kelvin warmer, near 20 °C."""
EDGES = {90: 1.2816, 95: 1.6449, 99: 2.3263}
"""Standard deviations of a normal distribution that leave 10, 5 and 1 % beyond."""
OF_TWO = 1 / sqrt(pi)
"""How much later the last of two alike pots is expected than one, in standard deviations."""


def spread(kelvins: float, *, later: bool = True) -> float:
    """How unsure a time of an untested lot is, in ln, where the bay is known to some kelvins."""
    parts = (SHEET, PAIR, LOT, POT, LATER if later else 0.0, A_KELVIN * kelvins / sqrt(3))
    return hypot(*parts)


def factors(*tested: float, others: int = 0) -> list[float]:
    """What lots gel in, over their sheet's time: each tested in one cup, then untested ones.

    A cup sees the sheet's error, the pair's and its lot's, through one thermometer that is good to
    1 K. The mean of what is normal, given what was seen.

    Args:
        tested: what each cup took, over the sheet's time.
    """
    shared, count = SHEET**2 + PAIR**2, len(tested)
    seen = np.full((count, count), shared + (A_KELVIN / sqrt(3)) ** 2)
    seen += np.eye(count) * (LOT**2 + POT**2)
    to_lots = np.vstack([np.eye(count) * LOT**2, np.zeros((others, count))]) + shared
    found = to_lots @ np.linalg.solve(seen, [log(each) for each in tested])
    return [exp(each) for each in found.tolist()]
