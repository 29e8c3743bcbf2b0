"""What to do now, in one screen."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import NamedTuple

from ..answers import Record
from . import states, steps, stock
from .amounts import amount
from .columns import ROOMY, View, spaced, table, wrapped
from .moments import by, face, headed, read

SOON = timedelta(minutes=20)
"""A deadline this near is past before the next pot is mixed, unless somebody runs."""
LEGEND = "! trouble   > within 20 min   * seen by hand, else a forecast   more: now --all"


class Row(NamedTuple):
    """A layup, or a pot that is not laid yet; `due` is the moment that it has to be done by."""

    mark: str
    id: str
    title: str
    craft: str
    job: str
    state: str
    seen: bool
    do: str
    due: str | None
    at: str | None


def shown(now: Record, view: View) -> list[str]:
    """Layups and pots, the most urgent first; then jobs, stock and bays."""
    rows = _rows(now, view)
    if view.plain:
        return _plain(rows, view)
    return spaced(
        wrapped(f"{headed(read(now['at']))}    {_counted(now, rows, view)}", view.width),
        _table(rows, view),
        [
            *_jobs(now.get("jobs") or [], rows, view),
            *_labelled("stock", _stock(now["lots"]), view),
            *_labelled("bays", _bays(now["bays"], view), view),
            *wrapped(LEGEND, view.width),
        ],
    )


def _rows(now: Record, view: View) -> list[Row]:
    layups = [_layup(each, view) for each in now["layups"]]
    pots = [_pot(each, view) for each in now.get("pots") or ()]
    return sorted([*pots, *layups], key=_urgency)


def _urgency(row: Row) -> tuple[int, str]:
    """Trouble first; then what is nearly over, what has a deadline, and what can wait."""
    rank = {"!": 0, ">": 1}.get(row.mark, 2 if row.due else 3)
    moment = row.due or row.at
    return rank, read(moment).astimezone().isoformat() if moment else "~"


def _layup(layup: Record, view: View) -> Row:
    sign, step = states.first(layup), layup["next"]
    due = steps.deadline(step, layup)
    stopped = step["action"] == "probe"
    mark = "!" if stopped or sign in states.TROUBLE else _near(due, view)
    return Row(mark, str(layup["id"]), layup["title"], layup.get("craft") or "", layup["job"],
               states.first_words(layup), states.is_seen(layup, sign),
               steps.row(step, layup, view), due, step.get("at"))  # fmt: skip


def _pot(pot: Record, view: View) -> Row:
    due = pot["work_until"]
    over = read(due) <= view.now
    note = f"note it: cureyard batch observe {pot['id']} gelled"
    do = note if over else f"spread {by(due, view)}"
    return Row("!" if over else _near(due, view), f"p{pot['id']}",
               f"{pot['resin']} {amount(pot.get('amount'))}", pot.get("craft") or "", pot["job"],
               "time is over" if over else "pot", True, do, due, due)  # fmt: skip


def _near(due: str | None, view: View) -> str:
    return ">" if due is not None and read(due) - view.now <= SOON else ""


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


def _counted(now: Record, rows: list[Row], view: View) -> str:
    """How many are in trouble, how many pots wait, and by when the windows shut."""
    trouble = sum(row.mark == "!" for row in rows)
    pots = sum(read(pot["work_until"]) > view.now for pot in now.get("pots") or ())
    shut = [each["at"] for each in now["actions"] if each["closing"]]
    ends = {
        f"{trouble} in trouble": trouble,
        f"{pots} pot{'s' * (pots != 1)} to spread": pots,
        _windows(shut, view): len(shut),
    }
    return ", ".join(words for words, count in ends.items() if count) or "nothing is urgent"


def _windows(shut: list[str], view: View) -> str:
    """How many windows are about to shut, and by when to use the first."""
    if not shut:
        return ""
    first = by(min(shut, key=read), view)
    several = f"{len(shut)} windows to use, the first"
    return f"{'1 window to use' if len(shut) == 1 else several} {first}"


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
    heads = ("mark", "id", "what", "craft", "job", "state", "seen", "do", "due", "at")
    cells = [
        (r.mark, r.id, r.title, r.craft, r.job, r.state, "*" if r.seen else "", r.do, r.due or "",
         r.at or "")
        for r in rows
    ]  # fmt: skip
    return table(heads, cells, view)
