"""A wet film that is noted of a coat: judged by its sheet, kept, taken back."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.cure.observe import observe_layup
from cureyard_service.acts.cure.show import LayupView
from cureyard_service.acts.cure.take_back import take_back_seen
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.words import shown
from peewee import Database

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, MIN, NOW

pytestmark = pytest.mark.usefixtures("books")


def laid(kind: str = "coat") -> LayupView:
    """A coat of gel coat in a film of 0.4 to 0.6 mm."""
    sheet = makers.sheet(build_min="0.4 mm", build_max="0.6 mm")
    yard.add(products=[makers.resin("GEL", role="coating", cure=sheet)])
    return yard.laid(kind=kind, product="GEL", catalyst_percent=Decimal(2))


def noted(layup: LayupView, **found: Any) -> LayupView:
    """What is answered to a look of five minutes later."""
    asked: dict[str, Any] = {"kind": "wet_film", "now": NOW + 5 * MIN, "hand": HAND} | found
    return observe_layup(finding.layup(layup.id), **asked)


def test_a_wet_film_is_kept_and_judged() -> None:
    """Its readings stay, it opens and shuts nothing, and the answer says what is too thin."""
    layup = laid()
    told = noted(layup, wet_films=[350, 500, 450])
    (seen,) = told.observations
    assert (seen.kind, seen.wet_films, seen.readings, seen.value) == (
        "wet_film", [350, 500, 450], None, None,
    )  # fmt: skip
    assert (seen.wet_film_mean, seen.wet_film_verdict) == (pytest.approx(433.3, abs=0.1), "thin")
    words = [shown(each, "metric") for each in told.warnings]
    assert sum("1 of 3 wet-film readings are under 0.40 mm" in word for word in words) == 1
    assert told.window == layup.window
    again = noted(layup, wet_films=[450, 500])
    assert not any("wet-film" in shown(each, "metric") for each in again.warnings)
    assert again.observations[-1].wet_film_verdict == "within"
    take_back_seen(finding.layup(layup.id), seen.id, reason="a slip", now=NOW + 6 * MIN, hand=HAND)


@pytest.mark.parametrize(
    ("kind", "found", "words"),
    [
        ("laminate", {"wet_films": [500]}, "measured of a coat"),
        ("coat", {}, "needs its readings"),
        ("coat", {"kind": "gelled", "wet_films": [500]}, "Only a wet film"),
        ("coat", {"wet_films": [500], "readings": [40] * 10}, "Only a hardness"),
    ],
)
def test_what_is_no_wet_film_is_refused(
    books: Database, kind: str, found: dict[str, Any], words: str
) -> None:
    """And nothing changes."""
    layup = laid(kind)
    before = yard.contents(books)
    with pytest.raises(errors.Invalid, match=words):
        noted(layup, **found)
    assert yard.contents(books) == before
