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
        marked(_words(needs), view.width),
    )


def _words(needs: list[dict[str, Any]]) -> list[str]:
    """What is short and what is out of date, each product's once."""
    words = []
    for product in dict.fromkeys(need["product"] for need in needs):
        its = [need for need in needs if need["product"] == product]
        words += [*_short(its), *dict.fromkeys(word for need in its for word in _late(need))]
    return words


def _short(needs: list[dict[str, Any]]) -> list[str]:
    """What is missing of a product for a job's needs of it together, and for when."""
    short = [need for need in needs if need["short"]["value"]]
    if not short:
        return []
    missing = round(sum(need["short"]["value"] for need in short), 6)
    days = sorted({need.get("by") or "" for need in short})
    due = f" by {days[-1]}" if days[-1] else ""
    if len(days) > 1:
        first = next(filter(None, days))
        due = f", the first of it by {first}"
    told = amount({**short[0]["short"], "value": missing})
    return [f"{short[0]['product']}: {told} short{due}."]


def _late(need: dict[str, Any]) -> list[str]:
    return [
        f"{need['product']}: lot {lot_name(lot)} ({amount(lot['quantity'])}) is out of date "
        f"{'then' if need.get('by') else 'now'}: it is good until {lot['expires_on']}."
        for lot in need["out_of_date"]
    ]


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
