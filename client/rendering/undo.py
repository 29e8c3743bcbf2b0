"""An entry that can be undone, in words."""

from __future__ import annotations

from ..answers import Record
from .amounts import amount
from .columns import View
from .moments import when
from .stock import movement_described


def described(entry: Record, view: View) -> list[str]:
    """An entry in one sentence; one of several ledger lines in a sentence for each."""
    if entry["kind"] == "movement":
        return [movement_described(line, view) for line in entry["movements"]]
    at = when(entry["at"], view)
    if entry["kind"] == "reading":
        return [_readings(entry, at)]
    if entry["kind"] == "layup":
        return [f"layup {entry['layup']}, {entry['title']}, for {entry['job']}, laid up {at}"]
    if entry["kind"] == "photograph":
        return [f"photograph {entry['photograph']}, {entry['shows']}, kept {at}"]
    is_of_pot = entry["kind"] == "batch_observation"
    of = f"pot {entry['batch']}" if is_of_pot else f"layup {entry['layup']}"
    return [f"'{entry['seen'].replace('_', ' ')}' noted of {of}, {at}"]


def readings_taken_back(answer: Record, _view: View) -> list[str]:
    """How many readings were taken back."""
    return [f"{_counted(answer['taken_back'])} taken back"]


def _readings(entry: Record, at: str) -> str:
    if entry["readings"] == 1:
        return f"{amount(entry['temperature'])} read in {entry['bay']}, {at}"
    return f"{_counted(entry['readings'])} of {entry['bay']}, entered together"


def _counted(number: int) -> str:
    return f"{number} {'reading' if number == 1 else 'readings'}"
