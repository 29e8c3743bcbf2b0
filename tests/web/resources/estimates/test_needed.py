"""What an estimate needs, posted to a job unchanged; what a dose would find missing."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient

from .... import makers
from ....putting import by_client, post

FAIR = makers.two_part_sheet(
    mix={"kind": "two_part", "parts": [2, 1], "by": "volume"}, surface="plain"
)
CATALOGUE = [
    makers.catalyst(),
    makers.resin(cure=makers.sheet(build_max=None)),
    makers.mat(fibre_fraction=0.3),
    makers.mat("NARROW", width="100 mm", fibre_fraction=0.3),
    makers.mat("BARE", width=None, fibre_fraction=0.3),
    makers.hardener(density="1.0 kg/L"),
    makers.product("FAIR", "filler", chemistry="epoxy", density="0.8 kg/L", cure=FAIR),
]


@pytest.fixture
def yard(client: FlaskClient) -> FlaskClient:
    """A yard with a catalogue, one job, and nothing in stock."""
    by_client(client, products=CATALOGUE, jobs=[makers.job("J-1", "unknown")])
    return client


def needs(client: FlaskClient, sum_: str, body: dict[str, Any], query: str = "") -> Any:
    """What an estimate needs, after a job took exactly that."""
    told = post(client, f"estimates/{sum_}{query}", body, 200)
    kept = post(client, "jobs/J-1/needs", {"needs": told["needs"]})["needs"]
    added = kept[-len(told["needs"]) :]
    assert [each["product"] for each in added] == [each["product"] for each in told["needs"]]
    return told["needs"]


LAMINATE = {"stack": [{"product": "MAT", "count": 2}], "resin": "LAM", "area": "1 m2"}


def test_a_laminate(yard: FlaskClient) -> None:
    """Two plies of 1 m² off 1.25 m; 2.1 kg of resin, 15 % waste beside it, 3 % of peroxide.

    Worked by hand: 2 × 0.450 kg/m² at 0.3 of fibre leaves 0.9 × 0.7 / 0.3 = 2.1 kg of resin;
    15 % of that is 0.315; 3 % of 2.415 is 72.45 g, up to 73.
    """
    assert needs(yard, "laminate", LAMINATE) == [
        {"product": "MAT", "pieces": [{"length": "0.8 m", "count": 2}]},
        {"product": "LAM", "quantity": "2.1 kg"},
        {"product": "LAM", "quantity": "0.315 kg"},
        {"product": "PEROX", "quantity": "0.073 kg"},
    ]


def test_in_pounds_it_is_no_less(yard: FlaskClient) -> None:
    """In the other units the same, never less by a rounding."""
    for each in needs(yard, "laminate", LAMINATE, "?units=us")[1:]:
        assert each["quantity"].endswith(" lb")
    amounts = [e["quantity"]["value"] for e in yard.get("/v1/jobs/J-1/needs").json["needs"][1:]]
    for value, least in zip(amounts, (2.1, 0.315, 0.073), strict=True):
        assert least <= value < least + 1e-5


def test_without_an_area_nothing_is_needed(yard: FlaskClient) -> None:
    """A stack alone weighs nothing."""
    body = {key: value for key, value in LAMINATE.items() if key != "area"}
    assert post(yard, "estimates/laminate", body, 200)["needs"] == []


def test_a_taper(yard: FlaskClient) -> None:
    """Three strips side by side in one cut; the resin by the plies' areas."""
    seam = {
        "shape": "seam", "length": "1.4 m", "resin": "LAM",
        "stack": [{"product": "MAT", "count": 3}],
    }  # fmt: skip
    found = needs(yard, "taper", seam)
    assert found[0] == {"product": "MAT", "pieces": [{"length": "1.4 m", "count": 1}]}
    area = post(yard, "estimates/taper", seam, 200)["area"]["value"]
    resin = float(found[1]["quantity"].removesuffix(" kg"))
    assert resin == pytest.approx(area * 0.45 * 0.7 / 0.3, abs=0.002)
    assert [each["product"] for each in found] == ["MAT", "LAM", "LAM", "PEROX"]


