"""Lots, their movements, and where a lot went."""

from __future__ import annotations

from .. import hints
from ..answers import Quantity, Record
from . import states
from .amounts import amount, money, not_zero, number, taken
from .columns import View, labelled, marked, spaced, table
from .moments import short, when


def listed(lots: list[Record], view: View) -> list[str]:
    """Lots, one a line."""
    heads = (">id", "product", "lot", ">on hand", ">free", "state", "expires", "bay")
    rows = [
        (
            lot["id"],
            lot["product"],
            lot_name(lot),
            amount(lot["on_hand"]),
            amount(_free(lot)),
            states.words(lot["state"]),
            expires(lot),
            lot.get("bay") or "",
        )
        for lot in lots
    ]
    return table(heads, rows, view)


def shown(lot: Record, view: View) -> list[str]:
    """One lot: its amounts first, then its dates."""
    pairs = [
        (f"lot {lot['id']}", f"{lot['product']}, number {lot_name(lot)}"),
        ("on hand", amount(lot["on_hand"])),
        ("reserved", not_zero(lot["reserved"]) if lot.get("reserved") else ""),
        ("free", amount(_free(lot))),
        ("state", _state(lot)),
        ("expires", ", ".join(filter(None, (lot.get("expires_on"), lot.get("expires_note"))))),
        ("made", lot.get("made_on")),
        ("received", lot.get("received_on")),
        ("opened", lot.get("opened_on")),
        ("bay", lot.get("bay")),
        ("size", " × ".join(filter(None, (amount(lot.get("length")), amount(lot.get("width")))))),
        ("piece of", f"lot {lot['parent']}" if lot.get("parent") else ""),
        ("cost", money(lot.get("cost"))),
        ("supplier", lot.get("supplier")),
    ]
    words = hints.added(lot.get("warnings"), lot=lot["id"], product=lot["product"])
    return labelled(pairs, view.width) + marked(words, view.width)


def moved(answer: Record, view: View) -> list[str]:
    """What a movement changed: how much of which lot, and what is left of it."""
    heads = ("", ">amount", "product", "lot", ">id", ">now on hand", ">line")
    rows = [
        (
            m["kind"],
            amount(m["quantity"]) if m["kind"] == "count" else taken(m["quantity"]),
            m["product"],
            lot_name(m),
            m["lot"],
            amount(m["on_hand"]),
            m["id"],
        )
        for m in answer["movements"]
    ]
    waiting = [
        f"Count {m['id']} waits for a lead to accept it."
        for m in answer["movements"]
        if m.get("accepted") is False
    ]
    words = [*(answer.get("warnings") or ()), *waiting]
    return table(heads, rows, view) + marked(words, view.width)


def counted(lines: list[Record], view: View) -> list[str]:
    """Counts that wait for a lead, one a line, with the difference found."""
    heads = (">count", "product", "lot", ">difference", ">left", "when", "by", "why")
    rows = [
        (
            line["id"],
            line["product"],
            lot_name(line),
            amount(line["quantity"]),
            amount(line["on_hand"]),
            when(line["recorded_at"], view),
            line["who"],
            line["reason"] or "",
        )
        for line in lines
    ]
    return table(heads, rows, view)


def accepted(line: Record, view: View) -> list[str]:
    """A count that a lead accepted."""
    name = f"{line['product']} {lot_name(line)}"
    return [f"Count {line['id']} of {name}, {amount(line['quantity'])}, is accepted."]


def movement_described(movement: Record, view: View) -> str:
    """A line of the ledger in one sentence: kind, amount, lot, job and time."""
    much = movement["quantity"]
    words = [
        movement["kind"],
        amount(much) if movement["kind"] == "count" else taken(much),
        f"of {movement['product']} {lot_name(movement)}",
        f"for {movement['job']}" if movement.get("job") else "",
        when(movement["at"], view),
    ]
    return " ".join(filter(None, words))


def tested(test: Record, view: View) -> list[str]:
    """The result of a cup test."""
    pairs = [
        ("verdict", test["verdict"]),
        ("factor", f"{number(test['factor'])} of the sheet's gel time"),
    ]
    return labelled(pairs, view.width) + marked([test.get("advice")], view.width, "> ")


def traced(trace: Record, view: View) -> list[str]:
    """Where a lot went: jobs, pots and layups; then its movements and other events."""
    lot = trace["lot"]
    return spaced(
        [f"lot {lot['id']}  {lot['product']}  {lot_name(lot)}"],
        _section("Jobs", _jobs(trace["jobs"], view)),
        _section("Pots", _pots(trace["batches"], view)),
        _section("Layups", _layups(trace["layups"], view)),
        _section("Movements", _movements(trace["movements"], view)),
        _section("Pieces cut from it", listed(trace["pieces"], view)),
        _section("Other events", _events(trace["events"], view)),
    )


def lot_name(lot: Record) -> str:
    """A lot's number, with the container if that is not the first."""
    container = str(lot.get("container") or "1")
    return str(lot["number"]) if container == "1" else f"{lot['number']}/{container}"


def _free(lot: Record) -> Quantity | None:
    """The free amount of a lot; None if all that is on hand is free."""
    free: Quantity | None = lot.get("free")
    return free if free and free["value"] != lot["on_hand"]["value"] else None


def expires(lot: Record) -> str:
    """A lot's last day; also whether it is only assumed, or that nobody knows it."""
    day = lot.get("expires_on")
    if not day:
        return lot.get("expires_note") or ""
    return f"{day} assumed" if lot.get("expires_basis") == "received_on" else str(day)


def _state(lot: Record) -> str:
    why = lot.get("hold_reason")
    return f"{lot['state']}: {why}" if lot.get("held") and why else states.words(lot["state"])


def _section(title: str, lines: list[str]) -> list[str]:
    return [title, *lines] if lines else []


def _jobs(jobs: list[Record], view: View) -> list[str]:
    rows = [(j["number"], j["title"], j["craft"], j["state"]) for j in jobs]
    return table(("job", "title", "craft", "state"), rows, view)


def _movements(movements: list[Record], view: View) -> list[str]:
    rows = [
        (m["id"], short(m["at"], view), m["kind"], amount(m["quantity"]),
         amount(m["on_hand"]), m.get("job") or "", m.get("reason") or "")
        for m in movements
    ]  # fmt: skip
    heads = (">id", "at", "kind", ">amount", ">on hand", "job", "reason")
    return table(heads, rows, view)


def _events(events: list[Record], view: View) -> list[str]:
    rows = [
        (
            short(e["at"], view),
            e["kind"].replace("_", " "),
            _fact(e),
            e.get("reason") or "",
            e.get("who") or "",
        )
        for e in events
    ]
    return table(("at", "", "", "reason", "who"), rows, view)


def _fact(event: Record) -> str:
    dated = event["kind"] == "dated"
    facts = (
        f"to {event['bay']}" if event.get("bay") else "",
        f"{'made ' * dated}on {event['from_on']}" if event.get("from_on") else "",
        f"{'good ' * dated}until {event['until_on']}" if event.get("until_on") else "",
    )
    return ", ".join(filter(None, facts))


def _pots(batches: list[Record], view: View) -> list[str]:
    rows = [
        (b["id"], b["job"], amount(b["amount"]), when(b["mixed_at"], view), b.get("who") or "")
        for b in batches
    ]
    return table((">batch", "job", ">resin", "mixed", "who"), rows, view)


def _layups(layups: list[Record], view: View) -> list[str]:
    rows = [(x["id"], x["job"], x["title"], when(x["applied_at"], view)) for x in layups]
    return table((">layup", "job", "title", "laid up"), rows, view)
