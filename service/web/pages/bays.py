"""Bays: the list, and a bay's page, on which a hand notes what its thermometer shows."""

from __future__ import annotations

from decimal import Decimal

from flask import Flask, request, url_for

from ...acts.bays import readings
from ...acts.bays.readings import ReadingView
from ...acts.bays.take_back import take_back_reading
from ...acts.wall import wall
from ...acts.yard import finding
from ...core.amounts.quantities import TEMPERATURE
from ...core.amounts.sentences import heat
from ...core.errors import Invalid
from ...core.words import say
from ...store import bays as store
from ...store.engine.turns import Turn
from .. import fields
from ..context.request import hand, now, units
from ..fields.schemas import Loaded
from ..http import forms
from . import base
from .layups import NOT_SO

MOST_READINGS = 12
"""The last entries that a bay's page shows; the interface has them all."""


class ReadingForm(forms.Form):
    """What the thermometer and the hygrometer show now; `sure` is what was doubted and is so."""

    temperature = fields.Quantity(TEMPERATURE, required=True)
    humidity_percent = fields.Number(above=0, most=100)
    sure = fields.Quantity(TEMPERATURE)


class UndoForm(forms.Form):
    """Which reading is taken back."""

    reading = fields.Integer(least=1, required=True)


def add(app: Flask) -> None:
    """Add these pages to an application."""
    page = base.looks(show_bay)
    app.add_url_rule("/bays", "bays_page", base.looks(list_bays))
    forms.add_act(
        app, "/bays/<code:code>", "bay_page", page, note_reading, ReadingForm, turn=Turn.CLOCK
    )
    forms.add_act(app, "/bays/<code:code>/undo", "bay_undo", page, undo, UndoForm, turn=Turn.CLOCK)


def list_bays() -> str:
    """Every bay's air now."""
    return base.sheet("bays.html", bays=wall.bays_now(now()))


def show_bay(code: str) -> str:
    """A bay's air now, the form for its next reading, and the last ones."""
    row = finding.bay(code)
    listed = readings.list_readings(row.id, None, MOST_READINGS)
    return base.sheet(
        "bay.html",
        bay=wall.bay_page(row, now()),
        readings=sorted(listed, key=lambda each: (each.at, each.id), reverse=True),
        noted=_noted(listed),
        unit=TEMPERATURE.metric if units() == "metric" else TEMPERATURE.us,
        doubted=getattr(forms.again().refusal, "fields", {}).get("doubted"),
    )


def note_reading(read: Loaded, code: str) -> str:
    """Note a reading of now; one that is very odd is asked for again first.

    Raises: Invalid: it is very odd, and was not said twice.
    """
    bay, temperature = finding.bay(code), read["temperature"]
    if read.get("sure") != temperature:
        _ask_again(bay, temperature)
    reading = {"at": now(), "temperature": temperature}
    if "humidity_percent" in read:
        reading["humidity_percent"] = read["humidity_percent"]
    readings.read_bay(bay=code, readings=[reading], now=now(), hand=hand())
    newest = store.latest_readings([bay.id])[bay.id].id
    return url_for("bay_page", code=bay.code, noted=newest)


def undo(read: Loaded, code: str) -> str:
    """Take back a reading."""
    bay, reading = finding.bay(code), read["reading"]
    take_back_reading(bay, reading, reason=NOT_SO, now=now(), hand=hand())
    return url_for("bay_page", code=bay.code, noted=reading)


def _ask_again(bay: store.Bay, temperature: Decimal) -> None:
    if readings.is_doubtful(bay, temperature, now()):
        raise Invalid(
            say("{} is very unlikely here.", heat(float(temperature))),
            advice="Look at the number and its unit. If it is so, say it again.",
            pointer="/temperature",
            doubted=True,
        )


def _noted(listed: list[ReadingView]) -> ReadingView | None:
    """The reading that the address names."""
    asked = request.args.get("noted", type=int)
    return next((each for each in listed if each.id == asked), None)