def test_a_ply_too_wide_for_its_roll_is_said(yard: FlaskClient) -> None:
    """It is no need, and a caution says why."""
    seam = {"shape": "seam", "length": "1.4 m", "stack": [{"product": "NARROW", "count": 4}]}
    told = post(yard, "estimates/taper", seam, 200)
    wide = [ply for ply in told["plies"] if ply["width"]["value"] > 100]
    assert wide
    assert any(f"NARROW: {len(wide)} of its plies" in words for words in told["cautions"])


@pytest.mark.parametrize(("fabric", "turned"), [("mat", True), ("unidirectional", False)])
def test_only_cloth_that_may_be_is_turned_across_its_roll(
    yard: FlaskClient, fabric: str, turned: bool
) -> None:
    """A short seam's plies are wider than the roll, and their length is not."""
    stack = [{"product": "NARROW", "count": 4, "fabric": fabric}]
    told = post(yard, "estimates/taper", {"shape": "seam", "length": "90 mm", "stack": stack}, 200)
    assert any(ply["width"]["value"] > 100 for ply in told["plies"])
    assert any("wider than the roll" in words for words in told["cautions"]) != turned


@pytest.mark.parametrize("fabric", ["mat", "woven", "multidirectional", "unidirectional", None])
@pytest.mark.parametrize("cloth", ["MAT", "NARROW"])
def test_plies_are_laid_as_the_cut_list_lays_them(
    yard: FlaskClient, fabric: str | None, cloth: str
) -> None:
    """What a taper reserves is what its plies, given to the roll, come to: nothing is turned that
    may not be, and nothing is laid that the roll has no room for."""
    stack = {"product": cloth, "count": 5, **({"fabric": fabric} if fabric else {})}
    hole = {"length": "300 mm", "width": "140 mm", "shape": "rectangular"}
    patch = {"shape": "patch", "hole": hole, "stack": [stack], "thickness": "5 mm"}
    told = post(yard, "estimates/taper", patch, 200)
    plies = [
        {name: f"{ply[name]['value']} {ply[name]['unit']}" for name in ("length", "width")}
        for ply in told["plies"]
        if cloth == "MAT" or min(ply[side]["value"] for side in ("length", "width")) <= 100
    ]
    if not plies:
        assert told["needs"] == []
        return
    roll = {"product": cloth, "plies": plies, **({"fabric": fabric} if fabric else {})}
    assert told["needs"] == post(yard, "estimates/roll", roll, 200)["needs"]


def test_a_laminate_by_its_area_says_so(yard: FlaskClient) -> None:
    """It knows no plies, so nothing of the fibre's direction."""
    cautions = post(yard, "estimates/laminate", LAMINATE, 200)["cautions"]
    assert any("MAT is reckoned by its area" in words for words in cautions)


def test_tabbing(yard: FlaskClient) -> None:
    """Strips of 276, 226 and 176 mm, both sides: five side by side in 1.25 m, so two cuts."""
    tab = {"length": "1.8 m", "plies": 3, "leg": "140 mm", "radius": "10 mm", "sides": 2,
           "cloth": "MAT", "putty": "FAIR"}  # fmt: skip
    found = needs(yard, "tabbing", tab)
    assert found[0] == {"product": "MAT", "pieces": [{"length": "1.8 m", "count": 2}]}
    assert [each["product"] for each in found[1:]] == ["FAIR", "FAIR", "HARD"]


def test_fairing_in_two_parts(yard: FlaskClient) -> None:
    """6 L at 0.8 kg/L is 4.8 kg, waste 0.72; 2:1 by volume at 0.8 and 1.0 is 1.6 to 1.0.

    Worked by hand: of 4.8 kg the base is 4.8 × 1.6/2.6 = 2.9538, of the waste 0.4431; the
    hardener of both is 5.52 / 2.6 = 2.1231 kg.
    """
    hollow = {"area": "1.5 m2", "depth": "4 mm", "coat_max": "4 mm", "product": "FAIR"}
    assert needs(yard, "fairing", hollow) == [
        {"product": "FAIR", "quantity": "2.954 kg"},
        {"product": "FAIR", "quantity": "0.444 kg"},
        {"product": "HARD", "quantity": "2.124 kg"},
    ]


