"""Words with amounts: put together, kept as JSON, shown, and never a string before that."""

from __future__ import annotations

import json

import pytest
from cureyard_service.core.amounts.sentences import heat, size
from cureyard_service.core.words import (
    Amount,
    Text,
    Words,
    as_plain,
    from_plain,
    joined,
    say,
    shown,
)
from hypothesis import given
from hypothesis import strategies as st

amounts = st.builds(lambda metric, us: Words((Amount(metric, us),)), st.text(), st.text())
texts = st.one_of(st.text(), amounts)


def both(text: Text) -> tuple[str, str]:
    """A text as either reader sees it."""
    return shown(text, "metric"), shown(text, "us")


@given(texts, texts, st.integers())
def test_what_is_put_together_is_shown_together(one: Text, other: Text, number: int) -> None:
    """In either system of units; what somebody typed is never taken for a form."""
    for system in ("metric", "us"):
        first, second = shown(one, system), shown(other, system)
        assert shown(say("{} of {}: {}.", one, number, other), system) == (
            f"{first} of {number}: {second}."
        )
        assert shown(joined("; ", [one, other]), system) == f"{first}; {second}"
        assert shown(one + other, system) == first + second
    assert joined("; ", []) == ""


@given(st.lists(st.text(), max_size=4))
def test_without_an_amount_it_is_a_string(inside: list[str]) -> None:
    """So that whoever looks for a word in it need not show it first."""
    assert joined(" ", inside) == " ".join(inside)
    assert say("{}!", "a") == "a!"


def test_words_of_the_same_text_are_equal() -> None:
    """However they were put together: a warning is told once."""
    at = heat(288.15)
    one = say("{}: {} at {}.", "Resin", "kept", at)
    assert one == say("Resin: {}", say("kept at {}", at)) + "."
    assert len({one, joined(" ", ["Resin: kept", "at"]) + " " + at + "."}) == 1


@given(st.lists(texts, max_size=4))
def test_kept_as_json_they_are_the_same_words(kept: list[Text]) -> None:
    """A mix card keeps its warnings so."""
    written = json.dumps({"warnings": kept}, default=as_plain)
    assert json.loads(written, object_hook=from_plain) == {"warnings": kept}
    with pytest.raises(TypeError, match="set is not kept"):
        json.dumps({1}, default=as_plain)


def test_they_are_no_string_before_they_are_shown() -> None:
    """Else an amount would be lost without a word. mypy's plugin finds this first."""
    words = say("{} thick", size(6_350))
    for lost in (lambda: f"{words}", lambda: str(words), lambda: "{}".format(words)):  # noqa: UP032
        with pytest.raises(TypeError, match="show these words"):
            lost()
    with pytest.raises(TypeError):
        " ".join([words])
    assert both(words) == ("6.35 mm thick", "0.25 in thick")
