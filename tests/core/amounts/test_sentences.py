"""Amounts in sentences, for either system of units."""

from __future__ import annotations

import re

import pytest
from cureyard_service.core.amounts import sentences as worded
from hypothesis import given
from hypothesis import strategies as st


@pytest.mark.parametrize(
    ("text", "metric", "us"),
    [
        (worded.heat(288.15), "15.0 °C", "59 °F"),
        (worded.heat(305.15, 0), "32 °C", "90 °F"),
        (worded.warmth(3), "3.0 K", "5.4 °F"),
        (worded.size(25_400), "25.4 mm", "1 in"),
        (worded.size(6_350, 1), "6.3 mm", "0.25 in"),
        (worded.size(45.2, 2), "0.05 mm", "0.002 in"),
        (worded.weight(1_500_000), "1.5 kg", "3.31 lb"),
        (worded.weight(2_500_000_000), "2500 kg", "5510 lb"),
    ],
)
def test_either_is_shown_alone(text: str, metric: str, us: str) -> None:
    """Of two in a sentence, too; the numbers are exact conversions (inch, pound, Fahrenheit)."""
    sentence = f"From {text} to {text}."
    assert worded.shown(sentence, "metric") == f"From {metric} to {metric}."
    assert worded.shown(sentence, "us") == f"From {us} to {us}."


@given(st.floats(1, 1e12))
def test_no_amount_has_an_exponent(value: float) -> None:
    """A hand reads 1230 kg, not 1.23e+03."""
    for text in (worded.weight(value), worded.size(value)):
        assert re.search(r"\de[+-]", worded.shown(text, "us")) is None


@given(st.text(alphabet=st.characters(exclude_categories=["Co", "Cs"])))
def test_other_text_is_left_alone(text: str) -> None:
    """Whatever somebody typed."""
    assert worded.shown(text, "us") == text
