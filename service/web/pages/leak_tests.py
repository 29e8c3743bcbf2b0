"""The leak test of a bag by thumb: which bag, the gauge before and after, the minutes between."""

from __future__ import annotations

from flask import Flask, url_for

from ...acts.cure import leak_tests
from ...acts.yard import finding
from ...core.amounts.quantities import GEL_TIME, PRESSURE
from ...store.lookup import key_of
from .. import fields
from ..context.request import hand, now, units
from ..fields.schemas import Loaded
from ..http import forms
from . import base
from .layups import NOT_SO

MOST_TESTS = 50
"""Last tests of which the form offers the bags."""
SHOWS = ("below", "absolute")
"""What a gauge shows: the vacuum below the air, or the pressure that is left."""


class LeakTestForm(forms.Form):
    """A dry bag's vacuum, read twice with the valve to the pump shut; the second time now."""

    place = fields.Text(most=80, required=True)
    first = fields.Quantity(PRESSURE, required=True)
    second = fields.Quantity(PRESSURE, required=True)
    waited = fields.Quantity(GEL_TIME, required=True)
    shows = fields.Choice(SHOWS, required=True)
    air_pressure = fields.Quantity(PRESSURE)


class UndoForm(forms.Form):
    """Which test is taken back."""

    test = fields.Integer(least=1, required=True)


def add(app: Flask) -> None:
    """Add these pages to an application."""
    here, page = "/jobs/<code:number>/leak-test", base.looks(show_form)
    forms.add_act(app, here, "leak_test_page", page, note_test, LeakTestForm)
    forms.add_act(app, f"{here}/undo", "leak_test_undo", page, undo, UndoForm)


def show_form(number: str) -> str:
    """The form; after a test, what it found. Of several bags none is chosen before."""
    job = finding.job(number)
    tests = leak_tests.list_leak_tests(job, None, MOST_TESTS)
    bags = list({key_of(each.place): each.place for each in tests}.values())
    return base.sheet(
        "leak_test.html",
        job=job,
        noted=forms.noted(lambda after, most: leak_tests.list_leak_tests(job, after, most)),
        last=tests[0] if tests else None,
        known=bags,
        bag=bags[0] if len(bags) == 1 else "",
        unit=PRESSURE.unit(units()),
    )


def note_test(read: Loaded, number: str) -> str:
    """Note a test that ends now."""
    at = now()
    noted = leak_tests.record_leak_test(
        finding.job(number),
        place=read["place"],
        first=read["first"],
        first_at=at - round(read["waited"]),
        second=read["second"],
        absolute=read["shows"] == "absolute",
        air_pressure=read.get("air_pressure"),
        now=at,
        hand=hand(),
    )
    return url_for("leak_test_page", number=number, noted=noted.id)


def undo(read: Loaded, number: str) -> str:
    """Take back a test."""
    job, test = finding.job(number), read["test"]
    leak_tests.take_back_leak_test(job, test, reason=NOT_SO, now=now(), hand=hand())
    return url_for("leak_test_page", number=number, noted=test)
