"""Film by thumb, when it is taken off: where and since when it was taped on, drops or none."""

from __future__ import annotations

from datetime import datetime

from flask import Flask, url_for

from ...acts.wetness import places, samples
from ...acts.wetness.taken_back import take_back
from ...acts.yard import finding
from .. import fields
from ..context.request import hand, now, zone
from ..fields.schemas import Loaded
from ..http import forms
from . import base
from .layups import NOT_SO


class FilmForm(forms.Form):
    """Film that is taken off now; the day and the time are on the yard's clock."""

    place = fields.Text(most=80, required=True)
    taped_day = fields.Day(required=True)
    taped_at = fields.TimeOfDay(required=True)
    drops = fields.Choice(("yes", "no"), required=True)


class UndoForm(forms.Form):
    """Which film test is taken back."""

    film = fields.Integer(least=1, required=True)


def add(app: Flask) -> None:
    """Add these pages to an application."""
    here, page = "/jobs/<code:number>/film", base.looks(show_form)
    forms.add_act(app, here, "job_film", page, note_film, FilmForm)
    forms.add_act(app, f"{here}/undo", "job_film_undo", page, undo, UndoForm)


def show_form(number: str) -> str:
    """The form; after a film test, what was noted."""
    job = finding.job(number)
    noted = forms.noted(lambda after, most: samples.list_films(job, after, most))
    return base.sheet(
        "film.html",
        job=job,
        noted=noted,
        needed_s=samples.film_needed(),
        known=places.names(job, now()),
    )


def note_film(read: Loaded, number: str) -> str:
    """Note film that is taken off now."""
    taped = datetime.combine(read["taped_day"], read["taped_at"], zone())
    noted = samples.record_film(
        finding.job(number),
        place=read["place"],
        taped_at=int(taped.timestamp()),
        drops=read["drops"] == "yes",
        now=now(),
        hand=hand(),
    )
    return url_for("job_film", number=number, noted=noted.id)


def undo(read: Loaded, number: str) -> str:
    """Take back a film test."""
    job, film = finding.job(number), read["film"]
    take_back("film_test", job, film, reason=NOT_SO, now=now(), hand=hand())
    return url_for("job_film", number=number, noted=film)
