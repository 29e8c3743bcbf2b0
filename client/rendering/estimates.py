"""The estimates of a repair: taper, laminate, plies and tabbing."""

from __future__ import annotations

from itertools import groupby

from ..answers import Quantity, Record
from .amounts import amount, number
from .columns import View, labelled, marked, spaced, table

_ORDERS = {"largest_first": "largest first", "smallest_first": "smallest first"}


def tapered(answer: Record, view: View) -> list[str]:
    """What to grind, then the plies in the order of laying, then what that order means."""
    pairs = [
        ("grind", _ground(answer)),
        ("left over", fine(answer["left_over"]) if answer["left_over"]["value"] else ""),
        ("proud", fine(answer["proud"]) if answer["proud"]["value"] else ""),
        ("verdict", answer["verdict"]),
        ("cloth", amount(answer["area"])),
        ("lay", f"{_ORDERS[answer['order']]}, ply {_sequence(answer)}"),
    ]
    meaning = f"{_ORDERS[answer['order']].capitalize()}. {answer['meaning'][answer['order']]}"
    return spaced(
        labelled(pairs, view.width),
        _cuts(answer["plies"], view),
        marked(answer["cautions"], view.width),
        marked([meaning, *answer["advice"]], view.width, "- "),
    )


def laminated(answer: Record, view: View) -> list[str]:
    """The totals of the stack by the chosen method, then by the other one."""
    other = answer["other"]
    lines = labelled(_total(answer), view.width)
    beside = labelled(_total(other), view.width) if other else []
    return spaced(
        lines, beside, _stack(answer["plies"], view), marked(answer["cautions"], view.width)
    )


def counted(answer: Record, view: View) -> list[str]:
    """How many plies, and what is left over."""
    pairs = [
        ("plies", answer["count"]),
        ("thickness", fine(answer["thickness"])),
        ("left over", fine(answer["left_over"])),
    ]
    return spaced(
        labelled(pairs, view.width),
        _stack(answer["plies"], view),
        marked(answer["cautions"], view.width),
        marked(answer["advice"], view.width, "- "),
    )


def taped(answer: Record, view: View) -> list[str]:
    """The strips in the order of laying, then the putty."""
    heads = (">ply", ">pieces", ">length", ">width", ">leg")
    rows = [
        (p["ply"], p["pieces"], _mark(p["length"]), _mark(p["width"]), _mark(p["leg"]))
        for p in answer["plies"]
    ]
    fillet = answer["fillet"]
    pairs = [("cloth", amount(answer["area"]))]
    if fillet["volume"]["value"]:
        pairs += [
            ("putty", ", ".join(filter(None, (volume(fillet["volume"]), amount(fillet["mass"]))))),
            ("waste", f"{volume(fillet['waste'])} more"),
            ("fillet", f"up to {fine(fillet['touches'])} from the corner"),
            *filled(fillet.get("filled")),
        ]
    return spaced(
        table(heads, rows, view),
        labelled(pairs, view.width),
        marked(answer["cautions"], view.width),
    )


def filled(mix: Record | None, *, in_coats: bool = False) -> list[tuple[str, str]]:
    """A filled mix: what to weigh for it, waste included, and in how many layers to lay it.

    Args:
        in_coats: whether its layers are told already, as coats.
    """
    if mix is None:
        return []
    hardener, percent = mix["hardener"], mix["catalyst_percent_max"]
    most = "" if percent is None else f" (at most {percent:g} %)"
    word = "hardener" if percent is None else "catalyst"
    build, layers = amount(mix["build_max"]), mix["layers"]
    return [
        ("resin", f"{amount(mix['resin_mass'])} of {mix['resin']}"),
        (word, f"{amount(mix['hardener_mass'])} of {hardener}{most}" if hardener else ""),
        ("filler", f"{amount(mix['filler_mass'])} of {mix['filler']}"),
        ("makes", f"{amount(mix['volume'])} at {amount(mix['density'])}, waste included"),
        ("stands", mix["consistency"].replace("_", " ")),
        ("layers", f"{layers}, each at most {build}" if layers and not in_coats else ""),
    ]


