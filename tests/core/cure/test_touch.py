"""Hands' words in the order of time: the latest counts, and none is contradicted."""

from __future__ import annotations

from dataclasses import replace

import pytest
from cureyard_service.core.cure.forecast import forecasts, milestones
from cureyard_service.core.cure.found import SET
from cureyard_service.core.cure.layer import Layer
from cureyard_service.core.cure.next_step import next_step
from cureyard_service.core.cure.signs import TROUBLE, signs, unsound
from cureyard_service.core.cure.touch import Touch, Word, by_hand, touch_of
from hypothesis import given
from hypothesis import strategies as st

from ..makers import EXACT, HOUR, MIN, POLYESTER, WAXED, layer, steady

PLAIN = replace(POLYESTER, surface="plain")
KINDS = ("not_gelled", "blush", "scraped_off", *SET)
WORDS = st.lists(
    st.builds(Word, st.sampled_from(KINDS), st.floats(MIN, 100 * HOUR), st.just(40)), max_size=7
).map(lambda words: sorted(words, key=lambda word: word.at))


def words(*said: tuple[str, float]) -> Touch:
    """What stands of words, each with its minute."""
    return touch_of(Word(kind, minute * MIN) for kind, minute in said)


def stood(touch: Touch, minutes: float, cured: Layer) -> tuple[tuple[str, ...], str, str]:
    """Signs, action and words of the next step at so many minutes, at a steady 20 °C."""
    (told,) = forecasts([cured], steady(20), EXACT)
    found = by_hand(told.found, touch)
    shown = signs(cured, found, None, touch, minutes * MIN, told.pots)
    step = next_step(cured, found, shown, minutes * MIN, structural=True, touch=touch)
    return shown, step.action, step.text


@pytest.mark.parametrize(
    ("said", "wet", "relapsed"),
    [
        ((("not_gelled", 5),), True, False),
        ((("not_gelled", 50), ("gelled", 60)), False, False),
        ((("gelled", 10), ("not_gelled", 15)), True, True),
        ((("gelled", 10), ("not_gelled", 15), ("not_gelled", 20)), True, True),
        ((("no_transfer", 10), ("not_gelled", 15), ("thumbnail", 30)), False, False),
        ((("hardness", 10), ("not_gelled", 15), ("sanded", 30)), False, False),
        ((("scraped_off", 10), ("not_gelled", 15)), True, True),
        ((("not_gelled", 10), ("scraped_off", 15)), False, False),
        ((("not_gelled", 10), ("blush", 15)), True, False),
    ],
)
def test_the_latest_word_counts(
    said: tuple[tuple[str, float], ...], wet: bool, relapsed: bool
) -> None:
    """Wet after set puts it back in trouble; set after wet takes it out."""
    stands = words(*said)
    assert (stands.not_gelled is not None, stands.relapsed) == (wet, relapsed)


def test_a_barcol_of_nothing_is_no_hardness() -> None:
    """Far under what is asked it says neither hard nor gelled: the layer may be wet below."""
    soft = touch_of([Word("not_gelled", 60.0), Word("hardness", 90.0, 0)])
    assert (soft.not_gelled, soft.hard, soft.is_set) == (60.0, None, False)
    assert touch_of([Word("hardness", 90.0, 19)]).hard is None
    assert touch_of([Word("hardness", 90.0, 20)]).hard == 90.0


@given(WORDS, st.floats(0, 100))
def test_no_word_is_contradicted(said: list[Word], later: float) -> None:
    """By what is to be done next: wet is not covered, dull is not ground, and so on."""
    stands = touch_of(said)
    minutes = max([word.at for word in said], default=0.0) / MIN + later
    shown, action, text = stood(stands, minutes, layer(PLAIN))
    if stands.scraped_off is not None:
        assert (shown, action) == (("finished",), "none")
        return
    if stands.not_gelled is not None:
        assert action in ("probe", "wait", "touch")
        assert unsound(shown, stands) is not None  # type: ignore[arg-type]
        assert not {"sandable", "handling_cure"} & set(shown) or action == "touch"
    elif stands.is_set:
        assert not {"wet", "gelling", "late", "suspect"} & set(shown)
    if stands.not_gelled is None and stands.sandable is not None:
        assert "sandable" in shown
        assert "until it is sandable" not in text
    if stands.abraded:
        assert (action, "Abraded" in text) == ("coat", True)
    if stands.blush is not None and action in ("coat", "prepare"):
        assert "ash" in text  # wash, or Wash off


