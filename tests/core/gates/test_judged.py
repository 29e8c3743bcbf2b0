"""Gates: each answer, what would change it, and the laws that they all keep."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from cureyard_service.core.amounts.quantities import ZERO_C
from cureyard_service.core.bays.temperature import Trace
from cureyard_service.core.errors import Invalid
from cureyard_service.core.gates import air as gates_air
from cureyard_service.core.gates import authority
from cureyard_service.core.gates import dry as gates_dry
from cureyard_service.core.gates import part as gates_part
from cureyard_service.core.gates import stock as gates_stock
from cureyard_service.core.gates.air import Air, humidity, measured, shop_steady, shop_warm
from cureyard_service.core.gates.fresh import Came, surface_fresh
from cureyard_service.core.gates.judged import VERDICTS, Judged, Rule
from cureyard_service.core.gates.part import Below
from cureyard_service.core.gates.profiles import LIMITS, PROFILES, profile, read
from cureyard_service.core.gates.stock import Placed
from cureyard_service.core.products.hardness import MOST, Figure, of_readings, unsaid
from cureyard_service.core.words import shown
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

H, DAY = 3600, 86_400
HARD = profile("class").rules
celsius = st.floats(-10, 45)


def order(judged: Judged) -> int:
    """How grave an answer is."""
    return VERDICTS.index(judged.verdict)


def air(low: float, high: float, **other: float) -> Air:
    """A day that was measured throughout, in °C."""
    return Air(low + ZERO_C, high + ZERO_C, **other)


@given(celsius, st.floats(0, 20), st.floats(0, 20))
def test_a_warmer_shop_never_closes_a_gate_for_cold(low: float, swing: float, by: float) -> None:
    """Warmed throughout, the lower limit is never judged worse; nor is its steadiness."""
    before, after = air(low, low + swing), air(low + by, low + swing + by)
    assert order(shop_warm(HARD["shop-warm"], after)) <= order(shop_warm(HARD["shop-warm"], before))
    # a hundredth of a kelvin either side of the limit is left to rounding
    if abs(swing / 2 - HARD["shop-steady"].limits["swing"]) > 0.01:
        steady = HARD["shop-steady"]
        assert order(shop_steady(steady, after)) == order(shop_steady(steady, before))


@given(celsius, st.floats(0, 20), st.floats(0, 20))
def test_a_wider_day_is_never_steadier(low: float, swing: float, more: float) -> None:
    """More swing is never judged better."""
    rule = HARD["shop-steady"]
    assert order(shop_steady(rule, air(low, low + swing + more))) >= order(
        shop_steady(rule, air(low, low + swing))
    )


@given(st.floats(0, 100), st.floats(0, 100), st.booleans())
def test_drier_air(percent: float, other: float, spraying: bool) -> None:
    """Drier is never worse for laying by hand; for spraying it has a floor."""
    rule = HARD["humidity"]
    wet, dry = max(percent, other), min(percent, other)
    damp = humidity(rule, air(20, 20, humidity=wet), spraying=False)
    assert order(humidity(rule, air(20, 20, humidity=dry), spraying=False)) <= order(damp)
    told = humidity(rule, air(20, 20, humidity=dry), spraying=spraying)
    assert (told.verdict == "pass") == (dry <= 80 and (not spraying or dry >= 40))


@given(st.lists(celsius, min_size=2, max_size=12), st.lists(st.booleans(), min_size=11))
def test_only_what_was_measured_counts(temperatures: list[float], known: list[bool]) -> None:
    """The range is that of the measured stretches; the rest is told as missing."""
    n = len(temperatures)
    trace = Trace(
        np.arange(n) * H * 1.0, np.array(temperatures) + ZERO_C, np.array(known[: n - 1], bool)
    )
    found = measured(trace, slack=2 * H)
    assert found.unmeasured == (n - 1 - sum(known[: n - 1])) * H
    kept = [
        t for i, seen in enumerate(known[: n - 1]) if seen for t in temperatures[i : i + 2]
    ]  # fmt: skip
    if kept:
        assert found.low == pytest.approx(min(kept) + ZERO_C)
        assert found.high == pytest.approx(max(kept) + ZERO_C)
    else:
        assert found.low is None


@given(st.lists(celsius, min_size=2, max_size=12), st.floats(5, 30), st.floats(0.1, 10))
def test_the_warm_clock(temperatures: list[float], floor: float, by: float) -> None:
    """It never runs faster than time, never backwards, and never slower where it is warmer."""
    n = len(temperatures)
    trace = Trace(
        np.arange(n) * H * 1.0, np.array(temperatures) + ZERO_C, np.ones(n - 1, bool)
    )  # fmt: skip
    seen, assumed = gates_air.warm_seconds(trace, floor + ZERO_C)
    assert 0 <= seen == assumed <= (n - 1) * H
    assert gates_air.warm_seconds(trace.shifted(by), floor + ZERO_C)[0] >= seen - 1e-6


def answers(known: Mapping[str, Rule]) -> list[Judged]:
    """What every gate of a profile answers where nothing is known at all."""
    dark = Below("Ply", waxed=None, gel_coat=True)
    return [
        authority.named(known["authority"], "unknown", None),
        shop_warm(known["shop-warm"], Air()),
        shop_steady(known["shop-steady"], Air()),
        humidity(known["humidity"], Air(), spraying=True),
        gates_stock.rolls_rested(known["rolls-rested"], []),
        gates_stock.rolls_rested(known["rolls-rested"], [Placed("R-1")]),
        gates_stock.rolls_rested(known["rolls-rested"], [Placed("R-1", 3 * DAY)]),
        gates_stock.resin_warm(known["resin-warm"], []),
        gates_stock.resin_warm(known["resin-warm"], [Placed("L-1")]),
        gates_stock.stored_apart(known["stored-apart"], [], ["P-1"]),
        gates_dry.dry(known["dry"], []),
        surface_fresh(known["surface-fresh"], None, None, 0, Came()),
        gates_part.mat_on_gel_coat(known["mat-on-gel-coat"], dark, [("MAT", None)]),
        gates_part.unwaxed(known["unwaxed"], dark),
        gates_part.sound_below(known["sound-below"], [], ["Ply"]),
        gates_part.cure_time(known["cure-time"], None),
        gates_part.hard_enough(known["hard-enough"], dark),
        gates_part.hard_enough(known["hard-enough"], replace(dark, hardness=Figure(40.0))),
    ]


@pytest.mark.parametrize("name", PROFILES)
def test_what_is_not_known_is_a_caution(name: str) -> None:
    """In every profile, and it says what to measure or to say."""
    told = answers(profile(name).rules)
    assert {each.rule.gate for each in told} == set(LIMITS)
    for each in told:
        assert (each.verdict, bool(each.found), bool(each.change)) == ("caution", True, True)


PLY = Below("Ply", sanded_at=0)
FAILING: list[tuple[str, Judged]] = [
    ("hold at least 18.0 °C", shop_warm(HARD["shop-warm"], air(17.9, 22))),
    ("heat the nights", shop_steady(HARD["shop-steady"], air(16, 22.1))),
    ("at most 80 %", humidity(HARD["humidity"], air(20, 20, humidity=81), spraying=False)),
    ("at least 40 %", humidity(HARD["humidity"], air(20, 20, humidity=39), spraying=True)),
    ("48 h", gates_stock.rolls_rested(HARD["rolls-rested"], [Placed("R-1", DAY, in_shop=True)])),
    ("into the shop",
     gates_stock.rolls_rested(HARD["rolls-rested"], [Placed("R-1", 3 * DAY, warmer=1.0)])),
    ("18 °C throughout",
     gates_stock.resin_warm(HARD["resin-warm"], [Placed("L-1", temperature=285.0)])),
    ("another bay", gates_stock.stored_apart(HARD["stored-apart"], ["P-1 with C-1"], [])),
    ("again", surface_fresh(HARD["surface-fresh"], PLY, None, DAY + 1, Came())),
    ("dry 15 min", surface_fresh(HARD["surface-fresh"], None, 100, 200, Came())),
    ("450 g/m²", gates_part.mat_on_gel_coat(
        HARD["mat-on-gel-coat"], replace(PLY, gel_coat=True), [("M-600", 600_000.0)])),
    ("sand to dull", gates_part.unwaxed(HARD["unwaxed"], Below("Ply", waxed=True))),
    ("8 h more", gates_part.cure_time(
        HARD["cure-time"], replace(PLY, warm=40.0 * H, warm_assumed=40.0 * H))),
    ("test again", gates_part.hard_enough(
        HARD["hard-enough"], replace(PLY, hardness=Figure(40.0), hardness_least=45))),
]  # fmt: skip


@pytest.mark.parametrize(("word", "told"), FAILING, ids=lambda each: str(each)[:20])
def test_what_fails_says_what_would_mend_it(word: str, told: Judged) -> None:
    """Each gate stops in the hard profile, and only cautions where a profile says so."""
    assert told.verdict == "stop"
    assert word in shown(told.change, "metric")


HELD: list[Judged] = [
    shop_warm(HARD["shop-warm"], air(18, 22)),
    shop_steady(HARD["shop-steady"], air(18, 24)),
    gates_stock.rolls_rested(HARD["rolls-rested"], [Placed("R-1", 2 * DAY, in_shop=True)]),
    gates_stock.rolls_rested(HARD["rolls-rested"], [Placed("R-1", 2 * DAY, warmer=2.0)]),
    gates_stock.resin_warm(HARD["resin-warm"], [Placed("L-1", temperature=291.15)]),
    gates_stock.stored_apart(HARD["stored-apart"], [], []),
    surface_fresh(HARD["surface-fresh"], PLY, None, DAY, Came()),
    surface_fresh(HARD["surface-fresh"], Below("Ply", green=True), None, DAY, Came()),
    gates_part.mat_on_gel_coat(HARD["mat-on-gel-coat"], None, []),
    gates_part.mat_on_gel_coat(
        HARD["mat-on-gel-coat"], replace(PLY, gel_coat=True), [("A", 450_000.0), ("B", 900_000.0)]
    ),
    gates_part.unwaxed(HARD["unwaxed"], None),
    gates_part.unwaxed(HARD["unwaxed"], Below("Ply", waxed=True, sanded_at=1)),
    gates_part.unwaxed(HARD["unwaxed"], Below("Ply")),
    gates_part.cure_time(HARD["cure-time"], replace(PLY, warm=48.0 * H)),
    gates_part.hard_enough(
        HARD["hard-enough"], replace(PLY, hardness=Figure(40.5, 0.0), hardness_least=45)
    ),
]


@pytest.mark.parametrize("told", HELD, ids=lambda told: told.rule.gate)
def test_what_holds_passes(told: Judged) -> None:
    """At the very limit; nothing has to change then."""
    assert (told.verdict, told.change) == ("pass", "")


def test_hours_that_are_assumed_do_not_pass() -> None:
    """Forty measured and ten assumed are a caution; so is a day with a hole in it."""
    mixed = replace(PLY, warm=40.0 * H, warm_assumed=50.0 * H)
    assert gates_part.cure_time(HARD["cure-time"], mixed).verdict == "caution"
    holed = air(20, 21, unmeasured=6 * H, slack=2 * H)
    for gate, judge in (("shop-warm", shop_warm), ("shop-steady", shop_steady)):
        told = judge(HARD[gate], holed)
        found = shown(told.found, "metric")
        assert (told.verdict, "6 h of it were not measured" in found) == ("caution", True)


def test_the_usual_profile_stops_for_fire_structure_and_a_layer_in_trouble() -> None:
    """Peroxide beside promoter or acetone; structure by nobody's rules; what nothing goes on."""
    plain = profile(PROFILES[0])
    assert not plain.refuses
    assert not plain.strict_dates
    stops = [gate for gate, rule in plain.rules.items() if rule.fails == "stop"]
    assert sorted(stops) == ["authority", "sound-below", "stored-apart"]


