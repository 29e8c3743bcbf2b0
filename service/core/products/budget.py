"""The budget: how unsure each part of a cure time is, as a standard uncertainty in ln(time).

Ranges are rectangular: a half-width h counts h/√3 (JCGM 100:2008, 4.3.7). Parts without a named
source are common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace
from math import sqrt

from ..frozen import frozen

SHEET = 0.05
"""A single gel time of a data sheet."""
PAIR = 0.0866
"""This pair of resin and catalyst against its sheet: 0.10 together with `SHEET`."""
LOT = 0.08
"""A lot that nobody tested, against its pair."""
POT = 0.054
"""One pot or cup: scale, stirring, reading. Two tests 15 % apart are the repeatability limit
r = 2.8 s (ISO 5725-6:1994, 4.1.4; from memory)."""
UNTESTED = 0.139
"""A lot that counts as untested, all parts together."""
FILLED = 0.125
"""A mix with fillers."""
LATER = 0.12
"""A stage after gel, beside its gel."""
FOLLOWS, FOLLOWS_U = 0.75, 0.144
"""How much of what makes a gel late makes a later stage late: between a half and all."""

E, E_U = 50e3, 10e3 / sqrt(3)
"""Activation energy of a sheet that does not tell, J/mol: 40 to 60 (redox initiation of
unsaturated polyester, J. Appl. Polym. Sci. 102:1870-1876, 2006)."""
N, N_U = 1.0, 0.5 / sqrt(3)
"""Order in catalyst of a sheet that does not tell: 0.5 to 1.5."""
THERMOMETER_U = 1 / sqrt(3)
"""The one thermometer of all cups, K: ± 1."""

CUPS_APART = 0.15
"""Two cups farther apart than this disagree: neither is believed until a third."""
AGE_A_MONTH = 0.08
MONTH_S = 30 * 86_400
"""By so much in 30 days a cup's result grows unsure: a lot ages."""

COLDER_A_K = 0.08
"""Below a sheet's coldest gel time the slow clock runs slower by this a kelvin, in ln: inhibited
resin follows no simple law."""

_NEXT_TO_NOTHING = 1e-6


@frozen
class Parts:
    """The parts of the budget that may be left out or replaced, to see what each is worth."""

    sheet: float = SHEET
    pair: float = PAIR
    lot: float = LOT
    pot: float = POT
    filled: float = FILLED
    stage: float = LATER
    follows: float = FOLLOWS_U
    energy: float = E_U
    order: float = N_U

    def without(self, *names: str) -> Parts:
        """The same with some parts next to nothing."""
        return replace(self, **dict.fromkeys(names, _NEXT_TO_NOTHING))


USUAL = Parts()
