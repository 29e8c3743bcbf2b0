"""Wet-film readings of a coat, against the build of its cure sheet.

A film under the sheet's least may never cure, as too much of it is at the air; over the greatest
it sags, wrinkles or runs hot (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence

from ..amounts.sentences import size
from ..words import Text, say

VERDICTS = ("within", "thin", "thick", "uneven")


def verdict(films: Sequence[int], least: int | None, most: int | None) -> str | None:
    """Whether every reading (µm) is inside a sheet's build; None where the sheet gives none.

    Uneven: some are under the least and some over the greatest.
    """
    if not films or (least is None and most is None):
        return None
    thin = least is not None and min(films) < least
    thick = most is not None and max(films) > most
    if thin and thick:
        return "uneven"
    return "thin" if thin else "thick" if thick else "within"


def doubts(films: Sequence[int], least: int | None, most: int | None) -> list[Text]:
    """Warnings on a wet film; none where every reading is inside the build.

    Args:
        films: readings of a gauge, µm. least, most: of the sheet, µm; None where it gives none.
    """
    if least is None and most is None:
        return ["Its cure sheet gives no build, so the film is not judged: enter 'build_min' and "
                "'build_max'."]  # fmt: skip
    words: list[Text] = []
    thin = [each for each in films if least is not None and each < least]
    thick = [each for each in films if most is not None and each > most]
    if least is not None and thin:
        words.append(
            say("{} of {} wet-film readings are under {}, the thinnest {}: so thin it may not "
                "cure. Lay more on while it is wet.",
                str(len(thin)), str(len(films)), size(least, 2), size(min(thin), 2))
        )  # fmt: skip
    if most is not None and thick:
        words.append(
            say("{} of {} wet-film readings are over {}, the thickest {}: so thick it sags, "
                "wrinkles or runs hot. Spread it out while it is wet.",
                str(len(thick)), str(len(films)), size(most, 2), size(max(thick), 2))
        )  # fmt: skip
    return words
