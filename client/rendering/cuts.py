"""Cut lists: where on a roll or a sheet every piece is cut, for whoever has only the print."""

from __future__ import annotations

from typing import Any

from .amounts import Quantity, amount, number
from .columns import View, labelled, marked, spaced, table, wrapped


def rolled(answer: dict[str, Any], view: View) -> list[str]:
    """How much roll it takes, then every roll's cuts in the order along it."""
    pairs = [
        ("roll", ", ".join(filter(None, (answer["product"], f"{mark(answer['width'])} wide")))),
        ("takes", f"{amount(answer['length'])} of it"),
        ("left over", _left_over(answer)),
        ("turning", _TURNS[answer["turn"]]),
    ]
    blocks = [_block(_roll(each), each["cuts"], view, "roll") for each in answer["rolls"]]
    return spaced(
        labelled(pairs, view.width),
        *blocks,
        wrapped(_READING, view.width),
        marked(answer["cautions"], view.width),
        marked(answer["advice"], view.width, "- "),
    )


def mark(quantity: Quantity) -> str:
    """A size to mark: tenths of a millimetre, hundredths of an inch."""
    places = 2 if quantity["unit"] == "in" else 1
    return f"{number(round(quantity['value'], places))} {quantity['unit']}"


_TURNS = {
    "quarter": "plies may lie along the roll or across it",
    "half": "every ply keeps its direction along the roll",
}

_READING = (
    "Start: from the cut end, along. Left: from the left edge, looking along from the cut end. "
    "Long: along; wide: across. An oval is cut out of that rectangle."
)


def _left_over(answer: dict[str, Any]) -> str:
    return f"{amount(answer['waste'])}, {number(answer['waste_percent'])} % of it"


def _roll(roll: dict[str, Any]) -> str:
    if roll["lot"] is None:
        return f"From a roll to buy or measure: {amount(roll['length'])}"
    where = f"lot {roll['number']}, container {roll['container']}"
    return f"From {where}: {amount(roll['length'])} of {amount(roll['free'])} free"


def _block(heading: str, cuts: list[dict[str, Any]], view: View, along: str) -> list[str]:
    heads = (">cut", "for", "shape", ">start", ">left", ">long", ">wide", "direction")
    rows = [
        (
            cut["ply"],
            cut["name"],
            "strip" if cut["shape"] == "seam" else cut["shape"],
            *(mark(cut[name]) for name in ("start", "edge", "length", "width")),
            f"across the {along}" if cut["turned"] else f"along the {along}",
        )
        for cut in cuts
    ]
    return [*wrapped(heading, view.width), *table(heads, rows, view.width)]
