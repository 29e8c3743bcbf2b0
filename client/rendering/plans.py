"""A chain plan: when each step begins, and why not earlier."""

from __future__ import annotations

from ..answers import Record
from .amounts import amount, not_zero
from .columns import View, labelled, marked, spaced, table
from .moments import STEP, between, closes, opens, short


def shown(answer: Record, view: View) -> list[str]:
    """The steps, when all is done, why no step begins earlier, and what would help."""
    heads = ("step", "begin", "end", "abrade first", "next layer between")
    rows = [_row(step, view) for step in answer["steps"]]
    abrades, night = answer["abrades"], answer["night_work"]
    pairs = [
        ("done", short(answer["finish"], view, STEP, "up")),
        ("abrading", f"before {abrades} layer{'s' if abrades != 1 else ''}" if abrades else "none"),
        ("at night", not_zero(night)),
        ("job", f"{answer['job']}, plan of {answer['who']}" if "job" in answer else ""),
    ]
    moved = [
        f"{each['title']} moved from {short(each['was'], view)} to {short(each['now'], view)}."
        for each in answer.get("moved", ())
    ]
    because = [f"{step['title']}: {step['why']}." for step in answer["steps"]]
    prepare = [
        f"Before {step['title']}: {', then '.join(step['prepare'])}."
        for step in answer["steps"]
        if step["prepare"]
    ]
    width = view.width
    return spaced(
        table(heads, rows, view),
        labelled(pairs, width),
        marked(because, width, "= "),
        [
            *marked(moved, width, "~ "),
            *marked(answer["warnings"], width, "! "),
            *marked(answer["advice"], width, "> "),
            *marked(prepare, width, "- "),
            *marked(answer["cautions"], width, "- "),
        ],
    )


def _row(step: Record, view: View) -> tuple[str, ...]:
    return (
        step["title"],
        short(step["start"], view),
        short(step["end"], view),
        "" if step["abrade"] is None else amount(step["abrade"]),
        _window(step, view),
    )


def _window(step: Record, view: View) -> str:
    if step["recoat_opens"] is None:
        return ""
    by = step.get("next_by") or step["recoat_closes"]
    first, last = opens(step["recoat_opens"]), closes(by)
    return between(first, last, view) if first < last else "too short to promise"


def sequences_listed(sequences: list[Record], view: View) -> list[str]:
    """Sequences, one a line."""
    rows = [
        (each["name"], ", ".join(each["parts"]), len(each["steps"]), each["who"])
        for each in sequences
    ]
    return table(("sequence", "parts", ">steps", "kept by"), rows, view)


def sequence_shown(sequence: Record, view: View) -> list[str]:
    """One sequence, step by step."""
    rows = [
        (step["title"], step["part"] or step["kind"], amount(step["work"] or step["wait"]),
         amount(step["abrade"]))
        for step in sequence["steps"]
    ]  # fmt: skip
    head = [f"sequence {sequence['name']}, kept by {sequence['who']}"]
    return spaced(head, table(("step", "what", ">time", ">abrade"), rows, view))
