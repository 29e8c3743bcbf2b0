"""The two lines at the foot of the wall: stock and bays, cut to the width of a screen."""

from __future__ import annotations

from flask import url_for

from ...acts.jobs.shopping import BuyView
from ...acts.stock.lot import LotView
from ...acts.wall.wall import BayView, WallView
from ...core.amounts.quantities import TEMPERATURE
from ...core.frozen import frozen
from ..context import clock_faces, records
from ..context.state_words import WORDS
from ..drawings.letters import width

ROOM, LETTER = 1760.0, 29.0
"""The room of a line beside its word, and the size of its letters, px of 1920. Where a wall has few
rows both lines are larger, and have as much less room."""
MARK, GAP = 38.0, 40.0
"""The room of a mark and its space, and of the space after an entry."""


@frozen
class Entry:
    """A lot or a product, with the page that it leads to; `note` is read aloud, and on a phone."""

    text: str
    page: str
    note: str = ""


@frozen
class Kind:
    """Entries of one kind; `more` are not shown. What is an alarm is written as one."""

    mark: str
    word: str
    alarm: bool
    entries: list[Entry]
    more: int = 0

    @property
    def width(self) -> float:
        """What it takes of the line."""
        texts = [entry.text for entry in self.entries]
        more = f" and {self.more} more" if self.more and texts else " 99" if self.more else ""
        return MARK + width(f"{self.word} {', '.join(texts)}{more}", LETTER) + GAP


def stock(shown: WallView, letter: float) -> list[Kind]:
    """What to see to in the store, cut until all has room: what is no alarm first."""
    lots = shown.lots
    kinds = [
        Kind("expired", "out of date", True, _lots(lots.expired)),
        Kind("short", "short", True, [_short(item) for item in shown.short]),
        Kind("held", "held", True, _lots(lots.held)),
        Kind("soon", f"soon {WORDS['expired']}", False, _lots(lots.soon)),
        Kind("undated", "read the date", False, _lots(lots.undated)),
    ]
    kinds = [kind for kind in kinds if kind.entries]
    while sum(kind.width for kind in kinds) > ROOM * LETTER / letter and any(
        kind.entries for kind in kinds
    ):
        cut = max(kinds, key=lambda kind: (bool(kind.entries) > kind.alarm, len(kind.entries)))
        less = Kind(cut.mark, cut.word, cut.alarm, cut.entries[:-1], cut.more + 1)
        kinds[kinds.index(cut)] = less
    return kinds


def bays(shown: WallView, letter: float) -> tuple[list[BayView], int]:
    """The bays that have room, those that want a hand before others; and how many have none."""
    room = ROOM * LETTER / letter
    if sum(map(_bay_width, shown.bays)) <= room:
        return shown.bays, 0
    room -= width("and 99 more", LETTER)
    kept: list[str] = []
    for bay in sorted(shown.bays, key=_calm):
        room -= _bay_width(bay)
        if room > 0:
            kept.append(bay.air.code)
    return [bay for bay in shown.bays if bay.air.code in kept], len(shown.bays) - len(kept)


def _calm(bay: BayView) -> tuple[bool, bool]:
    """The key that sorts bays: too cold for what is in them, then silent."""
    return bay.under is None, bay.silent is None


def _lots(lots: list[LotView]) -> list[Entry]:
    return [
        Entry(
            f"{lot.product} {lot.number}/{lot.container}",
            url_for("lot_page", lot=lot.id),
            _note(lot),
        )
        for lot in lots
    ]


def _note(lot: LotView) -> str:
    """Until when a lot is good, and how that is known; why it is held."""
    told = [lot.hold_reason, None if lot.expires_on else lot.expires_note]
    if lot.expires_on:
        assumed = "assumed " if lot.expires_basis == "received_on" else ""
        told.append(f"{assumed}until {lot.expires_on}")
    return ", ".join(filter(None, told))


def _short(item: BuyView) -> Entry:
    amount = records.stock(item.buy)
    return Entry(f"{item.product} {amount}", url_for("product_page", code=item.product))


def _bay_width(bay: BayView) -> float:
    heat = clock_faces.amount(bay.air.temperature, TEMPERATURE)
    told = f"{bay.air.code} {heat}"
    doubted = None if bay.air.probe is None else bay.air.probe.doubted
    marks = sum(each is not None for each in (bay.under, bay.silent, doubted))
    if bay.humidity is not None:
        told += " 99 %"
    if bay.under is not None:
        told += f" too cold, under {heat}"
    if bay.air.basis != "measured":
        told += " assumed"
    if bay.silent is not None:
        told += f" silent since {clock_faces.clock(bay.silent)}"
    if doubted is not None:
        hot = clock_faces.amount(doubted.temperature, TEMPERATURE)
        told += f" {hot} at {clock_faces.clock(doubted.at)} not believed"
    return width(told, LETTER) + marks * (MARK + 12) + GAP
