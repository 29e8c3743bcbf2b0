"""What to do now, at length: every layup with its window, every lot, every bay."""

from __future__ import annotations

from collections.abc import Mapping

from ..answers import Record
from . import layups, states, steps, stock
from .amounts import amount
from .columns import View, spaced, table, wrapped
from .moments import by_minute, read, when


def shown(now: Record, view: View) -> list[str]:
    """Pots, then what to do in order; the layups that cure, stock to see to, and the bays."""
    inner = View(view.width - 2, view.now)
    idle = [] if now.get("pots") else ["Nothing to do now."]
    return spaced(
        _section("Mixed, not laid up", _pots(now.get("pots") or [], inner)),
        _section("To do", _actions(now, inner)) or idle,
        _section("Curing", layups.listed(now["layups"], inner)),
        _section("Stock", _stock(now["lots"], inner)),
        _section("Read the date on the drum", _undated(now["lots"], inner)),
        _section("Bays", _bays(now["bays"], inner)),
    )


def _actions(now: Record, view: View) -> list[str]:
    """In the order and with the marks of the short form."""
    layups_by_id = {layup["id"]: layup for layup in now["layups"]}
    ordered = [layups_by_id[p["layup"]] for p in now["order"] if p["layup"] is not None]
    rows = [
        (steps.mark(x["do"]), f"{x['id']} {x['title']}", x["job"], steps.told(x["do"], view),
         x["next"]["text"])
        for x in ordered
    ]  # fmt: skip
    return table(("", "layup", "job", "do", "why"), rows, view)


def _pots(pots: list[Record], view: View) -> list[str]:
    rows = [
        (p["id"], p["job"], p["resin"], amount(p.get("amount")), p["text"],
         "" if _is_over(p, view) else by_minute(p["work_until"], view))
        for p in pots
    ]  # fmt: skip
    over = [p["id"] for p in pots if _is_over(p, view)]
    note = f"Say what became of it: cureyard batch observe {over[0]} lost" if over else ""
    return [*table((">pot", "job", "resin", ">amount", "do", "spread"), rows, view),
            *wrapped(note, view.width)]  # fmt: skip


def _is_over(pot: Record, view: View) -> bool:
    return read(pot["work_until"]) <= view.now


def _stock(lots: Mapping[str, list[Record]], view: View) -> list[str]:
    rows = [
        (
            states.words(state),
            lot["product"],
            stock.lot_name(lot),
            amount(lot["on_hand"]),
            stock.expires(lot),
        )
        for state in ("held", "expired", "soon")
        for lot in lots.get(state) or ()
    ]
    return table(("", "product", "lot", ">on hand", "expires"), rows, view)


def _undated(lots: Mapping[str, list[Record]], view: View) -> list[str]:
    rows = [
        (lot["id"], lot["product"], stock.lot_name(lot), amount(lot["on_hand"]), _until(lot))
        for lot in lots.get("undated") or ()
    ]
    enter = wrapped("Then enter it: cureyard lot set LOT --expires-on DATE", view.width)
    return [*table((">id", "product", "lot", ">on hand", "good until"), rows, view),
            *(enter if rows else ())]  # fmt: skip


def _until(lot: Record) -> str:
    if lot.get("expires_basis") == "received_on":
        return f"{lot['expires_on']}, assumed from receipt"
    return ", ".join(filter(None, (lot.get("expires_on"), lot.get("expires_note"))))


def _bays(bays: list[Record], view: View) -> list[str]:
    rows = [
        (b["code"], amount(b.get("temperature")), b.get("basis") or "", _read(b.get("read"), view))
        for b in bays
    ]
    return table(("bay", ">is at", "basis", "read"), rows, view)


def _read(reading: Record | None, view: View) -> str:
    """The bay's last reading; its temperature now may be another one."""
    if reading is None:
        return "no reading lately"
    return f"{amount(reading['temperature'])} {when(reading['at'], view)}"


def _section(title: str, lines: list[str]) -> list[str]:
    return [title, *(f"  {line}" if line else "" for line in lines)] if lines else []
