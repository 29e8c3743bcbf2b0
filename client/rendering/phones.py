"""Phones: the code that lets one in, and the list of them."""

from __future__ import annotations

from ..answers import Record
from . import qr
from .columns import View, labelled, table
from .moments import clock, read


def added(phone: Record, view: View) -> list[str]:
    """What to do with a new phone, then its code: the last line ends with the code's own edge."""
    what = [
        f"Until {_at(phone['until'], view)}: scan this with the phone of {phone['name']}, and "
        "press the button on the page.",
    ]
    if phone["fingerprint"]:
        what.append("The phone warns once, since nobody vouches for the yard's certificate. It is")
        what.append(f"the right one with this SHA-256 fingerprint: {phone['fingerprint']}")
    return [*what, phone["address"], *qr.lines(phone["address"])]


def phones_listed(phones: list[Record], view: View) -> list[str]:
    """Phones, one a line."""
    rows = [
        (p["id"], p["name"], p["role"], _state(p, view), _at(p["used_at"], view), p["reason"] or "")
        for p in phones
    ]
    return table((">id", "name", "role", "state", "last used", "reason"), rows, view)


def phone_shown(phone: Record, view: View) -> list[str]:
    """A phone, without its code."""
    pairs = [
        ("id", phone["id"]),
        ("name", phone["name"]),
        ("role", phone["role"]),
        ("state", _state(phone, view)),
        ("added", f"{_at(phone['made_at'], view)} by {phone['made_by']}"),
        ("last used", _at(phone["used_at"], view)),
        ("reason", phone["reason"]),
    ]
    return labelled(pairs, view.width)


def _state(phone: Record, view: View) -> str:
    if phone["state"] == "waiting":
        return f"waiting until {_at(phone['until'], view)}"
    if phone["state"] == "out" and phone["ended_at"]:
        return f"out since {_at(phone['ended_at'], view)}, by {phone['ended_by']}"
    if phone["state"] == "out":
        return "out, not used for 90 days"
    return "did not come in" if phone["state"] == "missed" else "in"


def _at(text: str | None, view: View) -> str:
    return "" if text is None else clock(read(text), view)
