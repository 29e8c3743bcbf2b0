"""Facts as a record shows them: whole dates, stretches, times taken."""

from __future__ import annotations

import pytest
from cureyard_service.acts.cure.milestone_views import WindowView
from cureyard_service.core.amounts import quantities
from cureyard_service.web.context import records
from flask import Flask
from markupsafe import Markup

from ..conftest import MORNING

pytestmark = pytest.mark.only_on("sqlite")  # nothing here rests on what a database does

MIN, H = 60, 3600


def plain(shown: str) -> str:
    """Without marks, and with spaces that a line may break at."""
    return Markup(shown).striptags().replace("\u00a0", " ")


def test_moments_have_their_date(app: Flask) -> None:
    """On the yard's clock, to the nearest minute or step; nothing is nothing."""
    with app.test_request_context("/"):
        assert records.moment(MORNING) == plain(records.when(MORNING)) == "2026-03-20 09:46"
        assert records.moment(MORNING, 15, "up") == "2026-03-20 10:00"
        assert "datetime='2026-03-20T09:46:00+00:00'" in records.when(MORNING)
        assert records.moment(None) == records.when(None) == ""


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        (0, "2026-03-20 09:46"),
        (2 * H, "2026-03-20 09:46 to 11:46"),
        (30 * H, "2026-03-20 09:46 to 2026-03-21 15:46"),
    ],
)
def test_a_stretch_says_its_day_once(app: Flask, seconds: int, shown: str) -> None:
    """And one that is over within its minute is a moment."""
    with app.test_request_context("/"):
        assert plain(records.stretch(MORNING, MORNING + seconds)) == shown


def test_a_window_is_shown_inwards(app: Flask) -> None:
    """To five minutes; one that has none inside is shown to the minute."""
    with app.test_request_context("/"):
        wide = WindowView(MORNING, MORNING + 2 * H)
        assert plain(records.window(wide)) == "2026-03-20 09:50 to 11:45"
        narrow = WindowView(MORNING, MORNING + 5 * MIN)
        assert plain(records.window(narrow)) == "2026-03-20 09:47 to 09:51"


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [
        (0, "0 min"), (89, "1 min"), (25 * MIN, "25 min"), (2 * H, "2 h"),
        (2 * H + 10 * MIN, "2 h 10 min"), (24 * H, "24 h"), (50 * H, "2 d 2 h"),
        (180 * 24 * H, "180 d"), (None, ""),
    ],
)  # fmt: skip
def test_times_taken(seconds: float | None, shown: str) -> None:
    """As a data sheet writes them: minutes, hours up to two days, then days."""
    assert plain(records.lasting(seconds)) == shown


def test_a_number_is_not_parted_from_its_unit(app: Flask) -> None:
    """Whatever it measures, in the units asked for."""
    with app.test_request_context("/?units=us"):
        assert records.heat(293.15) == "68\u00a0°F"
        assert records.stock((453_592, quantities.MASS)) == "1\u00a0lb"
        assert records.size(25_400) == "1\u00a0in"
        assert records.percent(1.5) == "1.5\u00a0%"
        assert records.heat(None) == records.percent(None) == ""


@pytest.mark.parametrize(
    ("words", "shown"),
    [
        ("SHED", "SHED"),
        ("26-014", "<span class='code'>26-014</span>"),
        ("lot B-1/2, held", "lot <span class='code'>B-1/2,</span> held"),
        (
            "draw --lot MAT-450",
            "draw <span class='code'>--lot</span> <span class='code'>MAT-450</span>",
        ),
        ("A-<b>", "<span class='code'>A-&lt;b&gt;</span>"),
        ("<i>", "&lt;i&gt;"),
        ("B-" + "9" * 20, f"<span class='code long'>B-{'9' * 20}</span>"),
    ],
)
def test_codes_are_kept_on_a_line(words: str, shown: str) -> None:
    """A word with a hyphen or a stroke; what is hostile stays words."""
    assert records.codes(words) == shown
