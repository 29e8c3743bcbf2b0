"""What became of a table that was taken in, or would become of it."""

from __future__ import annotations

from typing import Any

from .columns import View, labelled, marked, spaced, wrapped

MOST_NAMED = 12


def tried(told: dict[str, Any], view: View) -> list[str]:
    """What a table would add."""
    return spaced(_counts(told, "would add", view), _named(told, view), _notes(told, view))


def taken(told: dict[str, Any], view: View) -> list[str]:
    """What a table added, after it was tried."""
    return _counts(told, "added", view)


def done(told: dict[str, Any], view: View) -> list[str]:
    """What a table added, and what was taken for what."""
    return spaced(taken(told, view), _notes(told, view))


def _counts(told: dict[str, Any], verb: str, view: View) -> list[str]:
    return labelled([(verb, told["added"]), ("there already", told["known"])], view.width)


def _named(told: dict[str, Any], view: View) -> list[str]:
    """The first of what is new, and how many more there are."""
    shown = told["new"][:MOST_NAMED]
    lines = [line for name in shown for line in wrapped(name, view.width, "+ ")]
    more = told["added"] - len(shown)
    return [*lines, f"  and {more} more"] if shown and more else lines


def _notes(told: dict[str, Any], view: View) -> list[str]:
    return marked(told["notes"], view.width, "  ")
