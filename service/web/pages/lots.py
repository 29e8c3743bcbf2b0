"""Lots: the list, one lot's life, and what a hand does with it by thumb.

A lot that is held or out of date offers no draw.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from flask import Flask, request, url_for

from ...acts.jobs import trace
from ...acts.jobs.job import list_jobs
from ...acts.jobs.photographs import standing_photographs
from ...acts.products.stuff import kind_of
from ...acts.stock import take_back
from ...acts.stock.change_lot import change_lot
from ...acts.stock.count import count, is_doubtful
from ...acts.stock.draw import draw
from ...acts.stock.lot import LotView
from ...acts.stock.lot import list_lots as lots_of
from ...acts.stock.movement import MovementView, show_line
from ...acts.stock.reverse import reverse
from ...acts.yard import finding, moments, permissions
from ...core.errors import AlreadyExists, Invalid, NotAllowed, NotFound
from ...core.frozen import frozen
from ...core.products.materials import CURING_ROLES
from ...store.engine.turns import Turn
from ...store.stock import lots as shelf
from ...store.stock.lines import is_reversed
from ...store.stock.lots import Lot, LotEvent
from .. import fields
from ..context.request import hand, now, units
from ..fields import CODE
from ..fields.schemas import Loaded
from ..http import forms
from ..resources.bodies import STOCK
from ..resources.lots import STATES
from . import base, lists, paper
from .layups import NOT_SO

SHOWN = ("all", *STATES)
"""The states that the list may be narrowed to; without one it has the lots in stock."""
MOST_JOBS = 200
"""Most open jobs to choose from."""
UNUSABLE = frozenset({"held", "expired"})
"""States of a lot that offers no draw."""


class NothingForm(forms.Form):
    """A form of one button."""


class DrawForm(forms.Form):
    """What is drawn for which job."""

    quantity = fields.StockQuantity(STOCK, required=True, positive=True)
    job = fields.Code(required=True)


class CountForm(forms.Form):
    """What is on the shelf; `sure` is what was doubted and is so."""

    quantity = fields.StockQuantity(STOCK, required=True)
    sure = fields.StockQuantity(STOCK)


class ReasonForm(forms.Form):
    """Why a lot is held, or let go."""

    reason = fields.Text(required=True)


class UndoForm(forms.Form):
    """What is taken back: a line of the ledger, or a hold or an opening."""

    line = fields.Integer(least=1)
    event = fields.Choice(("held", "opened"))


@frozen
class Done:
    """What was just done with a lot: a line of the ledger, or an event of the lot.

    Attributes:
        undo: the hidden field of the form that takes it back; None where nobody may.
        undone: whether it was taken back.
    """

    line: MovementView | None = None
    event: LotEvent | None = None
    undo: tuple[str, str | int] | None = None
    undone: bool = False


def add(app: Flask) -> None:
    """Add these pages to an application."""
    app.add_url_rule("/lots", "lots_page", base.looks(list_lots))
    app.add_url_rule("/lots/<id:lot>", "lot_page", base.looks(show_lot))
    here, page = "/lots/<id:lot>", base.looks(show_lot)
    forms.add_act(app, f"{here}/open", "lot_open", page, open_lot, NothingForm, turn=Turn.BESIDE)
    forms.add_act(app, f"{here}/undo", "lot_undo", page, undo, UndoForm, turn=Turn.BESIDE)
    for name, act, form in (
        ("draw", draw_lot, DrawForm),
        ("count", count_lot, CountForm),
        ("hold", hold_lot, ReasonForm),
    ):
        forms.add_act(
            app, f"{here}/{name}", f"lot_{name}", _asking(name), act, form, turn=Turn.BESIDE
        )
    forms.add_act(app, f"{here}/release", "lot_release", _asking("release"), release_lot,
                  ReasonForm, role="lead", turn=Turn.BESIDE)  # fmt: skip


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
    """Everything on record about a lot; after an act, what was done."""
    row = finding.lot(lot)
    traced = trace.trace_lot(row, now())
    done = None if forms.again().refusal else _done(row)
    return base.sheet(
        "lot.html",
        foot=paper.of("lot", row.number),
        told=traced,
        lot=traced.lot,
        product=row.product,
        parent=finding.lot(row.parent_id) if row.parent_id else None,
        usable=traced.lot.state not in UNUSABLE,
        mixes=row.product.role in CURING_ROLES - {"filler"},
        done=done,
        hold=_taken_back(row, take_back.last_hold(row)),
        opening=_taken_back(row, take_back.last_opening(row)),
        lead=hand().is_at_least("lead"),
        photographs=standing_photographs(row),
    )


def open_lot(read: Loaded, lot: int) -> str:
    """Note that a lot is opened today.

    Raises: AlreadyExists: it was opened before.
    """
    row = finding.lot_to_change(lot)
    if row.opened_on is not None:
        raise AlreadyExists(f"It was opened on {row.opened_on}.", advice="A lead corrects the day.")
    change_lot(row, opened_on=moments.day_of(now()), now=now(), hand=hand())
    return _event_of(row)


def hold_lot(read: Loaded, lot: int) -> str:
    """Hold a lot."""
    row = finding.lot_to_change(lot)
    change_lot(row, held=True, reason=read["reason"], now=now(), hand=hand())
    return _event_of(row)


def release_lot(read: Loaded, lot: int) -> str:
    """Let a lot go that was held."""
    row = finding.lot_to_change(lot)
    change_lot(row, held=False, reason=read["reason"], now=now(), hand=hand())
    return _event_of(row)


def draw_lot(read: Loaded, lot: int) -> str:
    """Draw some of a lot for a job."""
    moved = draw(kind="draw", lot=lot, **read, now=now(), hand=hand())
    return url_for("lot_page", lot=lot, line=moved.movements[0].id)


def count_lot(read: Loaded, lot: int) -> str:
    """Count a lot; more than it ever had is asked for again first.

    Raises: Invalid: it is more than that, and was not said twice.
    """
    sure, quantity = read.pop("sure", None), read["quantity"]
    if sure != quantity and is_doubtful(finding.lot(lot), quantity):
        raise Invalid(
            f"{quantity.text} is more than this lot ever had.",
            advice="Look at the number and its unit. If it is so, say it again.",
            pointer="/quantity",
            doubted=True,
        )
    moved = count(lot=lot, **read, now=now(), hand=hand())
    return url_for("lot_page", lot=lot, line=moved.movements[0].id)


def undo(read: Loaded, lot: int) -> str:
    """Take back a draw or a count, a hold or an opening.

    Raises: NotFound: the form names nothing of this lot.
    """
    row = finding.lot_to_change(lot)
    if "line" in read:
        if finding.movement(read["line"]).lot_id != lot:
            raise NotFound(f"Lot {row.number} has no such movement.", advice="Show the lot.")
        reverse(reverses=read["line"], reason=NOT_SO, now=now(), hand=hand())
        return url_for("lot_page", lot=lot, line=read["line"])
    if "event" not in read:
        raise NotFound("The form names nothing to take back.", advice="Show the lot.")
    takes_back = {"held": take_back.take_back_hold, "opened": take_back.take_back_opening}
    takes_back[read["event"]](row, reason=NOT_SO, now=now(), hand=hand())
    return _event_of(row)


def _asking(name: str) -> Callable[..., str]:
    """The page that asks what an act needs."""

    def ask(lot: int) -> str:
        row = finding.lot(lot)
        (shown,) = lots_of(lot - 1, 1, now())
        return base.sheet(
            "lot_act.html",
            act=name,
            lot=shown,
            product=row.product,
            usable=shown.state not in UNUSABLE,
            unit=getattr(kind_of(row.product), "metric" if units() == "metric" else "us"),
            jobs=open_jobs() if name == "draw" else [],
            doubted=getattr(forms.again().refusal, "fields", {}).get("doubted"),
        )

    return base.looks(ask)


def open_jobs() -> list[tuple[str, str]]:
    """The open jobs to choose from, newest first: number and words."""
    jobs = list_jobs(None, MOST_JOBS, "open")
    return [(job.number, f"{job.number}, {job.craft}") for job in jobs]


def _event_of(row: Lot) -> str:
    """The page that says what happened to a lot last."""
    newest = max(event.id for event in shelf.events_of(row.id))
    return url_for("lot_page", lot=row.id, event=newest)


def _done(row: Lot) -> Done | None:
    """What the address says was just done; None where it says nothing of this lot."""
    line, event = (request.args.get(name, type=int) for name in ("line", "event"))
    if line is not None:
        return _line_done(row, line)
    found = next((each for each in shelf.events_of(row.id) if each.id == event), None)
    if found is None:
        return None
    standing = {"held": take_back.last_hold, "opened": take_back.last_opening}.get(found.kind)
    last = standing(row) if standing else None
    stands = last is not None and last.id == found.id
    undo = ("event", found.kind) if stands and _taken_back(row, last) else None
    return Done(event=found, undo=undo, undone=standing is not None and not stands)


def _line_done(row: Lot, number: int) -> Done | None:
    try:
        line = finding.movement(number)
        if line.lot_id != row.id:
            return None
    except NotFound:
        return None
    undone = is_reversed(line.id)
    return Done(line=show_line(number), undo=None if undone or not _may_undo(line) else
                ("line", line.id), undone=undone)  # fmt: skip


def _may_undo(line: Any) -> bool:
    try:
        permissions.may_undo(line, now(), hand())
    except NotAllowed:
        return False
    return hand().is_at_least("hand")


def _taken_back(row: Lot, event: LotEvent | None) -> LotEvent | None:
    """A hold or an opening, if whoever looks may take it back."""
    return event if take_back.may_take_back(row, event, now(), hand()) else None