@pytest.mark.parametrize("change", [
    {"shop-warm": None}, {"odd": {}}, {"stored-apart": {"title": "x"}},
    {"humidity": {"title": "x", "before": "lunch", "fails": "stop", "source": "x",
                  "most_percent": 80, "least_spraying_percent": 40}},
])  # fmt: skip
def test_a_profile_that_is_not_whole_is_no_profile(change: dict[str, object]) -> None:
    """A gate or a threshold missing, or one too many, is found when it is read."""
    whole: dict[str, object] = {"title": "x", "refuses": False, "strict_dates": False}
    for gate, rule in HARD.items():
        limits = {"least": "18 degC", "swing": "3 K", "warmer": "2 K", "dry": "1 h"}
        figures = {name: limits.get(name, 1) for name in rule.limits}
        if gate in ("rolls-rested", "cure-time"):
            figures |= {"least": "48 h"}
        if gate in ("surface-fresh", "mat-on-gel-coat"):
            figures |= {"most": "24 h" if gate == "surface-fresh" else "450 g/m2"}
        if gate == "surface-fresh":
            figures |= {"above_dew": "3 K"}
        if gate == "dry":
            figures |= dict.fromkeys(("apart", "apart_heated", "film", "after_water"), "24 h")
            figures |= {"coldest": "5 degC", "above_dew": "3 K"}
        if "floor" in figures:
            figures["floor"] = "18 degC"
        words = {"title": "x", "before": "laminating", "fails": "stop", "source": "x"}
        whole[gate] = words | figures
    assert read("whole", whole).rules["shop-warm"].limits["least"] == pytest.approx(291.15)
    broken = {k: v for k, v in (whole | change).items() if v is not None}
    with pytest.raises(ValueError, match=r"missing or unknown|unknown value"):
        read("broken", broken)


