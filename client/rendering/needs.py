"""What a job will take, and what is kept for it."""

from __future__ import annotations

from typing import Any

from .amounts import amount
from .columns import View, marked, spaced, table, wrapped
from .stock import lot_name


def shown(answer: dict[str, Any], view: View) -> list[str]:
    """A job's needs, one a line; then what is short, and what will be out of date."""
    needs = answer["needs"]
    if not needs:
        return [f"Job {answer['job']} needs nothing."]
    heads = (">id", "product", ">needs", "pieces", "by", ">drawn", ">kept", ">short", "lots")
    rows = [
        (n["id"], n["product"], amount(n["quantity"]), _pieces(n["pieces"]), n.get("by") or "",
         _some(n["drawn"]), _some(n["reserved"]), _some(n["short"]), _lots(n["lots"]))
        for n in needs
    ]  # fmt: skip
    return spaced(
        table(heads, rows, view.width),
        marked([word for need in needs for word in _words(need)], view.width),
    )


def _words(need: dict[str, Any]) -> list[str]:
    due = f" by {need['by']}" if need.get("by") else ""
    words = []
    if need["short"]["value"]:
        words.append(f"{need['product']}: {amount(need['short'])} short{due}.")
    words += [
        f"{need['product']}: lot {lot_name(lot)} ({amount(lot['quantity'])}) is out of date "
        f"{'then' if due else 'now'}: it is good until {lot['expires_on']}."
        for lot in need["out_of_date"]
    ]
    return words


def _some(quantity: dict[str, Any]) -> str:
    return amount(quantity) if quantity["value"] else ""


def _pieces(pieces: list[dict[str, Any]]) -> str:
    return ", ".join(f"{piece['count']} × {amount(piece['length'])}" for piece in pieces)


def _lots(lots: list[dict[str, Any]]) -> str:
    return ", ".join(lot_name(lot) for lot in lots)


def to_buy(answer: dict[str, Any], view: View) -> list[str]:
    """What to buy, by supplier, one product a line."""
    items = answer["items"]
    if not items:
        return wrapped("Nothing is short, and nothing is below its reorder point.", view.width)
    heads = ("supplier", "product", "name", ">buy", "in one piece", "by", "for")
    rows = [
        (i.get("supplier") or "(unknown)", i["product"], i["name"], amount(i["buy"]),
         amount(i.get("longest_piece")), i.get("by") or "", _reasons(i))
        for i in items
    ]  # fmt: skip
    return table(heads, rows, view.width)


def _reasons(item: dict[str, Any]) -> str:
    stock = ["stock"] if item["below_reorder"]["value"] else []
    return ", ".join([*item["jobs"], *stock])
