"""What importing a table added, or would add."""

from __future__ import annotations

from ..answers import Record
from .columns import View, labelled, marked, spaced, wrapped

MOST_NAMED = 12
"""New rows that are named; of the others only the number is shown."""


def tried(answer: Record, view: View) -> list[str]:
    """What a table would add, and how its columns were read."""
    return spaced(_counts(answer, "would add", view), _new(answer, view), _notes(answer, view))


def added(answer: Record, view: View) -> list[str]:
    """What a table added, after a trial."""
    return _counts(answer, "added", view)


def imported(answer: Record, view: View) -> list[str]:
    """What a table added without a trial, and how its columns were read."""
    return spaced(added(answer, view), _notes(answer, view))


def followed(answer: Record, view: View) -> list[str]:
    """What new lines of a logger's file added."""
    known = f", {answer['known']} there already" if answer["known"] else ""
    doubted = f"; {answer['doubted']} not believed yet" if answer.get("doubted") else ""
    return [f"{answer['added']} added{known}{doubted}"]


def _counts(answer: Record, verb: str, view: View) -> list[str]:
    return labelled([(verb, answer["added"]), ("there already", answer["known"])], view.width)


def _new(answer: Record, view: View) -> list[str]:
    """The first new rows, and how many more there are."""
    shown = answer["new"][:MOST_NAMED]
    lines = [line for name in shown for line in wrapped(name, view.width, "+ ")]
    more = answer["added"] - len(shown)
    return [*lines, f"  and {more} more"] if shown and more else lines


def _notes(answer: Record, view: View) -> list[str]:
    return marked(answer["notes"], view.width, "  ")
