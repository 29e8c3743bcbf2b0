"""What a job used: the account that a surveyor asks for."""

from __future__ import annotations

from ..answers import Money, Record
from . import signatures
from .amounts import amount, money, not_zero, percent
from .columns import View, marked, spaced, table
from .heads import pinned
from .moments import short
from .stock import lot_name


def shown(used: Record, view: View) -> list[str]:
    """Planned and drawn amounts first; then lots with their cost, pots, layups and people."""
    return spaced(
        [f"job {used['job']}  {used['title']}, {used['craft']}"],
        _products(used["products"], view),
        _lots(used["lots"], used["totals"], view),
        _returned(used.get("returned", []), view),
        _pots(used["batches"], view),
        _layups(used["layups"], view),
        _acceptance(used.get("acceptance", []), view),
        _people(used["people"], view),
        marked(used.get("warnings"), view.width),
        marked(_overrides(used["overrides"]), view.width),
        *(
            marked(signatures.lines(each, view), view.width, "- ")
            for each in used.get("signatures", [])
        ),
        [pinned(used["head"])] if used["head"] else [],
    )


def _products(rows: list[Record], view: View) -> list[str]:
    cells = [
        (r["product"], r["name"], *(not_zero(r[name]) for name in ("planned", "drawn", "wasted")))
        for r in rows
    ]
    return table(("product", "name", ">planned", ">drawn", ">wasted"), cells, view)


def _lots(rows: list[Record], totals: list[Money], view: View) -> list[str]:
    cells = [
        (r["product"], lot_name(r), _good_until(r), amount(r["used"]), money(r["cost"]))
        for r in rows
    ]
    cells += [("in all", "", "", "", money(total)) for total in totals]
    return table(("lots", "lot", "good until", ">used", ">cost"), cells, view)


def _returned(rows: list[Record], view: View) -> list[str]:
    cells = [
        (r["product"], lot_name(r), "an offcut" if r["offcut"] else "into the lot",
         amount(r["quantity"]), short(r["at"], view), r["who"])
        for r in rows
    ]  # fmt: skip
    return table(("brought back", "lot", "as", ">amount", "at", "who"), cells, view)


def _good_until(lot: Record) -> str:
    """The lot's last day as it was known when the lot was last used."""
    day = lot.get("good_until_then") or ""
    day += " assumed" * (lot.get("good_until_basis") == "received_on")
    return f"{day}, out of date" if lot.get("in_date_then") is False else day


def _pots(rows: list[Record], view: View) -> list[str]:
    cells = [
        (r["id"], r["resin"], amount(r["amount"]), percent(r.get("catalyst_percent")),
         amount(r["temperature"]), short(r["mixed_at"], view), r["who"])
        for r in rows
    ]  # fmt: skip
    heads = (">pot", "resin", ">amount", ">catalyst", ">at", "mixed", "who")
    return table(heads, cells, view)


def _layups(rows: list[Record], view: View) -> list[str]:
    cells = [
        (r["id"], r["title"], r["bay"], short(r["applied_at"], view), _cured(r["cured"]),
         r["who"])
        for r in rows
    ]  # fmt: skip
    return table((">layup", "title", "bay", "laid up", "cured at", "who"), cells, view)


def _acceptance(rows: list[Record], view: View) -> list[str]:
    cells = [
        (r["layup"], r["title"], "yes" if r["accepted"] else "; ".join(r["lacks"])) for r in rows
    ]
    return table((">layup", "answers for its stack", "accepted"), cells, view)


def _cured(cured: Record | None) -> str:
    if cured is None:
        return ""
    low, mean, high = (amount(cured[name]) for name in ("min", "mean", "max"))
    mixed = cured["basis"] == "mixed"
    known = f"{percent(cured['measured_percent'])} measured" if mixed else cured["basis"]
    return f"{low} to {high}, mean {mean} ({known})"


def _people(rows: list[Record], view: View) -> list[str]:
    return table(("who", "did", ">times"), [(r["who"], r["did"], r["times"]) for r in rows],
                 view)  # fmt: skip


def _overrides(rows: list[Record]) -> list[str]:
    return [f"{r['who']} overrode {r['slug']}: {r['reason']}." for r in rows]
