"""Whether a text leaves any mark on a screen or on paper."""

from __future__ import annotations

import unicodedata

_BLANK_LETTERS = frozenset("\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0")
"""Characters that Unicode counts as letters, signs or marks and shows as nothing: the fillers of
Hangul, two vowels of Khmer (Default_Ignorable_Code_Point in its file DerivedCoreProperties.txt),
and the Braille pattern without dots."""


def is_seen(text: str) -> bool:
    """Whether a character of the text can be seen.

    Spaces, control and format characters can't (Unicode's general categories Z and C), and an
    accent without its letter (M) changes with what it lands on.
    """
    return any(
        unicodedata.category(each)[0] not in "ZCM" and each not in _BLANK_LETTERS for each in text
    )
