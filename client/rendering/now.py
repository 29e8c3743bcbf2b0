"""What to do now, in one screen."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import NamedTuple

from ..answers import Record
from . import states, steps, stock, yard
from .amounts import amount
from .columns import ROOMY, View, spaced, table, wrapped
from .moments import face, headed, read

LEGEND = "! trouble   > within 20 min   * seen by hand, else a forecast   more: now --all"


class Row(NamedTuple):
    """A layup, or a pot that is not laid yet; `at` is the moment that its `do` names, if any."""

    mark: str
    id: str
    title: str
    craft: str
    job: str
    state: str
    seen: bool
    do: str
    at: str | None


def shown(now: Record, view: View) -> list[str]:
    """Layups and pots, the most urgent first; then jobs, stock and bays."""
    rows = _rows(now, view)
    if view.plain:
        return _plain(rows, view)
    return spaced(
        wrapped(f"{headed(read(now['at']))}    {_counted(now, view)}", view.width),
        _table(rows, view),
        [
            *_jobs(now.get("jobs") or [], rows, view),
            *_labelled("stock", _stock(now["lots"]), view),
            *_labelled("bays", _bays(now["bays"], view), view),
            *wrapped(LEGEND, view.width),
        ],
    )


def _rows(now: Record, view: View) -> list[Row]:
    """In the order of the wall."""
    layups = {each["id"]: each for each in now["layups"]}
    pots = {each["id"]: each for each in now["pots"]}
    return [
        _layup(layups[place["layup"]], view)
        if place["layup"] is not None
        else _pot(pots[place["pot"]], view)
        for place in now["order"]
    ]


def _layup(layup: Record, view: View) -> Row:
    do = layup["do"]
    return Row(steps.mark(do), str(layup["id"]), layup["title"], layup["craft"], layup["job"],
               states.first(layup), states.is_seen(layup), steps.row(do, view),
               do["at"])  # fmt: skip


def _pot(pot: Record, view: View) -> Row:
    do = pot["do"]
    what = f"{pot['resin']} {amount(pot['amount'])}"
    return Row(steps.mark(do), f"p{pot['id']}", what, pot["craft"], pot["job"], "pot", True,
               steps.row(do, view), do["at"])  # fmt: skip


def _table(rows: list[Row], view: View) -> list[str]:
    if not rows:
        return ["Nothing to do now."]
    if view.width < ROOMY:
        return [line for row in rows for line in _narrow(row, view)]
    cells = [
        (row.mark, row.id, _what(row), row.state, f"{'*' if row.seen else ' '} {row.do}")
        for row in rows
    ]
    return table(("", ">id", "what", "state", "  do"), cells, view)


def _what(row: Row) -> str:
    return ", ".join(filter(None, (row.title, row.craft)))


def _narrow(row: Row, view: View) -> list[str]:
    """A row on a narrow screen: what it is, and under it what to do."""
    do = f"{row.state}{' *' if row.seen else ''}: {row.do}"
    return [*wrapped(_what(row), view.width, f"{row.mark or ' '} {row.id:>3}  "),
            *wrapped(do, view.width, " " * 7)]  # fmt: skip


def _counted(now: Record, view: View) -> str:
    """How many are in trouble, how many pots wait, and by when to use the first window."""
    trouble = sum(each["do"]["urgency"] == "trouble" for each in now["layups"])
    pots = len(now["pots"])
    spread = sum(each["do"]["at"] is not None for each in now["pots"])
    dos = [each["do"] for each in now["layups"] if each["sign"] == "recoat_open"]
    shut = [read(do["at"]) for do in dos if do["urgency"] == "ending"]
    ends = {
        f"{trouble} in trouble": trouble,
        f"{_several(spread, 'pot')} to spread": spread,
        f"{_several(pots - spread, 'pot')} to note": pots - spread,
        _windows(shut, view): len(shut),
    }
    return ", ".join(words for words, count in ends.items() if count) or "nothing is urgent"


def _several(count: int, word: str) -> str:
    return f"{count} {word}{'s' * (count != 1)}"


def _windows(shut: list[datetime], view: View) -> str:
    """How many windows are about to shut, and by when to use the first."""
    if not shut:
        return ""
    several = ", the first" if len(shut) > 1 else ""
    return f"{_several(len(shut), 'window')} to use{several} by {face(min(shut), view)}"


def _jobs(jobs: list[Record], rows: list[Row], view: View) -> list[str]:
    """A line for each job that has something to do or lacks something, then the other jobs."""
    first = {row.job: row for row in reversed(rows)}
    busy = [job for job in jobs if job["number"] in first or job["short"]]
    cells = [
        (job["number"], job["craft"], _next(first.get(job["number"])), ", ".join(job["short"]))
        for job in busy
    ]
    others = ", ".join(job["number"] for job in jobs if job not in busy)
    return [*table(("job", "craft", "next", "short of"), cells, view),
            *_labelled("also open", others, view)]  # fmt: skip


def _next(row: Row | None) -> str:
    return "" if row is None else f"{row.id}: {row.do}"


def _stock(lots: Mapping[str, list[Record]]) -> str:
    """The lots to see to, by their state."""
    named = {
        states.words("expired"): lots.get("expired"),
        "held": lots.get("held"),
        f"soon {states.words('expired')}": lots.get("soon"),
        "read the date on": lots.get("undated"),
    }
    return "   ".join(f"{word}: {_lots(found)}" for word, found in named.items() if found)


def _lots(found: list[Record]) -> str:
    return ", ".join(f"{lot['product']} {stock.lot_name(lot)}" for lot in found)


def _bays(bays: list[Record], view: View) -> str:
    return "   ".join(f"{bay['code']} {_air(bay, view)}" for bay in bays)


def _air(bay: Record, view: View) -> str:
    """A bay's air now, and what is wrong with its probe."""
    return ", ".join([_heat(bay, view), *yard.probe_faults(bay.get("probe"), view)])


def _heat(bay: Record, view: View) -> str:
    """A bay's air now; where it is not measured, when it was last read."""
    heat = amount(bay.get("temperature"))
    last = bay.get("read")
    if bay.get("basis") == "measured":
        return " ".join(filter(None, (heat, _humidity(last))))
    if last is None:
        return f"{heat} assumed, no reading lately"
    read_at = face(read(last["at"]), view)
    return f"{heat} assumed, read {amount(last['temperature'])} at {read_at}"


def _humidity(last: Record | None) -> str:
    """The humidity that was read with a bay's temperature, if one was."""
    percent = (last or {}).get("humidity_percent")
    return "" if percent is None else f"{percent:.4g} %"


def _labelled(label: str, text: str, view: View) -> list[str]:
    return wrapped(text, view.width, f"{label}  ") if text else []


def _plain(rows: list[Row], view: View) -> list[str]:
    heads = ("mark", "id", "what", "craft", "job", "state", "seen", "do", "at")
    cells = [
        (r.mark, r.id, r.title, r.craft, r.job, r.state, "*" if r.seen else "", r.do, r.at or "")
        for r in rows
    ]
    return table(heads, cells, view)
