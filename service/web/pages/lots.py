"""Lots: the list, and one lot's life: where it stood, how warm, and where it went."""

from __future__ import annotations

import re
from typing import Any

from flask import Flask, request

from ...acts.jobs import trace
from ...acts.stock.lot import LotView
from ...acts.stock.lot import list_lots as lots_of
from ...acts.yard import finding
from ..context.request import now
from ..fields import CODE
from ..resources.lots import STATES
from . import base, lists, paper

SHOWN = ("all", *STATES)
"""The states that the list may be narrowed to; without one it has the lots in stock."""


def add(app: Flask) -> None:
    """Add these pages to an application."""
    app.add_url_rule("/lots", "lots_page", base.looks(list_lots))
    app.add_url_rule("/lots/<id:lot>", "lot_page", base.looks(show_lot))


def list_lots() -> str:
    """Lots by age: those in stock, of a state, or of a number in any state."""
    state, number = lists.chosen("state", SHOWN), request.args.get("number", "").strip()
    narrowed = {None: {"in_stock": True}, "all": {}}.get(state, {"state": state})
    wanted: dict[str, Any] = {"number": number} if number else narrowed
    page = lists.listed(lambda after, n: _found(after, n, wanted), "state", "number")
    return base.sheet("lots.html", lots=page, number=number, state=state, states=SHOWN)


def _found(after: int | None, limit: int, wanted: dict[str, Any]) -> list[LotView]:
    """Such lots; none where the number is not one that a lot can have."""
    if re.fullmatch(CODE, wanted.get("number", "1"), re.ASCII) is None:
        return []
    return lots_of(after, limit, now(), **wanted)


def show_lot(lot: int) -> str:
    """Everything on record about a lot."""
    row = finding.lot(lot)
    traced = trace.trace_lot(row, now())
    return base.sheet(
        "lot.html",
        foot=paper.of("lot", row.number),
        told=traced,
        lot=traced.lot,
        product=row.product,
        parent=finding.lot(row.parent_id) if row.parent_id else None,
    )
