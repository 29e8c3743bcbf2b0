"""Tokens, calendar addresses, and the logbook."""

from __future__ import annotations

from ..answers import Record
from .columns import View, labelled, table
from .moments import clock, read


def token_made(token: Record, view: View) -> list[str]:
    """A new token, unbroken on its own line, so that it can be copied."""
    return [token["token"], *token_shown(token, view)]


def token_shown(token: Record, view: View) -> list[str]:
    """A token, without its secret."""
    pairs = [
        ("id", token["id"]),
        ("name", token["name"]),
        ("role", token["role"]),
        ("bay", token.get("bay")),
        ("kind", token["kind"]),
        ("made", _by(token["made_at"], token["made_by"], view)),
        ("revoked", _by(token["revoked_at"], token["revoked_by"], view)),
        ("reason", token["reason"]),
    ]
    return labelled(pairs, view.width)


def tokens_listed(tokens: list[Record], view: View) -> list[str]:
    """Tokens, one a line."""
    rows = [
        (t["id"], t["name"], _role(t), t["kind"], _at(t["made_at"], view),
         _at(t["revoked_at"], view), t["reason"] or "")
        for t in tokens
    ]  # fmt: skip
    return table((">id", "name", "role", "kind", "made", "revoked", "reason"), rows, view)


def _role(token: Record) -> str:
    return " ".join(filter(None, (token["role"], token.get("bay"))))


def subscribed(feed: Record, view: View) -> list[str]:
    """The address of a new calendar feed, unbroken on its own line, so that it can be copied."""
    return [feed["address"], *feed_shown(feed, view)]


def feeds_listed(feeds: list[Record], view: View) -> list[str]:
    """Calendar feeds, one a line."""
    rows = [
        (f["id"], _of(f), f["made_by"], _at(f["made_at"], view), _at(f["revoked_at"], view),
         f["reason"] or "")
        for f in feeds
    ]  # fmt: skip
    return table((">id", "of", "made by", "made", "revoked", "reason"), rows, view)


def feed_shown(feed: Record, view: View) -> list[str]:
    """A calendar feed, without its address."""
    pairs = [
        ("id", feed["id"]),
        ("of", _of(feed)),
        ("made", _by(feed["made_at"], feed["made_by"], view)),
        ("revoked", _by(feed["revoked_at"], feed["revoked_by"], view)),
        ("reason", feed["reason"]),
    ]
    return labelled(pairs, view.width)


def _of(feed: Record) -> str:
    of = [f"{noun} {feed[noun]}" for noun in ("job", "bay") if feed[noun]]
    return ", ".join(of) or "the whole yard"


def logbook(entries: list[Record], view: View) -> list[str]:
    """Entries of the logbook, one a line."""
    rows = [
        (_at(e["at"], view), e["who"], e["kind"], e["about"], e["reason"] or "") for e in entries
    ]
    return table(("at", "who", "what", "about", "reason"), rows, view)


def _at(text: str | None, view: View) -> str:
    return "" if text is None else clock(read(text), view)


def _by(text: str | None, who: str | None, view: View) -> str:
    return "" if text is None else f"{_at(text, view)} by {who}"
