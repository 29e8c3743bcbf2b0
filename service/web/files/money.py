"""Money in a table: `92.00 EUR` or `4.60 EUR/kg` in a cell, `Cost (EUR)` over a column."""

from __future__ import annotations

import re
from collections.abc import Iterable

from ...core.errors import Invalid
from .headings import spelt

Told = dict[str, tuple[str, str]]
"""A row: for each field its cell, and the unit in its column's heading."""

_SIGNS = {"€": "EUR", "£": "GBP"}
"""Signs of one currency only; a dollar is several."""
_CURRENCY = r"(?P<currency>[A-Za-z]{3})(?:\s*(?:/|\sper\s)\s*(?P<per>\S.*))?"
_CELL = re.compile(rf"(?P<amount>[\d.,]+)\s*{_CURRENCY}")
_HEADING = re.compile(_CURRENCY)


def parted(told: Told, columns: Iterable[str]) -> Told:
    """A row with plain amounts of money, and currency and unit in fields of their own.

    Args:
        columns: the fields that are money.

    Raises:
        Invalid: a cell has another currency or unit than the row's own field for it.
    """
    row = dict(told)
    for name in columns:
        cell, heading = row.get(name, ("", ""))
        if not cell:
            continue
        cell, heading = _by_code(cell), _by_code(heading)
        row[name] = (cell, heading)
        if found := _CELL.fullmatch(cell):
            row[name] = (found["amount"], "")
            said = {"currency": found["currency"], "per": found["per"]}
            row |= {key: (_agreed(row, name, key, text), "") for key, text in said.items() if text}
        elif heading:
            found = _HEADING.fullmatch(heading)
            said = {"currency": found["currency"], "per": found["per"]} if found else {}
            said = said or {"currency": heading}  # for the field to refuse: '€' is no ISO code
            row |= {key: (text, "") for key, text in said.items() if text and not _cell(row, key)}
    return row


def _by_code(text: str) -> str:
    """A text with its currency's sign written as a code after the amount: `€142.50/kg`."""
    for sign, code in _SIGNS.items():
        if sign in text:
            amount, *per = re.split(r"\s*/\s*|\s+per\s+", text.replace(sign, ""), maxsplit=1)
            return "/".join([f"{amount.strip()} {code}".strip(), *per])
    return text


def _agreed(row: Told, name: str, key: str, text: str) -> str:
    text = text.upper() if key == "currency" else text.strip()
    other = _cell(row, key)
    if other and other.casefold() != text.casefold():
        raise Invalid(
            f"The {spelt(name)} is in {text}, and the {key} is {other}.",
            advice="Leave one of the two out.",
            pointer=f"/{name}",
        )
    return text


def _cell(row: Told, name: str) -> str:
    return row.get(name, ("", ""))[0]
