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


def sawn(answer: dict[str, Any], view: View) -> list[str]:
    """How many sheets it takes, then every sheet's cuts, and how its offcuts come back."""
    size = f"{mark(answer['length'])} × {mark(answer['width'])}"
    pairs = [
        ("sheet", ", ".join(filter(None, (answer["product"], size)))),
        ("whole ones", answer["count"]),
        ("offcuts", len(answer["sheets"]) - answer["count"] or ""),
        ("saw", f"{mark(answer['kerf'])} between pieces"),
        ("left over", _left_over(answer)),
    ]
    blocks = [_block(_sheet(each), each["cuts"], view, "grain") for each in answer["sheets"]]
    return spaced(
        labelled(pairs, view.width),
        *blocks,
        wrapped(_READING, view.width),
        _kept(answer, view),
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


def _sheet(sheet: dict[str, Any]) -> str:
    size = f"{mark(sheet['length'])} × {mark(sheet['width'])}"
    if sheet["lot"] is None:
        return f"From a sheet to buy: {size}"
    what = "the offcut" if sheet["offcut"] else "a sheet of"
    return f"From {what} lot {sheet['number']}, container {sheet['container']}: {size}"


def _kept(answer: dict[str, Any], view: View) -> list[str]:
    """A command for each offcut that is used or left of the store's, to be typed as it stands."""
    job = answer["job"] or "JOB"
    used = [
        f"  cureyard draw --lot {sheet['lot']} all --job {job}"
        for sheet in answer["sheets"]
        if sheet["offcut"]
    ]
    back = [
        f'  cureyard return {sheet["lot"]} "{left["share"]}" --job {job} '
        f'--length "{mark(left["length"])}" --width "{mark(left["width"])}"'
        for sheet in answer["sheets"]
        if sheet["lot"] is not None
        for left in sheet["offcuts"]
    ]
    return [
        *(wrapped("The offcuts that are used up are drawn whole:", view.width) if used else []),
        *used,
        *(wrapped("Worth keeping; once drawn and cut, bring it back:", view.width) if back else []),
        *back,
    ]


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
