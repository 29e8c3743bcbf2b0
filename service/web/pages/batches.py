"""A pot's mix card, a sheet of A6 for the side table; and labels to print from a page."""

from __future__ import annotations

from flask import Flask, Response

from ...acts.pots.card import show_card
from ...acts.pots.label import lot_label, pot_label
from ...acts.yard import finding
from ...store.engine.database import reading
from ..context.request import now
from ..labels import images, words
from . import base

FILES = {"svg": images.svg, "png": images.png}
_KIND = f"<any({', '.join(FILES)}):kind>"


def add(app: Flask) -> None:
    """Add these pages to an application."""
    app.add_url_rule("/batches/<id:batch>", "batch_page", base.looks(show_pot))
    app.add_url_rule(f"/batches/<id:batch>/label.{_KIND}", "pot_label", show_pot_label)
    app.add_url_rule(f"/lots/<id:lot>/label.{_KIND}", "lot_label", show_lot_label)


def show_pot(batch: int) -> str:
    """The mix card as the hand got it, and what became of the pot."""
    row = finding.batch(batch)
    return base.sheet("card.html", pot=show_card(row), job=row.job)


def show_pot_label(batch: int, kind: str) -> Response:
    """A pot's label, for a person known by a browser's pass."""
    with reading():
        return FILES[kind](words.of_pot(pot_label(finding.batch(batch))))


def show_lot_label(lot: int, kind: str) -> Response:
    """A container's label, likewise."""
    with reading():
        return FILES[kind](words.of_lot(lot_label(finding.lot(lot), now())))
