"""What leaves a mark, by the Unicode Standard's own categories and its ignorable characters."""

from __future__ import annotations

import re
import sys
import unicodedata

import pytest
from cureyard_service.core.amounts.visible import is_seen


@pytest.mark.parametrize(
    "text",
    ["Keel", "é", "e\u0301", "-", "3", "龍", "क्ष", "عربى", "👍", "👩\u200d🔧", "\u200bK", "°"],
)
def test_what_is_seen(text: str) -> None:
    """Letters of any script, digits and signs, also with joiners and accents among them."""
    assert is_seen(text)


@pytest.mark.parametrize(
    "text",
    [
        "", " ", "\t\n", "\u00a0\u2007\u3000", "\u200b\u200c\u200d\ufeff", "\u00ad", "\u0301",
        "\u034f", "\ufe0f", "\u202e", "\x00", "\x9b", "\ue000", "\u115f", "\u3164", "\uffa0",
        "\u17b4", "\u2800", "\U000e0020\U000e007f", "\u2061", "\U0001d173",
    ],
)  # fmt: skip
def test_what_is_not_seen(text: str) -> None:
    """Spaces, joiners, fillers, tags, controls, and accents without their letter."""
    assert not is_seen(text)


def test_no_character_that_is_named_as_invisible_is_seen() -> None:
    """By the names of all characters in the Unicode Character Database that comes with Python."""
    named = {chr(n): unicodedata.name(chr(n), "") for n in range(sys.maxunicode + 1)}
    hidden = re.compile(
        r"ZERO WIDTH .*|INVISIBLE .*|.*HANGUL .*FILLER|VARIATION SELECTOR-.*|TAG .*|.*PATTERN BLANK"
    )
    found = [each for each, name in named.items() if hidden.fullmatch(name)]
    assert len(found) > 350
    assert not [named[each] for each in found if is_seen(each)]
