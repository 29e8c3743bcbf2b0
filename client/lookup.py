"""Finds the lot or the pot that a person names by its id or number, or by its label's code."""

from __future__ import annotations

import re

from .answers import Record
from .api import Api, at
from .exits import Forbidden, Refused, Stopped
from .label_codes import scanned

_CODE = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,31}", re.ASCII)
_NUMBER = re.compile(r"[A-Za-z0-9][A-Za-z0-9._/#+ -]{0,31}", re.ASCII)


def lot_id(api: Api, text: str) -> int:
    """The id of the lot that a person names.

    Args:
        text: `12` (an id or a number), `id:12`, `B-2207`, `LAM-PE/B-2207`,
            `LAM-PE/B-2207/2` for one of several containers, or the code on a label. Without a
            container, an offcut is found only if nothing else has that number.

    Raises:
        Stopped: no lot or several lots have that name, or the label is of another yard.
    """
    if (number := scanned(api, text, "lot")) is not None:
        return number
    if text.startswith("id:") and text[3:].isdecimal():
        return int(text[3:])
    by_id = {lot["id"]: lot for parts in _parts(text) for lot in _named(api, *parts)}
    if not by_id and "/" in text:
        by_id = {lot["id"]: lot for lot in _named(api, None, text, None)}
    if text.isdecimal() and (lot := _with_id(api, int(text))):
        by_id[lot["id"]] = lot
    if not by_id:
        advice = _near_names(api, text) or "'cureyard lot list' shows what there is."
        raise Forbidden(f"There is no lot {text!r}.", advice)
    if len(by_id) > 1:
        raise _several(text, list(by_id.values()))
    return int(next(iter(by_id)))


def batch_id(api: Api, text: str) -> int:
    """The id of the pot that a person names: `12`, or the code on its label.

    Raises:
        Stopped: the text is neither, or the label is of another yard.
    """
    if (number := scanned(api, text, "batch")) is not None:
        return number
    if text.isascii() and text.isdecimal():
        return int(text)
    raise Stopped(f"{text!r} is no pot.", "'cureyard batch list' shows what there is.")


def _parts(text: str) -> list[tuple[str | None, str, str | None]]:
    """Product, number and container as the text may mean them: a number may have a slash too."""
    product, slash, number = text.partition("/")
    if not slash:
        return [(None, text, None)]
    if not _CODE.fullmatch(product):
        return []
    shorter, slash, container = number.rpartition("/")
    if slash and _CODE.fullmatch(container):
        return [(product, number, None), (product, shorter, container)]
    return [(product, number, None)]


def _named(api: Api, product: str | None, number: str, container: str | None) -> list[Record]:
    if not _NUMBER.fullmatch(number):
        return []
    try:
        found = api.get(at("lots"), number=number, product=product, limit=200).body["items"]
    except Refused as refused:
        if refused.status == 404:  # there is no such product
            return []
        raise
    return _in_container([lot for lot in found if lot["number"] == number], container)


def _in_container(lots: list[Record], container: str | None) -> list[Record]:
    """The lots in a container; without one, all that are no offcut."""
    if container is not None:
        return [lot for lot in lots if lot["container"] == container]
    return [lot for lot in lots if not lot.get("parent")] or lots


def _with_id(api: Api, number: int) -> Record | None:
    try:
        return api.get(at("lots", number)).body
    except Refused as refused:
        if refused.status == 404:
            return None
        raise


def _near_names(api: Api, text: str) -> str:
    """A question that offers the lots with nearly that name; empty if there are none."""
    from difflib import get_close_matches

    names: dict[str, str] = {}
    for lot in api.get(at("lots"), limit=200).body["items"]:
        full = f"{lot['product']}/{lot['number']}"
        names |= {full.casefold(): full, lot["number"].casefold(): full}
    near = get_close_matches(text.casefold(), names, n=3)
    found = dict.fromkeys(names[key] for key in near)
    return f"Did you mean {' or '.join(found)}?" if found else ""


def _several(text: str, lots: list[Record]) -> Stopped:
    named = "; ".join(
        f"id:{lot['id']} is {lot['product']}/{lot['number']}/{lot['container']}" for lot in lots
    )
    return Stopped(f"{text!r} may be {len(lots)} lots.", f"Say which: {named}.")
