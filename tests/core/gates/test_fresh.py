"""A prepared surface: its clock, and what came on it since."""

from __future__ import annotations

import pytest
from cureyard_service.core.gates.fresh import Came, ready_at, surface_fresh
from cureyard_service.core.gates.part import Below
from cureyard_service.core.gates.profiles import profile
from cureyard_service.core.words import shown

H, DAY = 3600, 86_400
HARD, PLAIN = profile("class").rules["surface-fresh"], profile("plain").rules["surface-fresh"]
NOW = 10 * DAY
READY = NOW - 6 * H


@pytest.mark.parametrize("what", ["rain", "a hand's touch", "oil", "dust", "wash water"])
@pytest.mark.parametrize(("at", "verdict"), [(READY + 1, "stop"), (READY, "pass"), (NOW, "stop"),
                                             (NOW + 1, "pass")])  # fmt: skip
def test_what_came_between(what: str, at: int, verdict: str) -> None:
    """After it was ready, and by now; what came before was wiped off."""
    told = surface_fresh(HARD, None, READY, NOW, Came(spoilt=[(what, at)]))
    assert told.verdict == verdict
    if verdict == "stop":
        assert what.capitalize() in shown(told.found, "metric")
        assert "before you abrade" in shown(told.change, "metric")


@pytest.mark.parametrize(("over", "verdict"), [(2.99, "stop"), (3.0, "pass"), (-0.5, "stop")])
def test_dew_between(over: float, verdict: str) -> None:
    """Within 3 K of the dew point at any reading since (ISO 8502-4)."""
    told = surface_fresh(HARD, None, READY, NOW, Came(damp=[(NOW - H, over), (NOW, 9.0)]))
    assert told.verdict == verdict
    before = Came(damp=[(READY - 1, over)])
    assert surface_fresh(HARD, None, READY, NOW, before).verdict == "pass"


def test_an_open_window_is_spoilt_too() -> None:
    """What came on a green layer since it was laid."""
    green = Below("Ply", green=True, laid_at=NOW - 5 * H)
    assert surface_fresh(HARD, green, None, NOW, Came()).verdict == "pass"
    wet = Came(spoilt=[("rain", NOW - 4 * H)])
    assert surface_fresh(HARD, green, None, NOW, wet).verdict == "stop"
    earlier = Came(spoilt=[("rain", NOW - 6 * H)])
    assert surface_fresh(HARD, green, None, NOW, earlier).verdict == "pass"


def test_what_was_prepared_lies_under_the_last_layer() -> None:
    """A face that was abraded before the layer was laid is covered by it: its own window counts."""
    laid = NOW - 3 * H
    before, after = [laid - H], [laid - H, laid + 2 * H]
    assert ready_at(before, None) == laid - H
    assert ready_at(before, Below("Ply", laid_at=laid)) is None
    assert ready_at(after, Below("Ply", laid_at=laid)) == laid + 2 * H
    assert ready_at(before, Below("Ply", laid_at=laid, sanded_at=laid + H)) == laid + H
    shut = surface_fresh(HARD, Below("Ply", laid_at=laid, past=True), before[0], NOW, Came())
    assert shut.verdict == "stop"
    assert "window has shut" in shown(shut.found, "metric")
    unsure = surface_fresh(HARD, Below("Ply", laid_at=laid), before[0], NOW, Came())
    assert unsure.verdict == "caution"


def test_water_that_beads_is_a_stop_in_every_profile() -> None:
    """The water-break test, ASTM F22, from memory; however fresh the surface is."""
    for rule in (HARD, PLAIN):
        told = surface_fresh(rule, None, READY, NOW, Came(beads=True))
        assert told.verdict == "stop"
        assert "F22, from memory" in rule.source


def test_plain_practice_cautions() -> None:
    """Of all else."""
    assert surface_fresh(PLAIN, None, READY, NOW, Came([("oil", NOW)])).verdict == "caution"


def test_water_of_a_wash_dries_first() -> None:
    """A wash that tests the face is on it for a minute: 15 min, as the solvent."""
    assert surface_fresh(HARD, None, READY, NOW, Came(tested_at=NOW - 899)).verdict == "stop"
    assert surface_fresh(HARD, None, READY, NOW, Came(tested_at=NOW - 900)).verdict == "pass"


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(10, "came on it just now"), (25 * 60, "came on it 25 min ago"),
     (2 * 3600, "came on it 2.0 h ago")],
)  # fmt: skip
def test_how_long_ago_is_said_in_fitting_words(seconds: int, words: str) -> None:
    """Never 0.0 h."""
    came = Came([("a hand's touch", NOW - seconds)])
    told = surface_fresh(PLAIN, None, READY, NOW, came)
    assert words in shown(told.found, "metric")
