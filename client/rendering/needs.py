"""The needs of a job, and what to buy."""

from __future__ import annotations

from ..answers import Record
from .amounts import amount, not_zero
from .columns import View, marked, spaced, table, wrapped
from .stock import lot_name


def shown(answer: Record, view: View) -> list[str]:
    """A job's needs, one a line; then sentences on what is short or will be out of date."""
    needs = answer["needs"]
    if not needs:
        return [f"Job {answer['job']} needs nothing."]
    heads = (">id", "product", ">needs", "pieces", "by", ">drawn", ">kept", ">short", "lots")
    rows = [
        (n["id"], n["product"], amount(n["quantity"]), _pieces(n["pieces"]), n.get("by") or "",
         not_zero(n["drawn"]), not_zero(n["reserved"]), not_zero(n["short"]), _lots(n["lots"]))
        for n in needs
    ]  # fmt: skip
    return spaced(table(heads, rows, view), marked(_words(needs), view.width))


def _words(needs: list[Record]) -> list[str]:
    """What is short and what is out of date, once for each product."""
    words: list[str] = []
    for product in dict.fromkeys(need["product"] for need in needs):
        its = [need for need in needs if need["product"] == product]
        words += _short(its)
        words += dict.fromkeys(word for need in its for word in _out_of_date(need))
    return words


def _short(needs: list[Record]) -> list[str]:
    """How much of a product is short for all of a job's needs, and by which day."""
    short = [need for need in needs if need["short"]["value"]]
    if not short:
        return []
    missing = round(sum(need["short"]["value"] for need in short), 6)
    days = sorted({need.get("by") or "" for need in short})
    due = f" by {days[-1]}" if days[-1] else ""
    if len(days) > 1:
        first = next(filter(None, days))
        due = f", the first of it by {first}"
    lacking = amount({"value": missing, "unit": short[0]["short"]["unit"]})
    return [f"{short[0]['product']}: {lacking} short{due}."]


def _out_of_date(need: Record) -> list[str]:
    return [
        f"{need['product']}: lot {lot_name(lot)} ({amount(lot['quantity'])}) is out of date "
        f"{'then' if need.get('by') else 'now'}: it is good until {lot['expires_on']}."
        for lot in need["out_of_date"]
    ]


def _pieces(pieces: list[Record]) -> str:
    return ", ".join(f"{piece['count']} × {amount(piece['length'])}" for piece in pieces)


def _lots(lots: list[Record]) -> str:
    return ", ".join(lot_name(lot) for lot in lots)


def to_buy(answer: Record, view: View) -> list[str]:
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
    return table(heads, rows, view)


def _reasons(item: Record) -> str:
    stock = ["stock"] if item["below_reorder"]["value"] else []
    return ", ".join([*item["jobs"], *stock])
