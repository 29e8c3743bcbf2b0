"""Amounts in sentences, for either system of units."""

from __future__ import annotations

import re

import pytest
from cureyard_service.core.amounts import sentences
from cureyard_service.core.words import Words, say, shown
from hypothesis import given
from hypothesis import strategies as st


@pytest.mark.parametrize(
    ("text", "metric", "us"),
    [
        (sentences.heat(288.15), "15.0 °C", "59 °F"),
        (sentences.heat(305.15, 0), "32 °C", "90 °F"),
        (sentences.warmth(3), "3.0 K", "5.4 °F"),
        (sentences.size(25_400), "25.4 mm", "1 in"),
        (sentences.size(6_350, 1), "6.3 mm", "0.25 in"),
        (sentences.size(45.2, 2), "0.05 mm", "0.002 in"),
        (sentences.weight(1_500_000), "1.5 kg", "3.31 lb"),
        (sentences.pressure(67_700), "677 hPa", "20.0 inHg"),
        (sentences.pressure(3_420, 1), "34.2 hPa", "1.01 inHg"),
        (sentences.weight(2_500_000_000), "2500 kg", "5510 lb"),
    ],
)
def test_either_is_shown_alone(text: Words, metric: str, us: str) -> None:
    """Of two in a sentence, too; the numbers are exact conversions (inch, pound, Fahrenheit)."""
    sentence = say("From {} to {}.", text, text)
    assert shown(sentence, "metric") == f"From {metric} to {metric}."
    assert shown(sentence, "us") == f"From {us} to {us}."


@given(st.floats(1, 1e12))
def test_no_amount_has_an_exponent(value: float) -> None:
    """A hand reads 1230 kg, not 1.23e+03."""
    for text in (sentences.weight(value), sentences.size(value)):
        assert re.search(r"\de[+-]", shown(text, "us")) is None


@given(st.text())
def test_other_text_is_left_alone(text: str) -> None:
    """Whatever somebody typed."""
    assert shown(text, "us") == text