def to_weigh(needs: list[Record]) -> str:
    """What is needed of each product that is weighed, its waste included."""
    whole: dict[tuple[str, str], float] = {}
    for each in needs:
        value, unit = each["quantity"].split(" ", 1)
        key = each["product"], unit
        whole[key] = whole.get(key, 0) + float(value)
    return ", ".join(
        f"{amount({'value': value, 'unit': unit})} of {product}"
        for (product, unit), value in whole.items()
    )


def fine(quantity: Quantity) -> str:
    """A thickness, to a hundredth of a millimetre or a thousandth of an inch."""
    places = 3 if quantity["unit"] == "in" else 2
    return f"{number(round(quantity['value'], places))} {quantity['unit']}"


def _mark(quantity: Quantity) -> str:
    """A size to mark on cloth, to a millimetre or a tenth of an inch."""
    places = 1 if quantity["unit"] == "in" else 0
    return f"{number(round(quantity['value'], places))} {quantity['unit']}"


def volume(quantity: Quantity) -> str:
    """A volume: less than a litre in millilitres."""
    if quantity["unit"] == "L" and quantity["value"] < 1:
        return f"{number(round(quantity['value'] * 1000))} mL"
    return amount(quantity)


def _ground(answer: Record) -> str:
    width, depth = _mark(answer["ground_width"]), fine(answer["ground_depth"])
    two = answer["ground_depth"]["value"] < answer["thickness"]["value"]
    return f"{width} a side, {depth} deep{', on each face' if two else ''}"


def _cuts(plies: list[Record], view: View) -> list[str]:
    two = any(p["face"] > 1 for p in plies)
    heads = (
        ">ply",
        "face",
        "of",
        "shape",
        ">length",
        ">width",
        ">corner",
        ">past the edge",
        ">short side",
    )
    rows = [
        (
            p["ply"],
            p["face"] if two else "",
            p["name"],
            "strip" if p["shape"] == "seam" else p["shape"],
            _mark(p["length"]),
            _mark(p["width"]),
            _mark(p["corner"]) if p["corner"] else "",
            _mark(p["reach"]),
            _mark(p["short_reach"]) if p["short_reach"] != p["reach"] else "",
        )
        for p in plies
    ]
    return table(heads, rows, view)


def _sequence(answer: Record) -> str:
    return ", ".join(map(str, answer["orders"][answer["order"]]))


def _total(totals: Record) -> list[tuple[str, str]]:
    method = {"each_ply": "each ply by its own fibre", "combination": "as one combination"}
    masses = [totals[name] for name in ("fibre", "resin", "waste", "mix")]
    pairs = [
        ("counted", method[totals["method"]]),
        ("thickness", fine(totals["thickness"])),
        ("fibre", f"{number(round(totals['fibre_fraction'] * 100, 1))} % of the mass"),
        ("resin", f"{_weight(totals['resin_weight'])} on {_weight(totals['fibre_weight'])}"),
    ]
    if masses[0] is not None:
        fibre, resin, waste, mix = (amount(mass) for mass in masses)
        pairs.append(("takes", f"{fibre} of fibre, {resin} of resin"))
        pairs.append(("mix", f"{mix}: {waste} of it for waste"))
    return pairs


def _weight(areal: Quantity) -> str:
    """A weight per area, to a gram or a tenth of an ounce."""
    places = 0 if areal["unit"] == "g/m**2" else 1
    return amount({"value": round(areal["value"], places), "unit": areal["unit"]})


def _stack(plies: list[Record], view: View) -> list[str]:
    rows = []
    for (name, fraction), alike in groupby(plies, lambda p: (p["name"], p["fibre_fraction"])):
        same = list(alike)
        which = str(same[0]["ply"]) if len(same) == 1 else f"{same[0]['ply']}-{same[-1]['ply']}"
        share = "" if fraction is None else number(fraction)
        rows.append((which, name, share, fine(same[0]["thickness"])))
    return table((">ply", "of", ">fibre", ">each"), rows, view)