def of(readings: list[int], **facts: Any) -> Below:
    """A part with these readings, whose sheet asks for 45 on Barcol 934-1."""
    return replace(PLY, hardness=Figure(*of_readings(readings), **facts), hardness_least=45)


MADE = [38, 41, 44, 40, 36, 43, 45, 39, 42, 37]
"""Ten readings whose average without the highest and the lowest is 40.5, with u 0.957."""


@pytest.mark.parametrize("shift", [-1, 0, 1])
def test_within_one_u_is_a_caution_in_either_profile(shift: int) -> None:
    """40.5 is needed: 40.5 ± 0.957 may be either, so more readings are asked for; 1 K off is not.

    A shift of 1 is over 0.957: below it fails, above it passes.
    """
    told = {
        profile(name).rules["hard-enough"].fails: gates_part.hard_enough(
            profile(name).rules["hard-enough"], of([each + shift for each in MADE])
        )
        for name in ("plain", "class")
    }
    for fails, judged in told.items():
        assert judged.verdict == {-1: fails, 0: "caution", 1: "pass"}[shift]
    if shift == 0:
        assert "about 22" in shown(told["stop"].change, "metric")
        assert "within one s/√n" in shown(told["stop"].found, "metric")


def test_what_nobody_said_of_the_readings_is_a_caution() -> None:
    """Each condition is named; a reading on gel coat says nothing of the laminate."""
    rule = HARD["hard-enough"]
    hard = [each + 5 for each in MADE]
    judged = gates_part.hard_enough(rule, of(hard, unsaid=unsaid(["off_edges", "wax_off"])))
    assert judged.verdict == "caution"
    assert "over 1.5 mm thick" in shown(judged.found, "metric")
    assert "checked that day" in shown(judged.found, "metric")
    assert "edge" not in shown(judged.found, "metric")
    skin = of(hard, on_gel_coat=True)
    assert gates_part.hard_enough(rule, skin).verdict == "caution"
    assert gates_part.hard_enough(rule, replace(skin, gel_coat=True)).verdict == "pass"


