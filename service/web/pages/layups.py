"""A layup's page: how it stands, what a hand finds, and everything on record about it.

What a hand finds is answered by thumb: six answers in fixed places. The page that follows says
what was noted, and takes it back.
"""

from __future__ import annotations

from typing import Any

from flask import Flask, request, url_for

from ...acts.cure import hand_over, observe, take_back
from ...acts.cure.show import SeenView, UnsaidView
from ...acts.jobs.photographs import standing_photographs
from ...acts.jobs.signature import is_signed
from ...acts.wall import wall
from ...acts.wall.wall import LayupPageView
from ...acts.yard import finding
from ...core.cure.bag import BAG_OFF, BAGGED
from ...store.engine.turns import Turn
from .. import fields
from ..context.request import hand, now
from ..drawings import ribbons
from ..fields.schemas import Loaded
from ..http import forms
from . import base

ANSWERS = ("gelled", "not_gelled", "no_transfer", "green", "sanded")
"""What one tap answers; a hardness has a form of its own: see `hardness`."""
OF_SKIN = ANSWERS[:2]
"""Of what cures by moisture: a hand finds its skin alone."""
BAG_WORDS = (BAGGED, BAG_OFF)
"""What one tap says of a vacuum bag."""
NOT_SO = "not so"
"""Why something is taken back by one tap."""


class AnswerForm(forms.Form):
    """What a hand finds now."""

    answer = fields.Choice((*ANSWERS, "solvent_wipe", *BAG_WORDS), required=True)
    sure = fields.Choice(("yes",))


class UndoForm(forms.Form):
    """Which observation is taken back."""

    observation = fields.Integer(least=1, required=True)


def add(app: Flask) -> None:
    """Add these pages to an application."""
    here, page = "/layups/<id:layup>", base.looks(show_layup)
    forms.add_act(app, here, "layup_page", page, answer, AnswerForm, turn=Turn.CLOCK)
    forms.add_act(app, f"{here}/undo", "layup_undo", page, undo, UndoForm, turn=Turn.CLOCK)


def show_layup(layup: int) -> str:
    """Everything about one layup; after an answer, what was noted."""
    row = finding.layup(layup)
    shown = wall.layup_page(row, now())
    asked = None if forms.again().refusal else request.args.get("noted", type=int)
    noted = _seen(shown, asked)
    taken = isinstance(noted, UnsaidView)
    return base.sheet(
        "layup.html",
        layup=shown,
        noted=noted,
        taken=taken,
        doubts=[] if taken or noted is None else hand_over.doubts_of(row, noted.kind, now()),
        again=shown.doubted and not taken and noted is not None and _is_last_word(shown, noted),
        left_out=noted is not None and noted.id in shown.left_out,
        asked=request.args.get("asked") == "green" and noted is None and not forms.again().refusal,
        last=_seen(shown, take_back.last_of(row, now(), hand())),
        answers=ANSWERS if shown.by_moisture is None else OF_SKIN,
        photographs=standing_photographs(row),
        signed=is_signed(row.job),
        bag_due=shown.do.note == BAG_OFF and shown.do.urgency == "wanted",
        drawn=ribbons.draw(shown, now()),
        size=ribbons,
    )


def answer(read: Loaded, layup: int) -> str:
    """Note what a hand finds of a layup; where a green face opens much, ask once more first."""
    shown = wall.layup_page(finding.layup(layup), now())
    if read["answer"] == "green" and "sure" not in read and _opens_much(shown):
        raise forms.Asks(url_for("layup_page", layup=layup, asked="green"))
    return note_seen(layup, kind=read["answer"])


def undo(read: Loaded, layup: int) -> str:
    """Take back what was noted."""
    seen = read["observation"]
    row = finding.layup(layup)
    take_back.take_back_seen(row, seen, reason=NOT_SO, now=now(), hand=hand())
    return url_for("layup_page", layup=layup, noted=seen)


def note_seen(layup: int, **found: Any) -> str:
    """Note what a hand found now; the address of the page that follows."""
    shown = observe.observe_layup(finding.layup(layup), **found, now=now(), hand=hand())
    newest = max(seen.id for seen in shown.observations)
    return url_for("layup_page", layup=layup, noted=newest)


def _opens_much(shown: LayupPageView) -> bool:
    """Whether structural work, or a face past its sure window, would be covered by that answer."""
    window = shown.window
    return shown.structural != "no" or window is None or now() >= window.closes


def _is_last_word(shown: LayupPageView, noted: SeenView) -> bool:
    newest = max(seen.id for seen in shown.observations)
    return noted.kind in (*ANSWERS, "hardness") and noted.id == newest


def _seen(shown: LayupPageView, seen: int | None) -> SeenView | None:
    """An observation by its id, taken back or not."""
    return next((o for o in (*shown.observations, *shown.taken_back) if o.id == seen), None)
