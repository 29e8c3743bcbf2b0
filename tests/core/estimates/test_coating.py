"""Coats: films, and what they take."""

from __future__ import annotations

import pytest
from cureyard_service.core.errors import Invalid
from cureyard_service.core.estimates import coating
from hypothesis import given
from hypothesis import strategies as st

areas = st.floats(1e3, 1e9)
films = st.floats(10, 2000)
percents = st.floats(1, 100)
some = st.floats(0, 90)


@given(films, percents, some)
def test_wet_and_dry_are_two_names_of_one_film(dry: float, solids: float, thinner: float) -> None:
    """The wet film of a dry one dries to it again, and is never the thinner of the two."""
    from_dry = coating.film(dry=dry, solids=solids, thinner=thinner)
    from_wet = coating.film(wet=from_dry.wet, solids=solids, thinner=thinner)
    assert from_wet.dry == pytest.approx(dry)
    assert from_dry.wet >= dry * (1 - 1e-9)
    unthinned = coating.film(dry=dry, solids=solids)
    assert from_dry.paint == pytest.approx(unthinned.wet), "thinner adds no paint"


@given(areas, films, st.integers(1, 25), some, some)
def test_twice_the_area_or_the_coats_takes_twice(
    area: float, wet: float, count: int, loss: float, waste: float
) -> None:
    """Every line scales; the lines add up; loss is its share of what leaves the gun."""
    film = coating.film(wet=wet, thinner=10)
    once = coating.coats(area, film, count, loss=loss, waste=waste)
    wide = coating.coats(2 * area, film, count, loss=loss, waste=waste)
    thick = coating.coats(area, film, 2 * count, loss=loss, waste=waste)
    assert wide.paint == pytest.approx(2 * once.paint) == pytest.approx(thick.paint)
    assert once.paint == pytest.approx(once.on_part + once.loss + once.waste)
    assert once.loss == pytest.approx((once.on_part + once.loss) * loss / 100)
    assert once.thinner == pytest.approx(once.paint / 10)


@pytest.mark.parametrize(
    "bad",
    [{}, {"wet": 1, "dry": 1}, {"dry": 50}, {"wet": 0}, {"wet": 5, "solids": 0},
     {"wet": 5, "solids": 101}, {"wet": 5, "thinner": -1}],
)  # fmt: skip
def test_no_film(bad: dict[str, float]) -> None:
    """Both, neither, nothing, or a share that can't be."""
    with pytest.raises(Invalid) as caught:
        coating.film(**bad)
    assert caught.value.advice


@pytest.mark.parametrize(
    "bad", [{"count": 0}, {"count": 51}, {"loss": 100}, {"waste": -1}, {"area": 0}, {"area": 1e30}]
)
def test_no_coats(bad: dict[str, float]) -> None:
    """No area, no coat, all of it lost."""
    with pytest.raises(Invalid):
        coating.coats(**{"area": 1e6, "each": coating.film(wet=100), **bad})  # type: ignore[arg-type]
