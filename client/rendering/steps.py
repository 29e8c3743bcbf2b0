"""What to do at a layup or with a pot, in the words that the service has for every screen."""

from __future__ import annotations

from ..answers import Record
from .columns import View
from .moments import face, full, read


def mark(do: Record) -> str:
    """`!` for trouble, `>` for a deadline within 20 minutes."""
    return "!" if do["urgency"] == "trouble" else ">" if do["near"] == "minutes" else ""


def row(do: Record, view: View) -> str:
    """In the few words of a row: `layer down by 16:35`."""
    return do["words"] if do["at"] is None else f"{do['words']} {face(read(do['at']), view)}"


def sentence(do: Record, view: View) -> str:
    """At length, as a sentence."""
    words = told(do, view)
    return words if words.endswith("?") else f"{words}."


def told(do: Record, view: View) -> str:
    """At length: `layer down by today 18:15, in 45 min`."""
    return do["words"] if do["at"] is None else f"{do['words']} {full(read(do['at']), view)}"
