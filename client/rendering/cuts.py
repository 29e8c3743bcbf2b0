"""Cut lists: where on a roll or a sheet every piece is cut. The print alone must be enough."""

from __future__ import annotations

from ..answers import Quantity, Record
from .amounts import amount, number
from .columns import View, labelled, marked, spaced, table, wrapped


def rolled(answer: Record, view: View) -> list[str]:
    """The length of roll that it takes, then the cuts of each roll in their order along it."""
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


def sawn(answer: Record, view: View) -> list[str]:
    """The number of sheets, then the cuts of each sheet, and how to bring its offcuts back."""
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
        _commands(answer, view),
        marked(answer["cautions"], view.width),
        marked(answer["advice"], view.width, "- "),
    )


def mark(quantity: Quantity) -> str:
    """A size to mark, to a tenth of a millimetre or a hundredth of an inch."""
    places = 2 if quantity["unit"] == "in" else 1
    return f"{number(round(quantity['value'], places))} {quantity['unit']}"


_TURNS = {
    "quarter": "plies may lie along the roll or across it",
    "half": "every ply keeps its direction along the roll",
}

_READING = (
    "Start: distance from the cut end. Left: distance from the left edge, looking from the cut "
    "end. Long: along; wide: across. An oval is cut out of that rectangle."
)


def _left_over(answer: Record) -> str:
    return f"{amount(answer['waste'])}, {number(answer['waste_percent'])} % of it"


def _roll(roll: Record) -> str:
    if roll["lot"] is None:
        return f"From a roll to buy or measure: {amount(roll['length'])}"
    where = f"lot {roll['number']}, container {roll['container']}"
    return f"From {where}: {amount(roll['length'])} of {amount(roll['free'])} free"


def _sheet(sheet: Record) -> str:
    size = f"{mark(sheet['length'])} × {mark(sheet['width'])}"
    if sheet["lot"] is None:
        return f"From a sheet to buy: {size}"
    what = "the offcut" if sheet["offcut"] else "a sheet of"
    return f"From {what} lot {sheet['number']}, container {sheet['container']}: {size}"


def _commands(answer: Record, view: View) -> list[str]:
    """The commands for each offcut that is used and each that is left over, ready to type."""
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
        *(wrapped("Draw each offcut that is used as a whole:", view.width) if used else []),
        *used,
        *(wrapped("Worth keeping: draw it, cut it and bring it back:", view.width) if back else []),
        *back,
    ]


def _block(heading: str, cuts: list[Record], view: View, along: str) -> list[str]:
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
    return [*wrapped(heading, view.width), *table(heads, rows, view)]
