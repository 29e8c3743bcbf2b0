"""An entry that can be undone, in words."""

from __future__ import annotations

from ..answers import Record
from . import states
from .amounts import amount
from .columns import View
from .moments import when
from .stock import movement_described

OF_JOB = {
    "finding": "finding", "moisture_reading": "moisture reading", "surface_note": "surface note",
    "film_test": "film", "weighed_sample": "sample", "leak_test": "leak test",
}  # fmt: skip
"""Kinds of a job's records, in words."""

KEPT = {
    "cup_test": ("the cup test of lot {of}", "lot test {of} …"),
    "need": ("that job {of} needs {seen}", "job need {of} {seen} 0 --replaces {record}"),
    "layup_move": ("that layup {of} lies in {seen}", "layup move {of} BAY"),
    "layup_probe": ("a probe of layup {of}", "layup probe {of} {seen} --undo"),
    "signature": ("the signature under job {of}", "job reopen {of} --reason REASON"),
    "acceptance": ("that the count in line {of} stands", "lot counts"),
    "plan": ("the plan of job {of}", "job plan {of}"),
    "meter": ("the meter {of}", "meter add …"),
    "cure_sheet": ("the cure sheet of {of}", "product set {of} …"),
    "bay_pattern": ("the usual temperatures of {of}", "bay set {of} …"),
    "sequence": ("the sequence {of}", "sequence keep …"),
}
"""Kinds that are not taken back: what each is, and what to type in its place."""

LOT_EVENTS = {
    "held": "lot release {of} --reason REASON", "released": "lot hold {of} --reason REASON",
    "moved": "lot move {of} BAY", "opened": "lot open {of} --opened-on DATE",
    "extended": "lot hold {of} --reason REASON", "dated": "lot set {of} --expires-on DATE …",
}  # fmt: skip
"""What to type over what was noted of a lot."""


def kept(entry: Record) -> tuple[str, str] | None:
    """What an entry is that can't be undone, and the command that serves; None of all others."""
    if entry["kind"] == "lot_event":
        command = LOT_EVENTS.get(entry["seen"], "lot show {of}")
        what = f"'{states.words(entry['seen'])}' of lot {{of}}"
    elif entry["kind"] in KEPT:
        what, command = KEPT[entry["kind"]]
    else:
        return None
    return what.format(**entry), f"cureyard {command.format(**entry)}"


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
    if entry["kind"] in OF_JOB:
        seen = f", {states.words(entry['seen'])}" if entry["seen"] else ""
        place = entry["place"] or "the whole boat"
        return [f"{OF_JOB[entry['kind']]} {entry['record']} of {entry['job']}, {place}{seen}, {at}"]
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
