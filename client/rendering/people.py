"""Tokens, and what people decided."""

from __future__ import annotations

from typing import Any

from .columns import View, labelled, table
from .moments import clock, read


def made(token: dict[str, Any], view: View) -> list[str]:
    """A new token on a line of its own, whole, so that it can be copied."""
    return [token["token"], *shown(token, view)]


def shown(token: dict[str, Any], view: View) -> list[str]:
    """A token, without its secret."""
    pairs = [
        ("id", token["id"]),
        ("name", token["name"]),
        ("role", token["role"]),
        ("made", _by(token["made_at"], token["made_by"], view)),
        ("revoked", _by(token["revoked_at"], token["revoked_by"], view)),
        ("reason", token["reason"]),
    ]
    return labelled(pairs, view.width)


def listed(tokens: list[dict[str, Any]], view: View) -> list[str]:
    """Tokens, one a line."""
    rows = [
        (t["id"], t["name"], t["role"], _at(t["made_at"], view), _at(t["revoked_at"], view),
         t["reason"] or "")
        for t in tokens
    ]  # fmt: skip
    return table((">id", "name", "role", "made", "revoked", "reason"), rows, view.width)


def subscribed(told: dict[str, Any], view: View) -> list[str]:
    """A new feed's address on a line of its own, whole, so that it can be copied."""
    return [told["address"], *feed(told, view)]


def feeds(found: list[dict[str, Any]], view: View) -> list[str]:
    """Calendar feeds, one a line."""
    rows = [
        (f["id"], _of(f), f["made_by"], _at(f["made_at"], view), _at(f["revoked_at"], view),
         f["reason"] or "")
        for f in found
    ]  # fmt: skip
    return table((">id", "of", "made by", "made", "revoked", "reason"), rows, view.width)


def feed(told: dict[str, Any], view: View) -> list[str]:
    """A calendar feed, without its address."""
    pairs = [
        ("id", told["id"]),
        ("of", _of(told)),
        ("made", _by(told["made_at"], told["made_by"], view)),
        ("revoked", _by(told["revoked_at"], told["revoked_by"], view)),
        ("reason", told["reason"]),
    ]
    return labelled(pairs, view.width)


def _of(feed: dict[str, Any]) -> str:
    of = [f"{noun} {feed[noun]}" for noun in ("job", "bay") if feed[noun]]
    return ", ".join(of) or "the whole yard"


def logbook(entries: list[dict[str, Any]], view: View) -> list[str]:
    """Entries, one a line."""
    rows = [
        (_at(e["at"], view), e["who"], e["kind"], e["about"], e["reason"] or "") for e in entries
    ]
    return table(("at", "who", "what", "about", "reason"), rows, view.width)


def _at(text: str | None, view: View) -> str:
    return "" if text is None else clock(read(text), view.now)


def _by(text: str | None, who: str | None, view: View) -> str:
    return "" if text is None else f"{_at(text, view)} by {who}"
