"""A moisture reading by thumb: a place, a meter, three placements, how warm the face is."""

from __future__ import annotations

from flask import Flask, request, url_for

from ...acts.wetness import meters, moisture, places
from ...acts.wetness.taken_back import take_back
from ...acts.yard import finding
from ...core.amounts.quantities import TEMPERATURE
from .. import fields
from ..context.request import hand, now, units
from ..fields.schemas import Loaded
from ..http import forms
from ..resources.meters import WIDEST
from . import base
from .layups import NOT_SO

MOST_METERS = 50
BETWEEN = " / "
"""Between a meter's code and its mode, in one choice."""
PLACES = ("reading", "dry")


class MoistureForm(forms.Form):
    """One reading: three placements by a meter in one of its modes."""

    place = fields.Text(most=80, required=True)
    meter = fields.Text(most=80, required=True)
    first = fields.Number(least=-WIDEST, most=WIDEST, required=True)
    second = fields.Number(least=-WIDEST, most=WIDEST, required=True)
    third = fields.Number(least=-WIDEST, most=WIDEST, required=True)
    surface_temperature = fields.Quantity(TEMPERATURE, required=True)
    for_what = fields.Choice(PLACES, required=True)


class UndoForm(forms.Form):
    """Which reading is taken back."""

    reading = fields.Integer(least=1, required=True)


def add(app: Flask) -> None:
    """Add these pages to an application."""
    here, page = "/jobs/<code:number>/moisture", base.looks(show_form)
    forms.add_act(app, here, "moisture_page", page, note_reading, MoistureForm)
    forms.add_act(app, f"{here}/undo", "moisture_undo", page, undo, UndoForm)


def show_form(number: str) -> str:
    """The form, with what the last reading was by; after a reading, what was noted.

    Of several places none is chosen before: it would be easy to note on the wrong one.
    """
    job = finding.job(number)
    last = moisture.list_readings(job, None, 1, now())
    noted = forms.noted(lambda after, most: moisture.list_readings(job, after, most, now()))
    known = places.names(job, now())
    return base.sheet(
        "moisture.html",
        job=job,
        noted=noted,
        differ=noted is not None and moisture.differ_much(noted),
        last=last[0] if last else None,
        known=known,
        place=request.args.get("place") or (known[0] if len(known) == 1 else ""),
        choices=[(each, each) for each in _modes()],
        unit=TEMPERATURE.metric if units() == "metric" else TEMPERATURE.us,
    )


def note_reading(read: Loaded, number: str) -> str:
    """Note a reading of now."""
    code, _, mode = read["meter"].partition(BETWEEN)
    noted = moisture.read_moisture(
        finding.job(number),
        place=read["place"],
        meter=code,
        mode=mode,
        placements=[read[each] for each in ("first", "second", "third")],
        surface_temperature=read["surface_temperature"],
        dry_place=read["for_what"] == "dry",
        now=now(),
        hand=hand(),
    )
    return url_for("moisture_page", number=number, noted=noted.id)


def undo(read: Loaded, number: str) -> str:
    """Take back a reading."""
    job, reading = finding.job(number), read["reading"]
    take_back("moisture_reading", job, reading, reason=NOT_SO, now=now(), hand=hand())
    return url_for("moisture_page", number=number, noted=reading)


def _modes() -> list[str]:
    """Each meter with each of its modes, as the form has them."""
    known = meters.list_meters(None, MOST_METERS)
    return [f"{meter.code}{BETWEEN}{mode.name}" for meter in known for mode in meter.modes]
