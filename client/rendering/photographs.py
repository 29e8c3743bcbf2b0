"""Photographs: what each is of, what it shows, who kept it and when."""

from __future__ import annotations

from ..answers import Record
from .columns import View, labelled, table
from .moments import when


def listed(photographs: list[Record], view: View) -> list[str]:
    """Photographs, one a line."""
    rows = [
        (p["id"], _of(p), p["shows"], when(p["at"], view), p["who"], _taken_back(p))
        for p in photographs
    ]
    return table((">photo", "of", "shows", "kept", "by", "taken back"), rows, view)


def shown(photograph: Record, view: View) -> list[str]:
    """One photograph."""
    size = f"{photograph['width_px']} × {photograph['height_px']} px"
    pairs = [
        (f"photo {photograph['id']}", photograph["shows"]),
        ("of", _of(photograph)),
        ("kept", f"{when(photograph['at'], view)} by {photograph['who']}"),
        ("size", f"{size}, {photograph['size_bytes'] // 1000} kB"),
        ("sha256", photograph["sha256"][:12]),
        ("taken back", _taken_back(photograph)),
    ]
    return labelled(pairs, view.width)


def _of(photograph: Record) -> str:
    nouns = ("job", "layup", "lot", "finding")
    named = [f"{noun} {photograph[noun]}" for noun in nouns if photograph.get(noun) is not None]
    return ", ".join(named)


def _taken_back(photograph: Record) -> str:
    withdrawn = photograph["withdrawn"]
    return f"by {withdrawn['who']}: {withdrawn['reason']}" if withdrawn else ""
