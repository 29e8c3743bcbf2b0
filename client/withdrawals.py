"""Taking back an entry that is not stock; it stays on record."""

from __future__ import annotations

from .answers import Record
from .api import at
from .asking import Ask
from .exits import Forbidden
from .rendering import layups, photographs, pots, undo, wetness

OF_JOB = {
    "finding": "findings", "moisture_reading": "moisture-readings",
    "surface_note": "surface-notes", "film_test": "film-tests",
    "weighed_sample": "weighed-samples", "leak_test": "leak-tests",
}  # fmt: skip
"""Kinds of a job's records, and where each is."""


def withdraw_of_job(ask: Ask, job: str, kind: str, record: int, reason: str) -> None:
    """Take back a record of a job; `kind` is one of `OF_JOB`."""
    path = at("jobs", job, OF_JOB[kind], record, "withdrawal")
    ask.show(ask.api.post(path, {"reason": reason}), wetness.taken_back)


def withdraw_layup(ask: Ask, layup: int | str, reason: str) -> None:
    """Say that a layup was never laid."""
    ask.show(ask.api.post(at("layups", layup, "withdrawal"), {"reason": reason}), layups.shown)


def withdraw_observation(ask: Ask, noun: str, of: int | str, seen: int, reason: str) -> None:
    """Take back one observation of a layup or a pot.

    Args:
        noun: `layups` or `batches`. of: the id of the layup or pot. seen: the observation's id.
    """
    path = at(noun, of, "observations", seen, "withdrawal")
    render = layups.shown if noun == "layups" else pots.mixed
    ask.show(ask.api.post(path, {"reason": reason}), render)


def last_observation(observations: list[Record], kind: str, of: str) -> int:
    """The id of the last observation of a kind.

    Raises:
        Stopped: there is no observation of that kind.
    """
    for each in reversed(observations):
        if each["kind"] == kind.strip().casefold().replace(" ", "_").replace("-", "_"):
            return int(each["id"])
    noted = ", ".join(dict.fromkeys(each["kind"] for each in observations)) or "nothing"
    raise Forbidden(f"{kind!r} was not noted of {of}.", f"Noted of it: {noted}.")


def withdraw_reading(ask: Ask, bay: str, reading: int, reason: str, *, whole_entry: bool) -> None:
    """Take back one reading, or all readings that were entered together with it."""
    body = {"reason": reason, "whole_entry": whole_entry}
    path = at("bays", bay, "readings", reading, "withdrawal")
    ask.show(ask.api.post(path, body), undo.readings_taken_back)


def withdraw_photograph(ask: Ask, photograph: int, reason: str) -> None:
    """Take back one photograph."""
    path = at("photographs", photograph, "withdrawal")
    ask.show(ask.api.post(path, {"reason": reason}), photographs.shown)
