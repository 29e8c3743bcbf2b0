"""What makes a forecast so unsure, and what would help."""

from __future__ import annotations

from collections.abc import Iterable

from ..answers import Record
from . import states

PARTS = {
    "temperature": "the temperature",
    "stage": "the stage beside its gel",
    "pair": "this pair against its sheet",
    "lot": "the lot",
    "pot": "weighing and stirring",
    "sheet": "the sheet's gel time",
    "filled": "the filler",
    "energy": "how heat speeds it up",
    "order": "how catalyst speeds it up",
}
MEASURES = {
    "temperature": "a checked thermometer, to 1 K",
    "cup": "a cup test of the lot",
}
LEAST = 5.0
"""Parts under this percent are left out."""


def lines(budgets: Iterable[Record]) -> list[str]:
    """A line for each moment: its parts by share; then what would make it narrower."""
    found = []
    for budget in budgets:
        parts = [
            f"{PARTS.get(each['part'], each['part'])} {each['percent']:.0f} %"
            for each in budget["shares"]
            if each["percent"] >= LEAST
        ]
        helps = [
            f"{MEASURES.get(each['measure'], each['measure'])} ({each['percent']:.0f} % narrower)"
            for each in budget["would_help"]
        ]
        would = f". Would help: {', '.join(helps)}" if helps else ""
        found.append(f"{states.words(budget['of'])}: {', '.join(parts)}{would}")
    return found
