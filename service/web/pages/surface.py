"""What happened to a surface, by thumb: a tap for a wash, rain, oil, and for its preparation."""

from __future__ import annotations

from typing import Any

from flask import Flask, url_for

from ...acts.wetness import places, surface
from ...acts.wetness.taken_back import take_back
from ...acts.yard import finding
from ...core.errors import Invalid
from ...core.wetness.readings import Note
from ...store.lookup import key_of
from ...store.stock.jobs import Job
from .. import fields
from ..context.request import hand, now
from ..fields.schemas import Loaded
from ..http import forms
from . import base
from .layups import NOT_SO

ANSWERS: dict[str, str] = {
    "prepared": "Abraded and wiped",
    "sheets": "Washed: water sheets",
    "beads": "Washed: water beads",
    "rain": "Rain",
    "touched": "Touched by hand",
    "oil": "Oil or grease",
    "dust": "Dust",
    "opened": "Opened",
    "heat_on": "Heat on",
    "heat_off": "Heat off",
    "hauled_out": "Hauled out",
}
"""What one tap notes, in words; `sheets` and `beads` are how the last water of a wash ran."""
RAN = ("sheets", "beads")


class SurfaceForm(forms.Form):
    """What happened to a place, or the whole boat where none is named.

    `sure` is a new place that was asked about and is so.
    """

    place = fields.Text(most=80)
    sure = fields.Text(most=80)
    what = fields.Choice(tuple(ANSWERS), required=True)


class UndoForm(forms.Form):
    """Which note is taken back."""

    note = fields.Integer(least=1, required=True)


def add(app: Flask) -> None:
    """Add these pages to an application."""
    here, page = "/jobs/<code:number>/surface", base.looks(show_form)
    forms.add_act(app, here, "job_surface", page, note_surface, SurfaceForm)
    forms.add_act(app, f"{here}/undo", "job_surface_undo", page, undo, UndoForm)


def show_form(number: str) -> str:
    """The answers, one tap each; after one, what was noted."""
    job = finding.job(number)
    noted = forms.noted(lambda after, most: surface.list_notes(job, after, most))
    return base.sheet(
        "surface.html",
        job=job,
        noted=noted,
        said=noted and ANSWERS[noted.water or noted.kind],
        spoilt=noted is not None and Note(noted.kind, int(noted.at), noted.water).spoils,
        answers=ANSWERS,
        known=_known(job),
        doubted=getattr(forms.again().refusal, "fields", {}).get("doubted"),
    )


def note_surface(read: Loaded, number: str) -> str:
    """Note what happened to a surface, now; a place that nobody named before is asked about first.

    Raises: Invalid: it is a new place, and was not said twice.
    """
    what, place = read["what"], read.get("place")
    if place is not None and place != read.get("sure"):
        _ask_of_new(place, _known(finding.job(number)))
    note: dict[str, Any] = {"kind": "washed", "water": what} if what in RAN else {"kind": what}
    noted = surface.note_surface(finding.job(number), **note, place=place, now=now(), hand=hand())
    return url_for("job_surface", number=number, noted=noted.id)


def _known(job: Job) -> list[str]:
    """The places of a job: found, measured, or noted here before."""
    here = [row.place for row in surface.standing_notes(job, now()) if row.place is not None]
    return list({key_of(each): each for each in (*here[::-1], *places.names(job, now()))}.values())


def _ask_of_new(place: str, known: list[str]) -> None:
    if key_of(place) not in map(key_of, known):
        raise Invalid(
            f"New place: {place}?",
            advice="Nothing was found, measured or noted there. If it is so, press again.",
            pointer="/place",
            doubted=True,
        )


def undo(read: Loaded, number: str) -> str:
    """Take back a note."""
    job, note = finding.job(number), read["note"]
    take_back("surface_note", job, note, reason=NOT_SO, now=now(), hand=hand())
    return url_for("job_surface", number=number, noted=note)
