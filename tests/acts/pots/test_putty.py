"""A pot that a filler thickens to a consistency: weighed by the filler's sheet, and drawn."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from cureyard_service.acts.pots.card import show_card
from cureyard_service.acts.products.product import change_product
from cureyard_service.acts.yard import finding
from cureyard_service.core import errors
from cureyard_service.core.products import cautions
from peewee import Database

from ... import makers
from .. import sample_yard as yard
from ..sample_yard import HAND, NOW

pytestmark = pytest.mark.usefixtures("books")

RIDGE = [{"product": "SPHERES", "consistency": "holds_a_ridge"}]


def spheres(**changes: Any) -> makers.Body:
    """A filler whose sheet says how much of it thickens a mix."""
    figures: makers.Body = {
        "bulk_density": "0.15 kg/L", "particle_density": "0.25 kg/L",
        "consistencies": [
            {"consistency": "holds_a_ridge", "loose_parts": 1.5},
            {"consistency": "pours", "grams_per_kg": 50},
        ],
    }  # fmt: skip
    return makers.product("SPHERES", "filler", **(figures | changes))


def epoxy(**changes: Any) -> None:
    """An epoxy of 100 to 25 by mass whose mix is 1.12 kg/L, and its hardener."""
    yard.add(
        products=[
            makers.hardener("SLOW", density="1.12 kg/L"),
            makers.epoxy(
                "GLUE",
                density="1.12 kg/L",
                cure=makers.two_part_sheet("SLOW", pot_max="3 kg", **changes),
            ),
        ]
    )
    yard.receive("GLUE", "5 kg")
    yard.receive("SLOW", "2 kg")


def test_the_filler_is_weighed_and_drawn() -> None:
    """1 L of mixed epoxy, 1.12 kg of it: 225 g of spheres, 2 L at 0.6725 kg/L, 8 mm at once."""
    epoxy(build_max="8 mm")
    yard.add(products=[spheres()])
    bag = yard.receive("SPHERES", "3 kg")
    card = yard.pot("896 g", resin="GLUE", fillers=RIDGE)
    assert card.putty is not None
    assert card.putty.mass == 225_000
    assert card.putty.volume == pytest.approx(2e6, rel=1e-4)
    assert card.putty.density == pytest.approx(672_500, rel=1e-4)
    assert card.putty.build_max == 8000
    assert yard.on_hand(bag) == 3_000_000 - 225_000
    assert [part.product for part in card.parts] == ["GLUE", "SLOW", "SPHERES"]
    assert {cautions.EPOXY_FILLED, *cautions.FILLER} <= set(card.cautions)
    assert show_card(finding.batch(card.id)).putty == card.putty


def test_a_filler_takes_no_catalyst_and_makes_the_gel_less_sure() -> None:
    """The percent is of the resin alone; the band is as of any filled pot."""
    yard.stocked()
    yard.add(products=[spheres()])
    yard.receive("SPHERES", "3 kg")
    plain = yard.pot("1 kg")
    filled = yard.pot("1 kg", fillers=RIDGE)
    weighed = yard.pot("1 kg", fillers=[{"product": "SPHERES", "quantity": yard.q("100 g")}])
    assert plain.catalyst.mass == filled.catalyst.mass == 20_000
    assert plain.gel.latest < filled.gel.latest == weighed.gel.latest
    assert weighed.putty is None


@pytest.mark.parametrize(
    ("changes", "asked"),
    [
        ({"bulk_density": None}, "bulk density"),
        ({"particle_density": None}, "particle density"),
        ({"consistencies": [{"consistency": "sags", "loose_parts": 1}]}, "holds a ridge"),
    ],
)
def test_what_is_missing_is_asked_for(books: Database, changes: Any, asked: str) -> None:
    """And nothing is drawn."""
    yard.stocked()
    yard.add(products=[spheres(**changes)])
    yard.receive("SPHERES", "3 kg")
    before = yard.contents(books)
    with pytest.raises(errors.CureSheetMissing, match=asked):
        yard.pot("1 kg", fillers=RIDGE)
    assert yard.contents(books) == before


def test_a_density_of_the_liquids_is_asked_for() -> None:
    """The volume of the mixed resin is of both parts."""
    yard.add(products=[spheres()])
    yard.receive("EPOX", "5 kg")
    yard.receive("HARD", "5 kg")
    with pytest.raises(errors.CureSheetMissing, match="density"):
        yard.pot("300 g", resin="EPOX", fillers=RIDGE)


@pytest.mark.parametrize(
    "fillers",
    [
        RIDGE * 2,
        [*RIDGE, {"product": "SPHERES", "quantity": yard.q("100 g")}],
        [{"product": "SPHERES"}],
        [{"product": "SPHERES", "consistency": "pours", "quantity": yard.q("1 g")}],
        [{"product": "WAX", "consistency": "pours"}],
        [{"product": "LAM", "consistency": "pours"}],
    ],
)
def test_what_is_no_filler_by_consistency(fillers: Any) -> None:
    """Two by consistency, or one twice; neither or both figures; as resin; no filler at all."""
    yard.stocked()
    yard.add(products=[spheres()])
    with pytest.raises(errors.Invalid):
        yard.pot("1 kg", fillers=fillers)


def test_a_pot_too_small_to_weigh_its_filler() -> None:
    """Under half a step of the scale there would be none in it."""
    epoxy()
    yard.add(products=[spheres(consistencies=[{"consistency": "pours", "grams_per_kg": 0.001}])])
    with pytest.raises(errors.OutsideLimits, match="too small"):
        yard.pot("1 kg", resin="GLUE", fillers=[{"product": "SPHERES", "consistency": "pours"}])


def test_an_unknown_build_is_told() -> None:
    """Nobody guesses how thick a putty may be laid."""
    epoxy()
    yard.add(products=[spheres()])
    yard.receive("SPHERES", "3 kg")
    card = yard.pot("500 g", resin="GLUE", fillers=RIDGE)
    assert any("greatest build" in str(words) for words in card.warnings)


def test_the_catalogue_asks_for_what_it_lacks() -> None:
    """And keeps the figures as they were entered; they are a filler's alone."""
    (added,) = yard.add(products=[spheres(particle_density=None)])
    assert any("particle_density" in words for words in added.warnings)
    changed = change_product(
        finding.product("SPHERES"), particle_density=Decimal(250_000), now=NOW, hand=HAND
    )
    assert not any("particle_density" in words for words in changed.warnings)
    assert [float(each.loose_parts or 0) for each in changed.consistencies] == [1.5, 0]
    with pytest.raises(errors.Invalid, match="thickens no mix"):
        yard.add(products=[makers.resin("R-2", bulk_density="1 kg/L")])
