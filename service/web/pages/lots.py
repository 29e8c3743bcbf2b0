"""Lots: the list, and one lot's life: where it stood, how warm, and where it went."""

from __future__ import annotations

from typing import Any

from flask import Flask

from ...acts import finding, list_stock, trace_lot
from ..request import now
from ..resources.lots import STATES
from . import base, lists, paper

SHOWN = ("all", *STATES)
"""What the list may be narrowed to; else it has what is in stock."""


def add(app: Flask) -> None:
    """Put these pages into an application."""
    app.add_url_rule("/lots", "lots_page", base.looks(list_lots))
    app.add_url_rule("/lots/<id:lot>", "lot_page", base.looks(show_lot))


def list_lots() -> str:
    """Lots by age."""
    state = lists.chosen("state", SHOWN)
    wanted: dict[str, Any] = {"in_stock": True} if state is None else {"state": state}
    if state == "all":
        wanted = {}
    page = lists.listed(lambda after, n: list_stock.list_lots(after, n, now(), **wanted))
    return base.sheet("lots.html", lots=page, state=state, states=SHOWN)


def show_lot(lot: int) -> str:
    """All that is on record of a lot."""
    row = finding.lot(lot)
    told = trace_lot.trace_lot(row, now())
    foot = paper.of("lot", row.number)
    return base.sheet("lot.html", foot=foot, told=told, lot=told["lot"], product=row.product)