def test_coats_and_foam_name_their_product(yard: FlaskClient) -> None:
    """Each lists it; without one neither needs anything."""
    coats = {"area": "3 m2", "wet_film": "0.6 mm"}
    foam = {"cavity": "box", "length": "1 m", "width": "0.3 m", "depth": "0.2 m",
            "lift": "100 mm", "vents": 2, "foam_density": "32 kg/m3"}  # fmt: skip
    for sum_, body in (("coating", coats), ("foam", foam)):
        assert post(yard, f"estimates/{sum_}", body, 200)["needs"] == []
        found = needs(yard, sum_, {**body, "product": "LAM"})
        assert [each["product"] for each in found] == ["LAM", "LAM", "PEROX"]


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"stack": [{"product": "BARE"}]}, "BARE has no width"),
        ({"resin": "MAT"}, "MAT is not kept by mass"),
        ({"resin": "LAM", "catalyst": "HARD"}, "without what hardens it"),
    ],
)
def test_what_can_not_be_reckoned_is_said(
    yard: FlaskClient, change: dict[str, Any], word: str
) -> None:
    """The sum is answered all the same, with a caution in place of the need."""
    told = post(yard, "estimates/laminate", {**LAMINATE, **change}, 200)
    assert any(word in words for words in told["cautions"])


def test_a_wrong_quantity_is_pointed_at(yard: FlaskClient) -> None:
    """The second need of three, not the whole list."""
    wanted = [{"product": "LAM", "quantity": "1 kg"}, {"product": "LAM", "quantity": "2 m"}]
    for wrong in ("2 m", "0 kg"):
        wanted[1]["quantity"] = wrong
        told = post(yard, "jobs/J-1/needs", {"needs": wanted}, 422)
        assert told["pointer"] == "/needs/1/quantity", told
    assert yard.get("/v1/jobs/J-1/needs").json["needs"] == []


def test_a_dose_says_what_is_short_or_promised(yard: FlaskClient) -> None:
    """In warnings: a sum refuses nothing; with all of it there and free, none of them."""
    asked = {"resin": "LAM", "amount": "2 kg", "temperature": "20 degC", "catalyst_percent": 2}

    def warned() -> list[str]:
        told = post(yard, "doses", asked, 200)["warnings"]
        return [words for words in told if "short" in words or "promised" in words]

    assert [words.split(":")[0] for words in warned()] == ["LAM is short", "PEROX is short"]
    post(yard, "lots", {"product": "LAM", "number": "L-1", "quantity": "5 kg"})
    post(yard, "lots", {"product": "PEROX", "number": "P-1", "quantity": "1 kg"})
    assert warned() == []
    post(yard, "jobs/J-1/needs", {"needs": [{"product": "LAM", "quantity": "4 kg"}]})
    assert warned() == ["LAM is promised: 1 kg of 5 kg is free, the rest is reserved for J-1."]


SPHERES = makers.product(
    "SPHERES", "filler", bulk_density="0.15 kg/L", particle_density="0.25 kg/L",
    consistencies=[{"consistency": "sags", "loose_parts": 1.5}],
)  # fmt: skip
GLUE = makers.epoxy(
    "GLUE", density="1.12 kg/L", cure=makers.two_part_sheet("SLOW", build_max="4 mm")
)
SLOW = makers.hardener("SLOW", density="1.12 kg/L")
THICK = {"filler": "SPHERES", "consistency": "sags"}


