"""A pot's mix card, a sheet of A6 for the side table; and labels to print from a page.

What becomes of a pot is noted by thumb: it gelled in its cup, it is lost, it was not mixed at all.
"""

from __future__ import annotations

from flask import Flask, Response, request, url_for

from ...acts.pots import observe, take_back
from ...acts.pots.card import CardView, show_card
from ...acts.pots.label import lot_label, pot_label
from ...acts.yard import finding, permissions
from ...core.errors import NotAllowed
from ...store.cure import layups, pots
from ...store.engine.database import reading
from ...store.engine.turns import Turn
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Loaded
from ..http import forms
from ..labels import images, words
from . import base
from .layups import NOT_SO

SEEN = ("gelled", "lost", "not_mixed")
"""What one tap says of a pot."""

FILES = {"svg": images.svg, "png": images.png}
_KIND = f"<any({', '.join(FILES)}):kind>"


class SeenForm(forms.Form):
    """What became of a pot."""

    seen = fields.Choice(SEEN, required=True)


class UndoForm(forms.Form):
    """Which observation is taken back."""

    observation = fields.Integer(least=1, required=True)


def add(app: Flask) -> None:
    """Add these pages to an application."""
    here, page = "/batches/<id:batch>", base.looks(show_pot)
    forms.add_act(app, here, "batch_page", page, note, SeenForm, turn=Turn.CLOCK)
    forms.add_act(app, f"{here}/undo", "batch_undo", page, undo, UndoForm, turn=Turn.CLOCK)
    app.add_url_rule(f"/batches/<id:batch>/label.{_KIND}", "pot_label", show_pot_label)
    app.add_url_rule(f"/lots/<id:lot>/label.{_KIND}", "lot_label", show_lot_label)


def show_pot(batch: int) -> str:
    """The mix card as the hand got it, and what became of the pot; after an act, what was done."""
    row = finding.batch(batch)
    shown, refused = show_card(row), forms.again().refusal is not None
    noted = None if refused else request.args.get("noted", type=int)
    laid = bool(layups.layups_of_batches([row.id]))
    return base.sheet(
        "card.html",
        pot=shown,
        job=row.job,
        mixed="mixed" in request.args and not refused and shown.state == "mixed",
        noted=next((seen for seen in shown.observations if seen.id == noted), None),
        gone=noted is not None and all(seen.id != noted for seen in shown.observations),
        may_take_back=noted is not None and _may_take_back(shown, noted),
        open=shown.state == "mixed" and not laid,
    )


def note(read: Loaded, batch: int) -> str:
    """Note what became of a pot."""
    told = observe.observe_pot(finding.batch(batch), kind=read["seen"], now=now(), hand=hand())
    newest = max(seen.id for seen in told.observations)
    return url_for("batch_page", batch=batch, noted=newest)


def undo(read: Loaded, batch: int) -> str:
    """Take back what was noted of a pot."""
    pot, seen = finding.batch(batch), read["observation"]
    take_back.take_back_pot_seen(pot, seen, reason=NOT_SO, now=now(), hand=hand())
    return url_for("batch_page", batch=batch, noted=seen)


def _may_take_back(shown: CardView, seen: int) -> bool:
    row = pots.find_observation(seen)
    if row is None or row.batch_id != shown.id or row.kind == "not_mixed":
        return False
    try:
        permissions.may_undo(row, now(), hand())
    except NotAllowed:
        return False
    return hand().is_at_least("hand")


def show_pot_label(batch: int, kind: str) -> Response:
    """A pot's label, for a person known by a browser's pass."""
    with reading():
        return FILES[kind](words.of_pot(pot_label(finding.batch(batch))))


def show_lot_label(lot: int, kind: str) -> Response:
    """A container's label, likewise."""
    with reading():
        return FILES[kind](words.of_lot(lot_label(finding.lot(lot), now())))
