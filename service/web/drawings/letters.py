"""How wide a text is on the wall, and what is cut of one that has no room.

Widths are those of the bold of the wall's typeface, in thousandths of its size (the metrics of
Helvetica Bold, from memory; Liberation Sans and Arial have the same).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from functools import cache

_BY_WIDTH = {
    238: "'", 278: " ,./Iijl\\", 280: "|", 333: "!()-:;`[]ft", 389: "*r{}", 474: '"',
    500: "z", 556: "#$_Jaceksvxy0123456789", 584: "+<=>^~", 611: "?FLTZbdghnopqu",
    667: "EPSVXY", 722: "&ABCDHKNRU", 778: "GOQw", 833: "M", 889: "%m", 944: "W", 975: "@",
}  # fmt: skip
_WIDTHS = {letter: width for width, letters in _BY_WIDTH.items() for letter in letters}
_OTHER = 1000
"""Any letter that is not listed: as wide as it is high."""
CUT = "…"
ORPHAN = 1
"""So few letters of a word say nothing."""
BEFORE = (0.5, 0.35, 0.2, 0.05)
"""The shares of the room that stand before a cut; the first that tells titles apart is taken."""


def width(text: str, size: float) -> float:
    """The width of a text in bold letters of a size, in the size's own unit."""
    return sum(_width(letter) for letter in text) * size / 1000


@cache
def _width(letter: str) -> int:
    if letter in _WIDTHS or letter == CUT:
        return _WIDTHS.get(letter, _OTHER)
    return _WIDTHS.get(unicodedata.normalize("NFKD", letter)[0], _OTHER)


def cut_end(text: str, size: float, room: float) -> str:
    """A text with its end cut off, if it has no room; no single letter of a word is left over."""
    if width(text, size) <= room:
        return text
    kept = _fitting(text, size, room - width(CUT, size))
    words, space, last = kept.rpartition(" ")
    if space and len(last) <= ORPHAN and text[len(kept)] != " ":
        kept = words
    return kept.rstrip(" ,") + CUT


def cut_middle(text: str, size: float, room: float, before: float = BEFORE[0]) -> str:
    """A text with its middle cut out, if it has no room; so much of the room stands before it."""
    if width(text, size) <= room:
        return text
    left = room - width(CUT, size)
    head = _fitting(text, size, left * before)
    tail = _fitting(text[::-1], size, left - width(head, size))[::-1]
    return head.rstrip(" ,") + CUT + tail.lstrip(" ,")


def _fitting(text: str, size: float, room: float) -> str:
    """The longest beginning of a text that has room."""
    count = 0
    while count < len(text) and (room := room - width(text[count], size)) >= 0:
        count += 1
    return text[:count]


def cut_apart(texts: Sequence[str], size: float, rooms: Sequence[float]) -> list[str]:
    """Texts cut in their middles so that no two that differ look alike, if that can be done."""
    cuts = [cut_middle(text, size, room) for text, room in zip(texts, rooms, strict=True)]
    for before in BEFORE[1:]:
        twins = [place for place in range(len(cuts)) if _has_twin(cuts, texts, place)]
        for place in twins:
            cuts[place] = cut_middle(texts[place], size, rooms[place], before)
    return cuts


def _has_twin(cuts: Sequence[str], texts: Sequence[str], place: int) -> bool:
    return any(
        cuts[place] == cut and texts[place] != text for cut, text in zip(cuts, texts, strict=True)
    )
