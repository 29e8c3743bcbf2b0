"""A ribbon as a drawing: on its paper whatever the bands, and nothing promised that must not be."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
from cureyard_service.acts.cure.do import DoView
from cureyard_service.acts.cure.milestone_views import MilestoneEarly, MilestonesView, WindowView
from cureyard_service.acts.wall import rows
from cureyard_service.acts.wall.ribbon import AirRunView, RibbonView
from cureyard_service.core.cure.standing import foremost, is_seen
from cureyard_service.core.cure.touch import Word, touch_of
from cureyard_service.web.drawings import ribbons
from cureyard_service.web.drawings.span import Span
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


def seen(kind: str, hours: float) -> Any:
    """What a hand saw, so many hours into the morning."""
    return SimpleNamespace(id=1, kind=kind, at=MORNING + hours * H)


def window(opens: float, closes: float) -> WindowView:
    """A window so many hours from the morning."""
    return WindowView(MORNING + opens * H, MORNING + closes * H)


def layup(**facts: Any) -> Any:
    """As much of a layup of the morning as a drawing reads, its ribbon a day long."""
    milestones = {
        "gel": band(0.3, 0.4, 0.5), "film": NO_FILM, "recoat_opens": band(2, 2.5, 3),
        "recoat_closes": band(12, 14, 16), "sandable": NEVER, "full_cure": band(30, 36, 40),
        "trim": NEVER,
    } | facts.pop("milestones", {})  # fmt: skip
    usual = {
        "title": "Plies", "state": ["wet"], "kind": "laminate", "bay": "SHED", "cover": "none",
        "surface": "air_inhibited", "applied_at": MORNING, "observations": [],
        "next": SimpleNamespace(action="wait", at=None),
        "window": window(3, 12), "touch_window": window(2.5, 14),
        "ribbon": stretch(air(True, 291.0, 295.0), 281.0),
    }  # fmt: skip
    told = usual | facts
    sign = foremost(told["state"])
    touch = touch_of(Word(look.kind, look.at) for look in told["observations"])
    shown = {
        "sign": sign, "seen": [sign] if is_seen(sign, touch, None) else [],
        "looked": touch.last_set,
        "do": DoView("leave it alone", "later"),
        "milestones": MilestonesView(**milestones),
    }  # fmt: skip
    return SimpleNamespace(**told, **shown)


def drawn(app: Flask, hours: float = 1, **facts: Any) -> ribbons.Ribbon:
    """Its own page's ribbon, so many hours into the morning."""
    with app.test_request_context("/"):
        return ribbons.draw(layup(**facts), int(MORNING + hours * H))


def on_wall(app: Flask, form: str, hours: float, **facts: Any) -> ribbons.Ribbon:
    """Its ribbon as a row of the wall."""
    moment = int(MORNING + hours * H)
    with app.test_request_context("/"):
        return ribbons.draw_row(rows.of_layup(layup(**facts)), moment, form)


def block(told: ribbons.Ribbon, kind: str) -> ribbons.Block:
    """The one block of a kind."""
    (found,) = (each for each in told.blocks if each.kind == kind)
    return found


@pytest.mark.parametrize("form", ["many", "some", "few"])
@pytest.mark.parametrize("hours", [-0.1, 1, 4, 11, 11.99, 13])
def test_nothing_of_the_window_stands_beyond_its_post(app: Flask, form: str, hours: float) -> None:
    """The post's far edge is the sure end itself; beads are outside of the window."""
    told = on_wall(app, form, hours, state=["gelled", "recoat_open"])
    span = Span(MORNING + hours * H - 200 * 60, MORNING + (hours + 14) * H, told.form.width)
    end = span.at(MORNING + 12 * H)
    ((post, across),) = told.posts
    assert post + across >= end - 0.1
    assert post + across <= max(end, (told.now or 0) + ribbons.CLEAR + told.form.across / 2) + 0.1
    assert all(each.right <= post for each in told.blocks)
    full = block(told, "window")
    assert full.left == pytest.approx(span.x(MORNING + 3 * H), abs=0.1)
    assert all(x < full.left or x > end for x in told.beads)
    last = span.x(MORNING + 14 * H)
    assert all(x <= last for x in told.beads)


def test_without_a_sure_window_there_are_beads_alone(app: Flask) -> None:
    """No moment is sure, so there is neither a block nor a post."""
    told = on_wall(app, "many", 5, window=None, state=["gelled", "recoat_touch"])
    assert (told.posts, told.blocks) == ([], [])
    assert len(told.beads) > 3


def test_wet_until_a_hand_says_otherwise(app: Flask) -> None:
    """Waves to the latest gel; past that, to now, until somebody has seen it gelled."""
    early, due = on_wall(app, "many", 0.2), on_wall(app, "many", 2, state=["gelled"])
    assert early.now is not None
    assert block(early, "wet").right > early.now
    assert block(due, "wet").right == due.now
    felt = on_wall(app, "many", 2, state=["gelled"], observations=[seen("gelled", 1)])
    assert due.now is not None
    assert block(felt, "wet").right < due.now
    assert [there for there, _ in felt.looks] == [True]


def test_a_look_in_vain_is_a_cross_left_of_now(app: Flask) -> None:
    """Of a moment ago it would hang behind the plumb line."""
    told = on_wall(app, "many", 0.45, observations=[seen("not_gelled", 0.45)])
    ((there, x),) = told.looks
    assert told.now is not None
    assert (there, x < told.now - ribbons.CLEAR) == (False, True)


