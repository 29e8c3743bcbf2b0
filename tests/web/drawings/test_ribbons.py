"""A ribbon as a drawing: on its paper whatever the bands, and nothing promised that must not be."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from cureyard_service.acts.cure.milestone_views import MilestoneEarly, WindowView
from cureyard_service.acts.wall.ribbon import AirRunView, RibbonView
from cureyard_service.web.drawings import ribbons
from flask import Flask
from hypothesis import given, settings
from hypothesis import strategies as st

from ..conftest import MORNING

pytestmark = pytest.mark.only_on("sqlite")

H = 3600


def never(why: str) -> MilestoneEarly:
    """A milestone that nobody can wait for."""
    return MilestoneEarly(None, None, None, None, why, None, None)


NO_FILM, NEVER = never("not-on-sheet"), never("tacky-surface")


def band(earliest: float, at: float, latest: float | None) -> MilestoneEarly:
    """A milestone so many hours from the morning."""
    late = None if latest is None else MORNING + latest * H
    early = MORNING + earliest * H
    return MilestoneEarly(MORNING + at * H, early, late, "assumed", None, None, None)


def stretch(air: AirRunView, floor: float | None) -> RibbonView:
    """A ribbon of the day."""
    return RibbonView(MORNING, MORNING + 24 * H, floor, [air])


def air(measured: bool, first: float, last: float) -> AirRunView:
    """Air from one temperature to another (K) over the day."""
    return AirRunView(measured, [(MORNING, first), (MORNING + 24 * H, last)])


def layup(**facts: Any) -> Any:
    """As much of a layup of the morning as a drawing reads, its ribbon a day long."""
    milestones = {
        "gel": band(0.3, 0.4, 0.5), "film": NO_FILM, "recoat_opens": band(2, 2.5, 3),
        "recoat_closes": band(12, 14, 16), "sandable": NEVER, "full_cure": band(30, 36, 40),
    } | facts.pop("milestones", {})  # fmt: skip
    usual = {
        "title": "Plies", "state": ["wet"], "shuts": "",
        "window": WindowView(MORNING + 3 * H, MORNING + 12 * H),
        "ribbon": stretch(air(True, 291.0, 295.0), 281.0),
    }  # fmt: skip
    return SimpleNamespace(**usual | facts, milestones=SimpleNamespace(**milestones))


def drawn(app: Flask, hours: float = 1, **facts: Any) -> ribbons.Ribbon:
    """It drawn, so many hours into the morning."""
    with app.test_request_context("/"):
        return ribbons.draw(layup(**facts), int(MORNING + hours * H))


def corners(shape: ribbons.Shape) -> list[tuple[float, float]]:
    """The corners of a shape."""
    pairs = (pair.split(",") for pair in shape.outline.split())
    return [(float(x), float(y)) for x, y in pairs]


def test_bands_slope_from_earliest_to_latest(app: Flask) -> None:
    """The window rises over its opening's band and sinks over its closing's."""
    window = next(shape for shape in drawn(app).shapes if shape.kind == "window")
    share = ribbons.WIDTH / 24
    foot, top = ribbons.TAPE + ribbons.LANE, ribbons.TAPE
    assert corners(window) == [
        pytest.approx((hours * share, y), abs=0.1)
        for hours, y in ((2, foot), (3, top), (12, top), (16, foot))
    ]
    assert window.word is not None
    assert window.word.text == "window"


def test_a_window_that_may_shut_before_it_opens_never_has_its_full_height(app: Flask) -> None:
    """The bands cross: what is drawn is a low peak without a word."""
    crossing = {"recoat_opens": band(2, 4, 8), "recoat_closes": band(5, 7, 9)}
    window = next(
        shape for shape in drawn(app, window=None, milestones=crossing).shapes
        if shape.kind == "window"
    )  # fmt: skip
    assert len(corners(window)) == 3
    assert ribbons.TAPE < corners(window)[1][1] < ribbons.TAPE + ribbons.LANE
    assert window.word is None


def test_what_may_never_come_runs_to_the_end(app: Flask) -> None:
    """A band without a late edge slopes to the end of the tape."""
    told = drawn(app, window=None, milestones={"gel": band(5, 8, None)})
    wet = next(shape for shape in told.shapes if shape.kind == "wet")
    assert max(x for x, _ in corners(wet)) == ribbons.WIDTH
    assert "much later" in told.label


def test_clocks_are_of_what_is_ahead(app: Flask) -> None:
    """Gel on five minutes, the window inwards on quarters; what is past is not written."""
    assert [word.text for word in drawn(app, 0.1).clocks] == ["gel 10:20", "shuts 21:45"]
    assert [word.text for word in drawn(app, 1).clocks] == ["opens 13:00", "shuts 21:45"]
    assert drawn(app, 13).clocks == []


@pytest.mark.parametrize("sign", sorted(ribbons.UNPROMISED))
def test_nothing_is_promised_of_what_is_suspect(app: Flask, sign: str) -> None:
    """Neither as a shape nor as a clock, nor in the words for who doesn't see it."""
    told = drawn(app, state=["wet", sign])
    assert {shape.kind for shape in told.shapes} <= {"wet"}
    assert told.clocks == []
    assert "Nothing later is promised" in told.label


def test_now_hangs_where_it_is_or_not_at_all(app: Flask) -> None:
    """A ribbon of a watch that ended does not reach to now."""
    assert drawn(app, 12).now == ribbons.WIDTH / 2
    assert drawn(app, 25).now is None


def test_the_air_is_solid_where_it_was_read(app: Flask) -> None:
    """With its degrees at the extremes, the warmer one above."""
    told = drawn(app)
    assert [measured for measured, _ in told.air] == [True]
    (high, warm), (low, cool) = told.heats
    assert high < low
    assert (warm, cool) == ("21.9 °C", "17.9 °C")


def test_an_even_air_has_one_figure_and_now_is_clear_of_it(app: Flask) -> None:
    """Near the end of the ribbon now hangs where the degrees would stand."""
    even = stretch(air(False, 277.15, 277.15), None)
    early, late = drawn(app, 12, ribbon=even), drawn(app, 22, ribbon=even)
    assert [heat for _, heat in early.heats] == ["4 °C"]
    assert (early.heats_first, late.heats_first) == (False, True)


hours = st.floats(-50, 100)
bands = st.one_of(
    st.just(NEVER),
    st.tuples(hours, hours, hours, st.booleans()).map(
        lambda each: band(*sorted(each[:3])[:2], None if each[3] else max(each[:3]))
    ),
)
NAMES = ("gel", "recoat_opens", "recoat_closes", "sandable", "full_cure")


@settings(max_examples=60)
@given(milestones=st.fixed_dictionaries(dict.fromkeys(NAMES, bands)))
def test_all_stays_on_the_paper(app: Flask, milestones: dict[str, Any]) -> None:
    """Whatever the bands, no corner and no word leaves the drawing."""
    told = drawn(app, milestones=milestones)
    for shape in told.shapes:
        for x, y in corners(shape):
            assert 0 <= x <= ribbons.WIDTH
            assert ribbons.TAPE <= y <= ribbons.TAPE + 2 * ribbons.LANE + 0.01
    for word in told.clocks + told.ticks:
        assert word.left >= 0
        assert word.left + word.width <= ribbons.WIDTH + 0.01
