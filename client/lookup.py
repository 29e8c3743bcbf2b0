"""Which lot or pot a person means: they say its id or number, or scan its label."""

from __future__ import annotations

from typing import Any

from .api import Api, at
from .exits import FORBIDDEN, Refused, Stopped
from .scanned import scanned


def lot_id(api: Api, text: str) -> int:
    """The id of the lot that a person names.

    Args:
        text: `12` (an id or a number), `id:12`, `B-2207`, `LAM-PE/B-2207` or, where a number
            has several containers, `LAM-PE/B-2207/2`; or what a label's code holds. Without a
            container it is not a piece that was cut off.

    Raises:
        Stopped: no such lot, or several; a label of another yard.
    """
    if (number := scanned(api, text, "lot")) is not None:
        return number
    if text.startswith("id:") and text[3:].isdecimal():
        return int(text[3:])
    product, name, container = _parts(text)
    found = api.get(at("lots"), number=name, product=product, limit=200).body["items"]
    ids = {lot["id"]: lot for lot in _named(found, container)}
    if text.isdecimal() and (by_id := _by_id(api, int(text))):
        ids[by_id["id"]] = by_id
    if not ids:
        advice = _meant(api, text) or "'cureyard lot list' shows what there is."
        raise Stopped(f"There is no lot {text!r}.", advice, FORBIDDEN)
    if len(ids) > 1:
        raise _several(text, list(ids.values()))
    return int(next(iter(ids)))


def batch_id(api: Api, text: str) -> int:
    """The id of the pot that a person names: `12`, or what its label's code holds.

    Raises:
        Stopped: it is neither; a label of another yard.
    """
    if (number := scanned(api, text, "batch")) is not None:
        return number
    if text.isascii() and text.isdecimal():
        return int(text)
    raise Stopped(f"{text!r} is no pot.", "'cureyard batch list' shows what there is.")


def _parts(text: str) -> tuple[str | None, str, str | None]:
    match text.split("/"):
        case [product, number]:
            return product, number, None
        case [product, number, container]:
            return product, number, container
        case _:
            return None, text, None


def _named(lots: list[dict[str, Any]], container: str | None) -> list[dict[str, Any]]:
    """The lots of a number that are in a container; without one, those that are no offcut."""
    if container is not None:
        return [lot for lot in lots if lot["container"] == container]
    return [lot for lot in lots if not lot.get("parent")] or lots


def _by_id(api: Api, number: int) -> dict[str, Any] | None:
    try:
        found: dict[str, Any] = api.get(at("lots", number)).body
    except Refused as refused:
        if refused.status == 404:
            return None
        raise
    return found


def _meant(api: Api, text: str) -> str:
    """The lots whose names are near to what was typed, as a question."""
    from difflib import get_close_matches

    names: dict[str, str] = {}
    for lot in api.get(at("lots"), limit=200).body["items"]:
        full = f"{lot['product']}/{lot['number']}"
        names |= {full.casefold(): full, lot["number"].casefold(): full}
    near = get_close_matches(text.casefold(), names, n=3)
    found = dict.fromkeys(names[key] for key in near)
    return f"Did you mean {' or '.join(found)}?" if found else ""


def _several(text: str, lots: list[dict[str, Any]]) -> Stopped:
    named = "; ".join(
        f"id:{lot['id']} is {lot['product']}/{lot['number']}/{lot['container']}" for lot in lots
    )
    return Stopped(f"{text!r} may be {len(lots)} lots.", f"Say which: {named}.")
