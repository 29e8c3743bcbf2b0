"""Jobs, bays, and what to do now."""

from __future__ import annotations

from typing import Any

from . import layups, stock
from .amounts import amount, percent
from .columns import View, labelled, spaced, table, wrapped
from .moments import STEP, read, short, when


def settings_shown(settings: dict[str, Any], view: View) -> list[str]:
    """What the yard says of itself."""
    names = ("zone", "units", "currency", "address")
    pairs = [*((name, settings[name]) for name in names), ("gates", settings.get("profile"))]
    return labelled(pairs, view.width)


def jobs_listed(jobs: list[dict[str, Any]], view: View) -> list[str]:
    """Jobs, one a line."""
    rows = [
        (j["number"], j["title"], j["craft"], j["state"], short(j.get("opened_at"), view.now))
        for j in jobs
    ]
    return table(("job", "title", "craft", "state", "opened"), rows, view.width)


def job_shown(job: dict[str, Any], view: View) -> list[str]:
    """One job."""
    pairs = [
        (f"job {job['number']}", job["title"]),
        ("craft", job["craft"]),
        ("state", job["state"]),
        ("structural", job.get("structural")),
        ("authority", job.get("authority")),
        ("opened", when(job.get("opened_at"), view.now)),
        ("closed", when(job.get("closed_at"), view.now)),
    ]
    return labelled(pairs, view.width)


def bays_listed(bays: list[dict[str, Any]], view: View) -> list[str]:
    """Bays, one a line."""
    rows = [(b["code"], b["title"], _latest(b, view), _pattern(b)) for b in bays]
    return table(("bay", "title", "last read", "otherwise"), rows, view.width)


def bay_shown(bay: dict[str, Any], view: View) -> list[str]:
    """One bay: what was last read there, and what is assumed otherwise."""
    pairs = [
        (f"bay {bay['code']}", bay["title"]),
        ("last read", _latest(bay, view)),
        ("otherwise", _pattern(bay)),
        ("good to", f"± {amount(bay.get('uncertainty'))}" if bay.get("uncertainty") else ""),
    ]
    return labelled(pairs, view.width)


def readings_taken(answer: dict[str, Any], view: View) -> list[str]:
    """How many readings were new."""
    counts = (f"{answer.get(name, 0)} {name}" for name in ("recorded", "replaced", "unchanged"))
    return [", ".join(count for count in counts if not count.startswith("0 ")) or "0 recorded"]


def now_shown(now: dict[str, Any], view: View) -> list[str]:
    """What to do now, in order; then what lies curing, stock to look at, and the bays."""
    inner = View(view.width - 2, view.now)
    idle = [] if now.get("pots") else ["Nothing to do now."]
    return spaced(
        _section("To do", _actions(now["actions"], inner)) or idle,
        _section("Mixed, not laid up", _pots(now.get("pots") or [], inner)),
        _section("Curing", layups.listed(now["layups"], inner)),
        _section("Stock", _stock(now["lots"], inner)),
        _section("Read the date on the drum", _undated(now["lots"], inner)),
        _section("Bays", _bays(now["bays"], inner)),
    )


def _actions(actions: list[dict[str, Any]], view: View) -> list[str]:
    rows = [
        ("!" if a["closing"] else "", f"{a['layup']} {a['title']}", a["job"], a["text"],
         when(a["at"], view.now, STEP, "down" if a["action"] in ("coat", "touch") else "up"))
        for a in actions
    ]  # fmt: skip
    return table(("", "layup", "job", "do", "at"), rows, view.width)


def _pots(pots: list[dict[str, Any]], view: View) -> list[str]:
    rows = [
        (p["id"], p["job"], p["resin"], amount(p.get("amount")), p["text"],
         when(p["work_until"], view.now, 1, "down"))
        for p in pots
    ]  # fmt: skip
    over = [p["id"] for p in pots if read(p["work_until"]) <= view.now]
    note = f"Note what became of it: cureyard batch observe {over[0]} lost" if over else ""
    return [*table((">pot", "job", "resin", ">amount", "do", "work until"), rows, view.width),
            *wrapped(note, view.width)]  # fmt: skip


def _stock(lots: dict[str, list[dict[str, Any]]], view: View) -> list[str]:
    rows = [
        (
            state,
            lot["product"],
            stock.lot_name(lot),
            amount(lot.get("on_hand")),
            stock.expires(lot),
        )
        for state in ("held", "expired", "soon")
        for lot in lots.get(state) or ()
    ]
    return table(("", "product", "lot", ">on hand", "expires"), rows, view.width)


def _undated(lots: dict[str, list[dict[str, Any]]], view: View) -> list[str]:
    rows = [
        (lot["id"], lot["product"], stock.lot_name(lot), amount(lot["on_hand"]), _until(lot))
        for lot in lots.get("undated") or ()
    ]
    give = wrapped("Then give it: cureyard lot set LOT --expires-on DATE", view.width)
    return [*table((">id", "product", "lot", ">on hand", "good until"), rows, view.width),
            *(give if rows else ())]  # fmt: skip


def _until(lot: dict[str, Any]) -> str:
    if lot.get("expires_basis") == "received_on":
        return f"{lot['expires_on']}, assumed from receipt"
    return ", ".join(filter(None, (lot.get("expires_on"), lot.get("expires_note"))))


def _bays(bays: list[dict[str, Any]], view: View) -> list[str]:
    rows = [
        (b["code"], amount(b.get("temperature")), b.get("basis") or "", _read(b.get("read"), view))
        for b in bays
    ]
    return table(("bay", ">is at", "basis", "read"), rows, view.width)


def _read(reading: dict[str, Any] | None, view: View) -> str:
    """What the bay's last reading said, which is not what the bay is taken to be now."""
    if reading is None:
        return "nothing of late"
    return f"{amount(reading['temperature'])} {when(reading['at'], view.now)}"


def _section(title: str, lines: list[str]) -> list[str]:
    return [title, *(f"  {line}" if line else "" for line in lines)] if lines else []


def _latest(bay: dict[str, Any], view: View) -> str:
    latest = bay.get("latest")
    if not latest:
        return ""
    damp = percent(latest.get("humidity_percent"))
    heat = amount(latest["temperature"]) + (f", {damp} humidity" if damp else "")
    return f"{heat} {when(latest['at'], view.now)}"


def _pattern(bay: dict[str, Any]) -> str:
    pattern = bay["pattern"]
    return (
        f"{amount(pattern['day'])} from {pattern['day_from']} to {pattern['day_until']}, "
        f"else {amount(pattern['night'])}"
    )