def test_a_later_wet_cancels_the_glove() -> None:
    """Clean at 60 min, wet at 65: the window is not open."""
    wet = words(("no_transfer", 60), ("not_gelled", 65))
    assert "recoat_open" not in stood(wet, 66, layer(PLAIN))[0]


@given(WORDS)
def test_a_word_never_moves_closing(said: list[Word]) -> None:
    """Nor does it take away what the clock had promised to be open already."""
    cured = layer(PLAIN)
    clock = milestones(cured, steady(20), EXACT)
    told = by_hand(clock, touch_of(said))
    assert told["recoat_closes"] == clock["recoat_closes"]
    assert told["recoat_opens"].latest <= clock["recoat_opens"].latest  # type: ignore[operator]


def test_a_glove_says_nothing_of_wax() -> None:
    """A waxed face has no window, however clean the glove comes away."""
    shown, action, text = stood(words(("no_transfer", 60)), 500, layer(WAXED))
    assert ("recoat_open" in shown, action) == (False, "prepare")
    assert "wax has risen" in text


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ((), "confirm that it is hard below the tack, then solvent-wipe"),
        ((("thumbnail", 900),), "Before the next layer: solvent-wipe, let dry 15 min, then grind"),
        ((("solvent_wipe", 900),), "Before the next layer: grind to dull"),
        ((("sanded", 900),), "ready to be covered"),
        ((("sanded", 900), ("blush", 950)), "wash with water and a pad, dry, then confirm"),
    ],
)
def test_what_hands_did_is_not_asked_for_again(
    said: tuple[tuple[str, float], ...], wanted: str
) -> None:
    """Past the window of a tacky face, step by step."""
    assert wanted in stood(words(*said), 1000, layer(POLYESTER))[2]


@pytest.mark.parametrize("kind", ["thumbnail", "hardness", "solvent_wipe", "sanded"])
def test_hard_is_sandable_also_where_the_clock_knows_only_tack(kind: str) -> None:
    """A hand that found it hard outranks 'never sandable'."""
    shown, _, _ = stood(words((kind, 400)), 401, layer(POLYESTER))
    assert ("sandable" in shown, "tacky" in shown) == (True, False)
    assert "tacky" in stood(words(), 401, layer(POLYESTER))[0]


def test_felt_wet_in_time_it_is_felt_again() -> None:
    """Wet at 20 min, when it may be: hours later nothing goes on it before somebody felt it."""
    shown, action, text = stood(words(("not_gelled", 20)), 200, layer(PLAIN))
    assert (action, "feel it again" in text) == ("touch", True)
    assert unsound(shown, words(("not_gelled", 20))) is not None  # type: ignore[arg-type]


def test_called_gelled_and_then_found_wet_is_trouble_at_once() -> None:
    """Before its latest, too: one of the two words is wrong."""
    shown, action, text = stood(words(("gelled", 10), ("not_gelled", 15)), 16, layer(PLAIN))
    assert (TROUBLE & set(shown), action) == ({"late"}, "probe")  # type: ignore[arg-type]
    assert "Called gelled" in text


def test_what_ended_unsound_is_trouble_until_a_word() -> None:
    """Covered wet: by the clock it gels under the next layer, and nobody knows."""
    covered = Touch(ended=30 * MIN)
    shown, action, text = stood(covered, 600, layer(PLAIN))
    assert ("unsettled" in shown, action) == (True, "probe")
    assert "what became of it" in text
    told = replace(words(("gelled", 650)), ended=30 * MIN)
    assert "unsettled" not in stood(told, 660, layer(PLAIN))[0]