def test_past_its_window_only_what_is_hard_is_drawn(app: Flask) -> None:
    """Dots from the sanding on, hatching once it is cured; the window's block is gone."""
    facts = {"milestones": {"sandable": band(15, 16, 17)}, "state": ["gelled", "recoat_past"]}
    told = on_wall(app, "many", 15, **facts)
    assert [each.kind for each in told.blocks] == ["sand"]
    later = on_wall(app, "many", 30, **facts)
    assert [each.kind for each in later.blocks] == ["cured", "sand"]


def test_what_stalls_in_the_cold_has_no_end(app: Flask) -> None:
    """A dotted line from now on, and in words under what it stands still."""
    told = on_wall(app, "few", 2, state=["cold_stalled"])
    assert told.dots == told.now
    cold = drawn(app, 2, state=["cold_stalled"])
    assert [word.text for word in cold.clocks] == ["stands still under 7.8 °C"]


def test_a_pot_ends_at_its_post(app: Flask) -> None:
    """Its waves are its working time."""
    pot = SimpleNamespace(
        mixed_at=MORNING, work_until=MORNING + 0.5 * H, gel_at_latest=MORNING + H, id=1,
        do=DoView("spread by", "ending"),
    )  # fmt: skip
    with app.test_request_context("/"):
        row = rows.of_pot(pot)  # type: ignore[arg-type]
        told = ribbons.draw_row(row, MORNING + 60, "many")
    ((post, _),) = told.posts
    assert block(told, "wet").right == post
    assert "Working time until 10:16." in told.label


def test_now_is_one_place_for_all_rows(app: Flask) -> None:
    """The style sheet hangs the plumb line there."""
    for form in ("many", "some", "few"):
        told = on_wall(app, form, 3)
        assert told.now == pytest.approx(told.form.width * ribbons.NOW_AT, abs=0.1)
    assert pytest.approx(0.19231, abs=1e-5) == ribbons.NOW_AT


def test_hours_of_the_axis_are_clear_of_now(app: Flask) -> None:
    """Full hours, three apart; midnight by its day."""
    with app.test_request_context("/"):
        form = ribbons.FORMS["many"]
        for hour in range(24):
            words = ribbons.axis(MORNING + hour * H, form)
            here = form.width * ribbons.NOW_AT
            assert all(abs(word.x - here) > 60 for word in words)
            assert 2 <= len(words) <= 6
        assert [word.text for word in ribbons.axis(MORNING, form)] == [
            "15:00", "18:00", "21:00",
        ]  # fmt: skip


def test_what_may_never_come_is_told(app: Flask) -> None:
    """In words; the waves run to now, and to no promised end."""
    told = drawn(app, window=None, touch_window=None, milestones={"gel": band(5, 8, None)})
    assert block(told, "wet").right == told.now
    assert "much later" in told.label


def test_clocks_are_of_what_is_ahead(app: Flask) -> None:
    """Rounded to the safe side; what is past is not written. A row of the wall has bare hours,
    with a word within the last hour of a window."""
    assert [word.text for word in drawn(app, 0.1).clocks] == ["gel 10:20", "shuts 21:45"]
    assert [word.text for word in drawn(app, 1).clocks] == ["opens 12:50", "shuts 21:45"]
    assert drawn(app, 13).clocks == []
    row = on_wall(app, "few", 1, state=["gelled"])
    assert [word.text for word in row.clocks] == ["12:50", "21:45"]
    last = on_wall(app, "few", 11.5, state=["gelled", "recoat_open"])
    assert [word.text for word in last.clocks] == ["shuts 21:45"]


@pytest.mark.parametrize("sign", sorted(ribbons.UNPROMISED))
def test_nothing_is_promised_of_what_is_suspect(app: Flask, sign: str) -> None:
    """Neither as a shape nor as a clock, nor in the words for who doesn't see it."""
    told = drawn(app, state=["wet", sign])
    assert [each.kind for each in told.blocks] == ["wet"]
    assert block(told, "wet").right == told.now
    assert (told.posts, told.beads) == ([], [])
    assert all("stands still" in word.text for word in told.clocks)
    assert "Nothing later is promised" in told.label


def test_now_hangs_where_it_is_or_not_at_all(app: Flask) -> None:
    """A ribbon of a watch that ended does not reach to now."""
    assert drawn(app, 12).now == ribbons.FORMS["page"].width / 2
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
NAMES = ("gel", "sandable", "full_cure")
windows = st.one_of(
    st.none(), st.tuples(hours, hours).map(lambda ends: window(min(ends), max(ends)))
)
STATES = (["wet"], ["gelled"], ["gelled", "recoat_open"], ["gelled", "recoat_past"], ["late"])


@settings(max_examples=60)
@given(
    milestones=st.fixed_dictionaries(dict.fromkeys(NAMES, bands)), sure=windows, likely=windows,
    state=st.sampled_from(STATES), form=st.sampled_from(("page", "many", "some", "few")),
    laid=hours,
)  # fmt: skip
def test_all_stays_on_the_paper(
    app: Flask, milestones: dict[str, Any], sure: Any, likely: Any, state: list[str], form: str,
    laid: float,
) -> None:  # fmt: skip
    """Whatever the bands, no edge and no word leaves the drawing."""
    facts = {
        "milestones": milestones, "window": sure, "touch_window": likely, "state": state,
        "applied_at": MORNING + laid * H,
    }  # fmt: skip
    told = drawn(app, **facts) if form == "page" else on_wall(app, form, 1, **facts)
    width = told.form.width
    for each in told.blocks:
        assert 0 <= each.left < each.right <= width
    for x, across in told.posts:
        assert 0 <= x <= width
        assert x + across <= width + told.form.across
    assert all(0 <= x <= width for x in told.beads)
    for word in told.clocks + told.ticks:
        assert word.left >= 0
        assert word.left + word.width <= width + 0.01
