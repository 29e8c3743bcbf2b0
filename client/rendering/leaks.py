"""Leak tests of a job's bags."""

from __future__ import annotations

from ..answers import Record
from .amounts import amount
from .columns import View, labelled, marked, spaced, table
from .moments import short, when
from .wetness import taken_back as taken_back
from .wetness import warned


def shown(test: Record, view: View) -> list[str]:
    """One leak test, and whether the bag is tight enough."""
    pairs = [
        (f"leak test {test['id']}", f"{test['place']}, job {test['job']}"),
        ("first", f"{amount(test['first'])} below the air, {when(test['first_at'], view)}"),
        ("second", f"{amount(test['second'])} below the air, {when(test['second_at'], view)}"),
        ("air", amount(test["air_pressure"])),
        ("passed", _passed(test)),
        ("note", test["note"]),
        ("taken back", _withdrawn(test)),
    ]
    return spaced(
        labelled(pairs, view.width),
        marked([test["words"]], view.width, "> "),
        warned(test, view),
        marked(test["cautions"], view.width, "- "),
    )


def listed(tests: list[Record], view: View) -> list[str]:
    """Leak tests, one a line."""
    rows = [
        (t["id"], t["place"], amount(t["first"]), amount(t["loss"]), _passed(t),
         short(t["second_at"], view), _withdrawn(t))
        for t in tests
    ]  # fmt: skip
    heads = (">test", "place", ">below the air", ">lost a minute", "passed", "when", "taken back")
    return table(heads, rows, view)


def _passed(test: Record) -> str:
    return "yes" if test["passed"] else "no"


def _withdrawn(test: Record) -> str:
    taken = test["withdrawn"]
    return f"{taken['reason']} ({taken['who']})" if taken else ""
