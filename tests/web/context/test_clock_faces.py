"""Moments and amounts as the pages show them: of today, of this week, in the reader's units."""

from __future__ import annotations

import pytest
from cureyard_service.acts.yard import moments
from cureyard_service.core.amounts import quantities
from cureyard_service.store.engine.database import reading
from cureyard_service.web.context import clock_faces
from flask import Flask

from ..conftest import MORNING

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

MIN, H = 60, 3600


@pytest.mark.parametrize(
    ("away", "step", "way", "shown"),
    [
        (0, 1, "down", "09:46"),
        (0, 1, "near", "09:47"),
        (10 * MIN, 5, "down", "09:55"),
        (10 * MIN, 15, "up", "10:00"),
        (15 * H, 15, "down", "Sat 00:45"),
        (-30 * H, 1, "down", "19 Mar 03:46"),
        (8 * 24 * H, 15, "up", "28 Mar 10:00"),
        (-400 * 24 * H, 1, "down", "2025-02-13 09:46"),
    ],
)
def test_clock_faces(app: Flask, away: int, step: int, way: clock_faces.Way, shown: str) -> None:
    """Today by its time alone, the week to come by its day, else by its date."""
    with app.test_request_context("/"):
        assert clock_faces.clock(MORNING + away, step, way) == shown


def test_a_stretch_is_shown_inwards(app: Flask) -> None:
    """It opens late and closes early; one shorter than its steps is shown to the minute."""
    with app.test_request_context("/"):
        assert clock_faces.between(MORNING, MORNING + 3 * H) == "09:50 to 12:45"
        assert clock_faces.between(MORNING, MORNING + 20 * H) == "09:50 to Sat 05:45"
        assert clock_faces.between(MORNING, MORNING + 5 * MIN) == "09:47 to 09:51"


def test_amounts(app: Flask) -> None:
    """In the yard's units, or those asked for; small masses as a scale shows them."""
    with app.test_request_context("/"):
        assert clock_faces.amount(12_500_000, quantities.MASS) == "12.5 kg"
        assert clock_faces.amount(30_240, quantities.MASS) == "30.2 g"
        assert clock_faces.amount(293.15, quantities.TEMPERATURE) == "20 °C"
        assert clock_faces.amount(2_000, quantities.COUNT) == "2 pieces"
        assert clock_faces.amount(None, quantities.MASS) == ""
    with app.test_request_context("/?units=us"):
        assert clock_faces.amount(293.15, quantities.TEMPERATURE) == "68 °F"


def test_a_page_and_a_sentence_tell_one_minute(app: Flask) -> None:
    """What was is cut to the minute that it was in, wherever it is told."""
    late = MORNING - MORNING % MIN + MIN - 1
    with app.test_request_context("/"), reading():
        assert clock_faces.clock(late) == moments.face(late, late) == "09:46"
        assert moments.noted(late).endswith(" 09:46")