def test_filled_mixes_by_mass(yard: FlaskClient) -> None:
    """Worked by hand: a litre at 1.12 kg/L takes 225 g of spheres, and makes 2 L at 0.6725 kg/L.

    So 2 L of putty is 0.896 kg of resin, 0.224 kg of hardener, 0.225 kg of spheres. A bed of 1 m²
    by 2 mm is 2 L. A fairing of 1 m² by 10 mm is ten times that, in three layers of 4 mm at most. A
    square fillet of 20 mm has 0.2146 r² = 85.84 mm², and is 8.28 mm deep in its corner.
    """
    by_client(yard, products=[SLOW, GLUE, SPHERES])
    bed = post(
        yard, "estimates/bedding",
        {"area": "1 m2", "thickness": "2 mm", "waste_percent": 0, "product": "GLUE", **THICK}, 200,
    )  # fmt: skip
    masses = [bed["filled"][f"{part}_mass"]["value"] for part in ("resin", "hardener", "filler")]
    assert masses == pytest.approx([0.896, 0.224, 0.225])
    assert bed["filled"]["density"]["value"] == pytest.approx(0.6725)
    assert (bed["mass"]["value"], bed["filled"]["layers"]) == (pytest.approx(1.345), 1)
    assert [each["quantity"] for each in bed["needs"]] == ["0.896 kg", "0.224 kg", "0.225 kg"]
    assert any("mask" in words for words in bed["cautions"])

    hollow = {"area": "1 m2", "depth": "10 mm", "waste_percent": 0, "product": "GLUE", **THICK}
    faired = post(yard, "estimates/fairing", hollow, 200)
    assert (faired["coats"], faired["filled"]["layers"]) == (3, 3)
    assert faired["filled"]["resin_mass"]["value"] == pytest.approx(4.48)
    assert faired["filled"]["catalyst_percent_max"] is None
    thin = post(yard, "estimates/fairing", hollow | {"coat_max": "3 mm"}, 200)
    assert (thin["coats"], thin["filled"]["layers"]) == (4, 4)

    corner = {"length": "10 m", "plies": 1, "leg": "100 mm", "radius": "20 mm", "putty": "GLUE"}
    fillet = post(yard, "estimates/tabbing", {**corner, **THICK}, 200)["fillet"]
    assert fillet["volume"]["value"] == pytest.approx(0.8584, abs=1e-4)
    assert fillet["mass"]["value"] == pytest.approx(0.8584 * 0.6725, abs=1e-4)
    assert fillet["filled"]["resin_mass"]["value"] == pytest.approx(0.8584 * 1.15 * 0.448, abs=1e-4)
    assert fillet["filled"]["layers"] == 3


@pytest.mark.parametrize(
    ("sum_", "body", "slug"),
    [
        ("bedding", {"area": "1 m2", "thickness": "5 mm", "product": "GLUE", **THICK},
         "outside-limits"),
        ("bedding", {"area": "1 m2", "thickness": "2 mm", "product": "GLUE", "filler": "SPHERES"},
         "validation"),
        ("bedding", {"area": "1 m2", "thickness": "2 mm", **THICK}, "validation"),
        ("bedding", {"area": "1 m2", "thickness": "2 mm", "product": "GLUE", "filler": "SPHERES",
                     "consistency": "pours"}, "cure-sheet-missing"),
        ("fairing", {"area": "1 m2", "depth": "3 mm", "product": "NONE", **THICK},
         "unknown-reference"),
        ("bedding", {"area": "1 m2", "thickness": "2 mm", "product": "THIN", **THICK},
         "cure-sheet-missing"),
    ],
)  # fmt: skip
def test_a_filled_mix_that_can_t_be_reckoned(
    yard: FlaskClient, sum_: str, body: dict[str, Any], slug: str
) -> None:
    """Thicker than the sheet's build; a word without its filler; a figure that nobody entered."""
    without_density = makers.epoxy("THIN", cure=makers.two_part_sheet("SLOW"))
    by_client(yard, products=[SLOW, GLUE, SPHERES, without_density])
    assert post(yard, f"estimates/{sum_}", body, 422)["slug"] == slug
