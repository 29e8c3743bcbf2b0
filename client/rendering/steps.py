"""The next step at a layup: its moment in full, and in the few words of a row."""

from __future__ import annotations

from ..answers import Record
from . import states
from .columns import View
from .moments import by, closes, early, full, opens, read, since, until

_SURE_S = 60
"""Moments of one end of a window are this near each other, whichever way they were rounded."""


def told(step: Record, layup: Record, view: View) -> str:
    """The moment that a step depends on, with its word: `by today 18:15, in 45 min`."""
    if step.get("at") is None:
        return ""
    word = _word(step, layup)
    ends = word == "by" or step["action"] == "heat"
    moment = (closes if ends else opens)(step["at"], view)
    return "at once" if ends and moment <= view.now else f"{word} {full(moment, view)}"


def row(step: Record, layup: Record, view: View) -> str:
    """A step in a few words: `next layer by 16:35`."""
    action, at = step["action"], step.get("at")
    sign = states.first(layup)
    if action == "heat":
        return f"heat {layup.get('bay') or 'it'} {early(at, view) if at else 'now'}"
    if action == "probe":
        return _PROBE.get(sign, "find out what became of it, and note it")
    if action == "none":
        return "nothing more"
    if action == "prepare":
        return "prepare it before the next layer"
    if at is None:
        return _untimed(action, sign, layup)
    return _timed(step, layup, view)


def _untimed(action: str, sign: str, layup: Record) -> str:
    """A step that can be done now and has no end."""
    if action != "touch":
        return "next layer now"
    if sign != "recoat_touch":
        return "feel it with a glove"
    nail = layup.get("surface") == "amine_blush"
    return "wash a spot, nail test first" if nail else "acetone test first"


_PROBE = {
    "suspect": "do not cover it: probe it, scrape it off",
    "late": "do not cover it: find out why",
}


def _timed(step: Record, layup: Record, view: View) -> str:
    action, at, test = step["action"], step["at"], states.WORDS["recoat_touch"]
    if action == "coat":
        return f"next layer {by(at, view)}"
    if action == "touch" and _word(step, layup) == "from":
        return f"{test} now; sure {since(at, view)}"
    if action == "touch":
        return f"{test}, then next layer {by(at, view)}"
    if _is_wet(layup):
        return f"leave {until(at, view)}"
    if _is_end(layup.get("window"), "from", at):
        return f"next layer {since(at, view)}"
    if _is_end((layup.get("milestones") or {}).get("sandable"), "latest", at):
        return f"sand {since(at, view)}"
    return f"{test} {since(at, view)}"


def deadline(step: Record, layup: Record) -> str | None:
    """The moment before which the step has to be done; None if it has none."""
    ends = step["action"] == "heat" or _word(step, layup) == "by"
    return step.get("at") if ends else None


def _word(step: Record, layup: Record) -> str:
    """`by`, `until` or `from`: what the moment of a step is."""
    action, at = step["action"], step.get("at")
    if action == "coat":
        return "by"
    if action == "touch":
        return "from" if _is_end(layup.get("window"), "from", at) else "by"
    return "until" if action == "wait" and _is_wet(layup) else "from"


def _is_wet(layup: Record) -> bool:
    return bool({"wet", "gelling"} & set(layup.get("state") or ()))


def _is_end(span: Record | None, end: str, at: str | None) -> bool:
    if not at or not span or not span.get(end):
        return False
    return abs((read(span[end]) - read(at)).total_seconds()) <= _SURE_S