def test_unlike_scales_are_not_compared() -> None:
    """Shore D 70 is neither over nor under the 90 % of Barcol 45 that are needed."""
    judged = gates_part.hard_enough(HARD["hard-enough"], of([70] * 10, scale="shore_d"))
    assert judged.verdict == "caution"
    assert "40.5 Barcol 934-1" in shown(judged.found, "metric")


def test_solvent_answers_where_the_sheet_gives_no_hardness() -> None:
    """And nowhere else."""
    rule = HARD["hard-enough"]
    assert gates_part.hard_enough(rule, replace(PLY, wiped=True)).verdict == "pass"
    asked = gates_part.hard_enough(rule, replace(PLY, wiped=True, hardness_least=45))
    assert asked.verdict == "caution"


@given(st.lists(st.integers(0, 100), min_size=10, max_size=30))
def test_a_hardness_lies_within_its_readings(readings: list[int]) -> None:
    """Between the second lowest and the second highest; their order is nothing.

    Its u is the standard error of SciPy.
    """
    ordered = sorted(readings)
    mean, u = of_readings(readings)
    assert ordered[1] <= mean <= ordered[-2]
    assert of_readings(ordered) == (mean, pytest.approx(u))
    assert u == pytest.approx(float(stats.sem(readings)))


@pytest.mark.parametrize("count", [0, 1, 9, MOST + 1])
def test_too_few_or_too_many_readings(count: int) -> None:
    """Refused in words."""
    with pytest.raises(Invalid, match=r"too (few|many) for a hardness: it takes 10 to 30"):
        of_readings([40] * count)
